import type { CapacityFacts } from '@bellround/contracts';
import { useState } from 'react';
import { dayShort, minutesWords, numberWords, plusDays } from '../../../shared/format.js';
import { Button, Empty, LinkButton, Loaded, Mark, NumberField, Page, ProblemBox, Section, Select, Table } from '../../../shared/ui/index.js';
import { useCapacity } from '../api/ahead.js';
import { NO_TRIAL, staffOf, type StaffTrial, type TideQuestion, type TideAnswer, waterOf } from './tide-model.js';
import { TidePicture, type TideWeek } from './tide-picture.js';
import { useTideThread, useTold } from './use-tide.js';
import './ahead.css';

const HORIZONS = [13, 26, 52, 78];
const percent = (share: number): string => `${Math.round(100 * share)} %`;

/** A year ahead: hours owed against hours available, by skill, with ranges; and what one hire, one training or one lost technician would change. */
export function TideScreen() {
  const [weeks, setWeeks] = useState(52);
  const capacity = useCapacity(weeks);
  const ask = useTideThread();
  return (
    <Page title="Tide" lead="Hours owed in the weeks ahead, as water with its range, against the hours of those who may do it. Where water tops the wall, duties begin to lapse."
      actions={<Select label="Look ahead" value={String(weeks)} onChange={(value) => setWeeks(Number(value))} options={HORIZONS.map((one) => ({ value: String(one), label: `${one} weeks` }))} />}>
      <Loaded query={capacity} what="the work ahead">{(facts) => (
        facts.people.length === 0 ? <Empty title="Nobody works here yet" action={<LinkButton to="/import">Import technicians</LinkButton>}>Without people there is no wall.</Empty>
          : facts.demand.length === 0 ? <Empty title="Nothing is owed yet" action={<LinkButton to="/programmes">Lay programmes on systems</LinkButton>}>Without duties there is no water.</Empty>
            : <Ahead facts={facts} ask={ask} />)}</Loaded>
    </Page>
  );
}

type Ask = (question: TideQuestion) => Promise<TideAnswer>;

function Ahead({ facts, ask }: { facts: CapacityFacts; ask: Ask }) {
  const [trial, setTrial] = useState<StaffTrial>(NO_TRIAL);
  const { weeks } = facts;
  const isTrial = JSON.stringify(trial) !== JSON.stringify(NO_TRIAL);
  const base = useTold<'forecast'>(ask, { kind: 'forecast', facts, trial: NO_TRIAL, weeks }, `${facts.fromMonday} ${weeks} ${facts.demand.length}`);
  const tried = useTold<'forecast'>(ask, isTrial ? { kind: 'forecast', facts, trial, weeks } : null, JSON.stringify([trial, weeks]));
  const shown = isTrial ? (tried.data ?? base.data) : base.data;
  if (base.error) return <ProblemBox problem={base.error} />;
  if (!shown || !base.data) return <p role="status">Playing two hundred futures of {weeks} weeks …</p>;
  const { forecast } = shown;
  const all: TideWeek[] = withWater(facts, null, forecast.weeks.map((week) => ({ week: week.week, ableMin: week.availableMin, lapseChance: week.lapseChance })));
  const groups = forecast.groups.map((group) => ({ ...group, weeks: withWater(facts, group.skills, group.weeks) }));
  const begins = forecast.lapsesBegin;
  return (
    <>
      <p role="status">{begins === null ? <><Mark shape="standing" tone="good">holds</Mark> No week is more likely than not to let a duty lapse.</> : <><Mark shape="bracketed" tone="bad">tops the wall</Mark> Duties begin to lapse in the week of {dayShort(plusDays(facts.fromMonday, begins * 7))}.</>} Something lapses within {weeks} weeks in {percent(forecast.lapseChance)} of the futures{isTrial ? `, against ${percent(base.data.forecast.lapseChance)} with the staff as it is` : ''}.{tried.busy ? ' Working it out again …' : ''}</p>
      <Trial facts={facts} trial={trial} onTrial={setTrial} />
      <div className="tides">
        <TidePicture legend title="Everybody, all work" fromMonday={facts.fromMonday} weeks={all} />
        {groups.map((group) => <TidePicture key={`${group.skills} ${group.area ?? ''}`} title={group.skills === '' ? 'Work that asks for no skill' : group.skills} fromMonday={facts.fromMonday} weeks={group.weeks} />)}
      </div>
      <Groups facts={facts} groups={groups} />
      <Effects facts={facts} ask={ask} />
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
  const people = staffOf(facts).map((one) => ({ value: one.id, label: `${one.id} (${one.skills.join(', ') || 'no skill'})` }));
  return (
    <Section title="What if" actions={JSON.stringify(trial) === JSON.stringify(NO_TRIAL) ? null : <Button size="small" onClick={() => onTrial(NO_TRIAL)}>The staff as it is</Button>}>
      <div className="row">
        <Select label="One more like" value={trial.hireLike} onChange={(hireLike) => onTrial({ ...trial, hireLike })} empty="nobody" options={people} />
        <Select label="Somebody leaves" value={trial.lost} onChange={(lost) => onTrial({ ...trial, lost })} empty="nobody" options={people} />
        <Select label="Somebody learns" value={trial.trained} onChange={(trained) => onTrial({ ...trial, trained, skill: trained === '' ? '' : trial.skill })} empty="nobody" options={people} />
        <Select label="Skill or licence" value={trial.skill} onChange={(skill) => onTrial({ ...trial, skill })} empty="none" disabled={trial.trained === ''} options={facts.skills.map((one) => ({ value: one, label: one }))} />
      </div>
    </Section>
  );
}

function Groups({ facts, groups }: { facts: CapacityFacts; groups: readonly { skills: string; area: string | null; lapsesBegin: number | null; weeks: readonly TideWeek[] }[] }) {
  return (
    <Section title="By skill">
      <Table caption="Work by skill" rows={groups} rowKey={(group) => `${group.skills} ${group.area ?? ''}`} columns={[
        { key: 'skills', title: 'Asks for', sortBy: (group) => group.skills, cell: (group) => group.skills || 'no skill' },
        { key: 'owed', title: 'Owed over the weeks', align: 'end', cell: (group) => minutesWords(group.weeks.reduce((sum, week) => sum + week.neededMin.p50, 0)) },
        { key: 'fullest', title: 'Fullest week', cell: (group) => { const week = group.weeks.reduce((best, one) => (one.neededMin.p50 / Math.max(1, one.ableMin.p50) > best.neededMin.p50 / Math.max(1, best.ableMin.p50) ? one : best)); return `${dayShort(plusDays(facts.fromMonday, week.week * 7))}: ${minutesWords(week.neededMin.p50)} of ${minutesWords(week.ableMin.p50)}`; } },
        { key: 'begin', title: 'Begins to lapse', sortBy: (group) => group.lapsesBegin ?? 999, cell: (group) => (group.lapsesBegin === null ? <Mark shape="standing" tone="good">not in these weeks</Mark> : <Mark shape="bracketed" tone="bad">{dayShort(plusDays(facts.fromMonday, group.lapsesBegin * 7))}</Mark>) },
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
  const effects = useTold<'effects'>(ask, isAsked ? { kind: 'effects', facts, weeks: facts.weeks } : null, `${isAsked} ${facts.weeks} ${facts.demand.length}`);
  const needed = useTold<'needed'>(ask, count ? { kind: 'needed', facts, weeks: facts.weeks, like: count.like, acceptable: count.acceptable / 100 } : null, JSON.stringify([count, facts.weeks]));
  return (
    <Section title="One hire, one training, one lost technician">
      <div className="row">
        <Select label="More people like" value={like} onChange={setLike} options={staffOf(facts).map((one) => ({ value: one.id, label: one.id }))} />
        <NumberField label="Chance of a lapse at most" unit="%" min={1} max={50} step={1} value={acceptable} onChange={setAcceptable} />
        <Button busy={needed.busy} disabled={acceptable === null || like === ''} onClick={() => setCount({ like, acceptable: acceptable ?? 5 })}>Count how many are needed</Button>
        {isAsked ? null : <Button onClick={() => setAsked(true)}>Try every change</Button>}
      </div>
      {needed.data && count ? <p role="status">{needed.data.answer.added === null ? `Even twelve more people like ${count.like} leave the chance at ${percent(needed.data.answer.lapseChance)}: something else is short.` : needed.data.answer.added === 0 ? `Nobody more is needed: the chance is ${percent(needed.data.answer.lapseChance)}.` : `${needed.data.answer.added} more like ${count.like} bring the chance to ${percent(needed.data.answer.lapseChance)}.`}</p> : null}
      {needed.error ? <ProblemBox problem={needed.error} /> : null}
      {effects.error ? <ProblemBox problem={effects.error} /> : null}
      {effects.busy ? <p role="status">Playing every change …</p> : null}
      {effects.data ? <Table caption="Effect of each change" rows={effects.data.effects.changes} rowKey={(one) => `${one.kind} ${one.words}`} columns={[
        { key: 'what', title: 'Change', sortBy: (one) => one.words, cell: (one) => one.words },
        { key: 'chance', title: 'Something lapses', align: 'end', sortBy: (one) => one.lapseChance, cell: (one) => percent(one.lapseChance) },
        { key: 'change', title: 'Bundles that lapse, against now', align: 'end', sortBy: (one) => one.change, cell: (one) => `${one.change > 0 ? '+' : one.change < 0 ? '−' : ''}${numberWords(Math.abs(Math.round(one.change * 10) / 10))}` },
      ]} startSorted={{ key: 'change', down: false }} /> : null}
    </Section>
  );
}

function Sources({ facts }: { facts: CapacityFacts }) {
  return (
    <Section title="What this rests on">
      <Table caption="What is uncertain and where it comes from" rows={facts.sources} rowKey={(one) => one.name} columns={[
        { key: 'name', title: 'What', cell: (one) => one.name }, { key: 'value', title: 'Taken as', align: 'end', cell: (one) => one.value }, { key: 'from', title: 'From', cell: (one) => one.from },
      ]} />
      <p className="small quiet">Hours, no routes: travel is in the minutes of a visit. Duties are carried on by their cadence as if each were met on its due day. A forecast is no promise.</p>
    </Section>
  );
}
