import type { CapacityFacts } from '@bellround/contracts';
import { useState } from 'react';
import { dayShort, minutesWords, numberWords, plusDays } from '../../../shared/format.js';
import { phrase } from '../../../shared/language/index.js';
import { Button, Mark, ProblemBox, Section, Table } from '../../../shared/ui/index.js';
import { ELSEWHERE, type TideAnswer, type TideQuestion } from './tide-model.js';
import { useTold } from './use-tide.js';

type Ask = (question: TideQuestion) => Promise<TideAnswer>;
const percent = (share: number): string => `${Math.round(100 * share)} %`;

/** Work by skill and place: where it lies, and where it begins to lapse. */
export function Areas({ facts, ask }: { facts: CapacityFacts; ask: Ask }) {
  const [isAsked, setAsked] = useState(false);
  const told = useTold<'areas'>(ask, isAsked ? { kind: 'areas', facts, weeks: facts.weeks } : null, `${isAsked} ${facts.weeks} ${facts.fromMonday} ${facts.uncertainty.leaveWeeks ?? 0} ${facts.demand.length}`);
  return (
    <Section title={phrase('planning.by-skill-and-area')} actions={isAsked ? null : <Button size="small" onClick={() => setAsked(true)}>{phrase('planning.work-it-out-by-area')}</Button>}>
      {told.error ? <ProblemBox problem={told.error} /> : null}
      {told.busy ? <p role="status">{phrase('planning.playing-every-area')}</p> : null}
      {told.data ? <Table caption={phrase('planning.work-by-skill-and-area')} rows={told.data.forecast.groups} rowKey={(group) => `${group.skills} ${group.area ?? ''}`} columns={[
        { key: 'area', title: phrase('planning.area'), sortBy: (group) => (group.area === ELSEWHERE ? '\uffff' : group.area ?? ''), cell: (group) => (group.area === ELSEWHERE ? phrase('planning.elsewhere') : group.area) },
        { key: 'skills', title: phrase('planning.asks-for'), sortBy: (group) => group.skills, cell: (group) => group.skills || phrase('planning.no-skill') },
        { key: 'owed', title: phrase('planning.must-be-done-in-the-weeks'), align: 'end', sortBy: (group) => group.weeks.reduce((sum, week) => sum + week.neededMin.p50, 0), cell: (group) => minutesWords(group.weeks.reduce((sum, week) => sum + week.neededMin.p50, 0)) },
        { key: 'lapses', title: phrase('planning.bundles-that-lapse'), align: 'end', sortBy: (group) => group.lapses, cell: (group) => numberWords(Math.round(10 * group.lapses) / 10) },
        { key: 'begin', title: phrase('planning.begins-to-lapse'), sortBy: (group) => group.lapsesBegin ?? 999, cell: (group) => (group.lapsesBegin === null ? <Mark shape="standing" tone="good">{phrase('planning.not-in-these-weeks')}</Mark> : <Mark shape="bracketed" tone="bad">{dayShort(plusDays(facts.fromMonday, group.lapsesBegin * 7))}</Mark>) },
      ]} startSorted={{ key: 'lapses', down: true }} /> : null}
      <p className="small quiet">{phrase('planning.an-area-is-a-locality')}</p>
    </Section>
  );
}

/** Forecasts as they would have been made in the past year, held against what came: what this page's word is worth. */
export function BackTestOf({ facts, ask }: { facts: CapacityFacts; ask: Ask }) {
  const hasPast = facts.past.length > 0;
  const told = useTold<'past'>(ask, hasPast ? { kind: 'past', facts } : null, `${facts.fromMonday} ${facts.past.length}`);
  const test = told.data?.test;
  return (
    <Section title={phrase('planning.held-against-the-past-year')}>
      {hasPast ? null : <p className="quiet">{phrase('planning.no-past-weeks-on-record')}</p>}
      {told.error ? <ProblemBox problem={told.error} /> : null}
      {told.busy && !test ? <p role="status">{phrase('planning.playing-the-past-year')}</p> : null}
      {test ? (<>
        <p>{phrase('planning.of-weeks-inside-the-range', { weeks: numberWords(test.weeks), inside: percent(test.within), above: percent(test.above), below: percent(test.below) })}</p>
        <p>{phrase('planning.brier-against-share', { brier: numberWords(test.brier, 3), share: numberWords(test.brierOfShare, 3), value: test.brier < test.brierOfShare ? phrase('planning.the-forecast-says-more') : phrase('planning.the-forecast-says-no-more') })}</p>
        <Table caption={phrase('planning.chance-said-and-what-came')} rows={test.calibration} rowKey={(one) => String(one.from)} columns={[
          { key: 'said', title: phrase('planning.chance-of-a-lapse-said'), cell: (one) => phrase('planning.from-to-on-average', { from: percent(one.from), to: percent(one.to), said: percent(one.said) }) },
          { key: 'weeks', title: phrase('planning.past-weeks'), align: 'end', cell: (one) => numberWords(one.weeks) }, { key: 'came', title: phrase('planning.weeks-with-a-lapse'), align: 'end', cell: (one) => percent(one.came) },
        ]} />
      </>) : null}
      <p className="small quiet">{phrase('planning.how-the-past-is-played')}</p>
    </Section>
  );
}
