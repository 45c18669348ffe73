import type { CapacityFacts } from '@bellround/contracts';
import { useState } from 'react';
import { dayShort, minutesWords, numberWords, plusDays } from '../../../shared/format.js';
import { Button, Empty, LinkButton, Loaded, Mark, NumberField, Page, ProblemBox, Section, Select, Table } from '../../../shared/ui/index.js';
import { useCapacity } from '../api/ahead.js';
import { NO_TRIAL, staffOf, type StaffTrial, type TideQuestion, type TideAnswer, waterOf } from './tide-model.js';
import { Areas, BackTestOf } from './tide-more.js';
import { TidePicture, type TideWeek } from './tide-picture.js';
import { useTideThread, useTold } from './use-tide.js';
import './ahead.css';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

const HORIZONS = [13, 26, 52, 78];
const LEAVE = [0, 1, 2, 3, 4, 5, 6, 8, 10, 12];
const percent = (share: number): string => `${Math.round(100 * share)} %`;

/** A year ahead: hours owed against hours available, by skill, with ranges; and what one hire, one training or one lost technician would change. */
export function TideScreen() {
  const [weeks, setWeeks] = useState(52);
  const [leaveWeeks, setLeaveWeeks] = useState(0);
  const capacity = useCapacity(weeks, leaveWeeks);
  const ask = useTideThread();
  return (
    <Page title={phrase('planning.tide')} lead={phrase('planning.hours-owed-in-the-weeks-ahead-as')}
      actions={<>
        <Select label={phrase('planning.look-ahead')} value={String(weeks)} onChange={(value) => setWeeks(Number(value))} options={HORIZONS.map((one) => ({ value: String(one), label: phrase('planning.one-weeks', { one }) }))} />
        <Select label={phrase('planning.leave-not-booked-yet')} value={String(leaveWeeks)} onChange={(value) => setLeaveWeeks(Number(value))} options={LEAVE.map((one) => ({ value: String(one), label: phrase('planning.leave-weeks-a-person', { one }) }))} />
      </>}>
      <Loaded query={capacity} what={phrase('planning.the-work-ahead')}>{(facts) => (
        facts.people.length === 0 ? <Empty title={phrase('planning.nobody-works-here-yet')} action={<LinkButton to="/import">{phrase('planning.import-technicians')}</LinkButton>}>{phrase('planning.without-people-there-is-no-wall')}</Empty>
          : facts.demand.length === 0 ? <Empty title={phrase('planning.nothing-is-owed-yet')} action={<LinkButton to="/programmes">{phrase('planning.lay-programmes-on-systems')}</LinkButton>}>{phrase('planning.without-duties-there-is-no-water')}</Empty>
            : <Ahead facts={facts} ask={ask} />)}</Loaded>
    </Page>
  );
}

export type Ask = (question: TideQuestion) => Promise<TideAnswer>;

function Ahead({ facts, ask }: { facts: CapacityFacts; ask: Ask }) {
  const [trial, setTrial] = useState<StaffTrial>(NO_TRIAL);
  const { weeks } = facts;
  const leave = facts.uncertainty.leaveWeeks ?? 0;
  const isTrial = JSON.stringify(trial) !== JSON.stringify(NO_TRIAL);
  const base = useTold<'forecast'>(ask, { kind: 'forecast', facts, trial: NO_TRIAL, weeks }, `${facts.fromMonday} ${weeks} ${leave} ${facts.demand.length}`);
  const tried = useTold<'forecast'>(ask, isTrial ? { kind: 'forecast', facts, trial, weeks } : null, JSON.stringify([trial, weeks, leave]));
  const shown = isTrial ? (tried.data ?? base.data) : base.data;
  if (base.error) return <ProblemBox problem={base.error} />;
  if (!shown || !base.data) return <p role="status" className="loading">{phrase('planning.playing-two-hundred-futures-of-weeks-weeks', { weeks })}</p>;
  const { forecast } = shown;
  const all: TideWeek[] = withWater(facts, null, forecast.weeks.map((week) => ({ week: week.week, ableMin: week.availableMin, lapseChance: week.lapseChance })));
  const groups = forecast.groups.map((group) => ({ ...group, weeks: withWater(facts, group.skills, group.weeks) }));
  const begins = forecast.lapsesBegin;
  return (
    <>
      <p role="status">{begins === null ? <><Mark shape="standing" tone="good">{phrase('planning.holds')}</Mark> {phrase('planning.no-week-is-more-likely-than-not')}</> : <><Mark shape="bracketed" tone="bad">{phrase('planning.tops-the-wall')}</Mark> {phrase('planning.duties-begin-to-lapse-in-the-week', { day: dayShort(plusDays(facts.fromMonday, begins * 7)) })}</>} {phrase('planning.something-lapses-within-weeks-weeks-in-percent', { weeks, percent: percent(forecast.lapseChance), value: isTrial ? phrase('planning.against-percent-with-the-staff-as-it', { percent: percent(base.data.forecast.lapseChance) }) : '', value2: tried.busy ? phrase('planning.working-it-out-again') : '' })}</p>
      <Trial facts={facts} trial={trial} onTrial={setTrial} />
      <div className="tides">
        <TidePicture legend title={phrase('planning.everybody-all-work')} fromMonday={facts.fromMonday} weeks={all} />
        {groups.map((group) => <TidePicture key={`${group.skills} ${group.area ?? ''}`} title={group.skills === '' ? phrase('planning.work-that-asks-for-no-skill') : group.skills} fromMonday={facts.fromMonday} weeks={group.weeks} />)}
      </div>
      <Groups facts={facts} groups={groups} />
      <Areas facts={facts} ask={ask} />
      <Effects facts={facts} ask={ask} />
      <BackTestOf facts={facts} ask={ask} />
      <Sources facts={facts} />
    </>
  );
}

/** The forecast's weeks with the water of the picture. */
function withWater(facts: CapacityFacts, skills: string | null, weeks: readonly Omit<TideWeek, 'neededMin'>[]): TideWeek[] {
  const water = waterOf(facts, skills);
  return weeks.map((week) => ({ ...week, neededMin: water[week.week] ?? { p10: 0, p50: 0, p90: 0 } }));
}

function Trial({ facts, trial, onTrial }: { facts: CapacityFacts; trial: StaffTrial; onTrial: (trial: StaffTrial) => void }) {
  const people = staffOf(facts).map((one) => ({ value: one.id, label: `${one.id} (${one.skills.join(', ') || phrase('planning.no-skill')})` }));
  return (
    <Section title={phrase('planning.what-if')} actions={JSON.stringify(trial) === JSON.stringify(NO_TRIAL) ? null : <Button size="small" onClick={() => onTrial(NO_TRIAL)}>{phrase('planning.the-staff-as-it-is')}</Button>}>
      <div className="row">
        <Select label={phrase('planning.one-more-like')} value={trial.hireLike} onChange={(hireLike) => onTrial({ ...trial, hireLike })} empty={phrase('planning.nobody')} options={people} />
        <Select label={phrase('planning.somebody-leaves')} value={trial.lost} onChange={(lost) => onTrial({ ...trial, lost })} empty={phrase('planning.nobody')} options={people} />
        <Select label={phrase('planning.somebody-learns')} value={trial.trained} onChange={(trained) => onTrial({ ...trial, trained, skill: trained === '' ? '' : trial.skill })} empty={phrase('planning.nobody')} options={people} />
        <Select label={phrase('planning.skill-or-licence')} value={trial.skill} onChange={(skill) => onTrial({ ...trial, skill })} empty={phrase('planning.none')} disabled={trial.trained === ''} options={facts.skills.map((one) => ({ value: one, label: one }))} />
      </div>
    </Section>
  );
}

function Groups({ facts, groups }: { facts: CapacityFacts; groups: readonly { skills: string; area: string | null; lapsesBegin: number | null; weeks: readonly TideWeek[] }[] }) {
  return (
    <Section title={phrase('planning.by-skill')}>
      <Table caption={phrase('planning.work-by-skill')} rows={groups} rowKey={(group) => `${group.skills} ${group.area ?? ''}`} columns={[
        { key: 'skills', title: phrase('planning.asks-for'), sortBy: (group) => group.skills, cell: (group) => group.skills || phrase('planning.no-skill') },
        { key: 'owed', title: phrase('planning.owed-over-the-weeks'), align: 'end', cell: (group) => minutesWords(group.weeks.reduce((sum, week) => sum + week.neededMin.p50, 0)) },
        { key: 'fullest', title: phrase('planning.fullest-week'), cell: (group) => { const week = group.weeks.reduce((best, one) => (one.neededMin.p50 / Math.max(1, one.ableMin.p50) > best.neededMin.p50 / Math.max(1, best.ableMin.p50) ? one : best)); return phrase('planning.day-p50-of-p502', { day: dayShort(plusDays(facts.fromMonday, week.week * 7)), p50: minutesWords(week.neededMin.p50), p502: minutesWords(week.ableMin.p50) }); } },
        { key: 'begin', title: phrase('planning.begins-to-lapse'), sortBy: (group) => group.lapsesBegin ?? 999, cell: (group) => (group.lapsesBegin === null ? <Mark shape="standing" tone="good">{phrase('planning.not-in-these-weeks')}</Mark> : <Mark shape="bracketed" tone="bad">{dayShort(plusDays(facts.fromMonday, group.lapsesBegin * 7))}</Mark>) },
      ]} />
    </Section>
  );
}

/** One hire, one training, one lost technician at a time, each on the same futures. */
function Effects({ facts, ask }: { facts: CapacityFacts; ask: Ask }) {
  const [isAsked, setAsked] = useState(false);
  const [like, setLike] = useState(staffOf(facts)[0]?.id ?? '');
  const [acceptable, setAcceptable] = useState<number | null>(5);
  const [count, setCount] = useState<{ like: string; acceptable: number } | null>(null);
  const effects = useTold<'effects'>(ask, isAsked ? { kind: 'effects', facts, weeks: facts.weeks } : null, `${isAsked} ${facts.weeks} ${facts.uncertainty.leaveWeeks ?? 0} ${facts.demand.length}`);
  const needed = useTold<'needed'>(ask, count ? { kind: 'needed', facts, weeks: facts.weeks, like: count.like, acceptable: count.acceptable / 100 } : null, JSON.stringify([count, facts.weeks, facts.uncertainty.leaveWeeks]));
  return (
    <Section title={phrase('planning.one-hire-one-training-one-lost-technician')}>
      <div className="row">
        <Select label={phrase('planning.more-people-like')} value={like} onChange={setLike} options={staffOf(facts).map((one) => ({ value: one.id, label: one.id }))} />
        <NumberField label={phrase('planning.chance-of-a-lapse-at-most')} unit="%" min={1} max={50} step={1} value={acceptable} onChange={setAcceptable} />
        <Button busy={needed.busy} disabled={acceptable === null || like === ''} onClick={() => setCount({ like, acceptable: acceptable ?? 5 })}>{phrase('planning.count-how-many-are-needed')}</Button>
        {isAsked ? null : <Button onClick={() => setAsked(true)}>{phrase('planning.try-every-change')}</Button>}
      </div>
      {needed.data && count ? <p role="status">{needed.data.answer.added === null ? phrase('planning.even-twelve-more-people-like-like-leave', { like: count.like, percent: percent(needed.data.answer.lapseChance) }) : needed.data.answer.added === 0 ? phrase('planning.nobody-more-is-needed-the-chance-is', { percent: percent(needed.data.answer.lapseChance) }) : phrase('planning.added-more-like-like-bring-the-chance', { added: needed.data.answer.added, like: count.like, percent: percent(needed.data.answer.lapseChance) })}</p> : null}
      {needed.error ? <ProblemBox problem={needed.error} /> : null}
      {effects.error ? <ProblemBox problem={effects.error} /> : null}
      {effects.busy ? <p role="status" className="loading">{phrase('planning.playing-every-change')}</p> : null}
      {effects.data ? <Table caption={phrase('planning.effect-of-each-change')} rows={effects.data.effects.changes} rowKey={(one) => `${one.kind} ${one.words}`} columns={[
        { key: 'what', title: phrase('planning.change'), sortBy: (one) => said(one.words), cell: (one) => said(one.words) },
        { key: 'chance', title: phrase('planning.something-lapses'), align: 'end', sortBy: (one) => one.lapseChance, cell: (one) => percent(one.lapseChance) },
        { key: 'change', title: phrase('planning.bundles-that-lapse-against-now'), align: 'end', sortBy: (one) => one.change, cell: (one) => `${one.change > 0 ? '+' : one.change < 0 ? '−' : ''}${numberWords(Math.abs(Math.round(one.change * 10) / 10))}` },
      ]} startSorted={{ key: 'change', down: false }} /> : null}
    </Section>
  );
}

function Sources({ facts }: { facts: CapacityFacts }) {
  return (
    <Section title={phrase('planning.what-this-rests-on')}>
      <Table caption={phrase('planning.what-is-uncertain-and-where-it-comes')} rows={facts.sources} rowKey={(one) => one.name} columns={[
        { key: 'name', title: phrase('planning.what'), cell: (one) => said(one.name) }, { key: 'value', title: phrase('planning.taken-as'), align: 'end', cell: (one) => said(one.value) }, { key: 'from', title: phrase('planning.from'), cell: (one) => said(one.from) },
      ]} />
      <p className="small quiet">{phrase('planning.hours-no-routes-travel-is-in-the')}</p>
    </Section>
  );
}
