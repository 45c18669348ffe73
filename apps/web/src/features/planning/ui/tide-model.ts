import type { CapacityFacts } from '@bellround/contracts';
import { backTestCapacity, forecastCapacity, staffingEffects, staffNeeded, type BackTest, type CapacityForecast, type Demand, type Person, type StaffingEffects, type StaffingAnswer } from '@bellround/planning';

/** A change of the staff to try. */
export interface StaffTrial { hireLike: string; lost: string; trained: string; skill: string }
export const NO_TRIAL: StaffTrial = { hireLike: '', lost: '', trained: '', skill: '' };

export type TideQuestion =
  | { kind: 'forecast'; facts: CapacityFacts; trial: StaffTrial; weeks: number }
  | { kind: 'effects'; facts: CapacityFacts; weeks: number }
  | { kind: 'needed'; facts: CapacityFacts; weeks: number; like: string; acceptable: number }
  | { kind: 'areas'; facts: CapacityFacts; weeks: number }
  | { kind: 'past'; facts: CapacityFacts };
export type TideAnswer = { kind: 'forecast'; forecast: CapacityForecast } | { kind: 'effects'; effects: StaffingEffects } | { kind: 'needed'; answer: StaffingAnswer } | { kind: 'areas'; forecast: CapacityForecast } | { kind: 'past'; test: BackTest };

/** Visits of one group are drawn apart up to so many: together they would all find nobody in at once. */
const MOST_PARTS = 12;
const SEED = 1;
/** Futures played; effects play one set for each change, so fewer. */
const RUNS = { forecast: 200, effects: 40, needed: 60, areas: 60, past: 60 };
/** What stands for all places that have no row of their own; no place is called so. */
export const ELSEWHERE = '\u2026';
const MOST_HIRES = 12;

/** Each group as several bundles of work, so that chance works on visits and not on weeks. */
export function demandOf(facts: Pick<CapacityFacts, 'demand'>, byArea = false): Demand[] {
  return (byArea ? facts.demand : wholeOf(facts.demand)).flatMap((one) => {
    const parts = Math.max(1, Math.min(MOST_PARTS, one.visits));
    return Array.from({ length: parts }, (_, part) => ({ id: `${one.id} ${part}`, skills: one.skills, ...(byArea ? { area: one.area ?? ELSEWHERE } : {}), opensWeek: one.opensWeek, closesWeek: one.closesWeek, minutes: one.minutes / parts }));
  });
}

/** The work of all places together: the same skills and weeks are one group. */
function wholeOf(demand: CapacityFacts['demand']): CapacityFacts['demand'] {
  const groups = new Map<string, CapacityFacts['demand'][number]>();
  for (const one of demand) {
    const key = `${one.skills.join()} ${one.opensWeek} ${one.closesWeek}`;
    const known = groups.get(key);
    groups.set(key, known ? { ...known, minutes: known.minutes + one.minutes, visits: known.visits + one.visits } : one);
  }
  return [...groups.values()];
}

/** Standard normal quantile of 0.9. */
const ONE_IN_TEN = 1.2816;
/** What a failed try at access costs of a visit, as in the forecast. */
const FAILED_TRY = 0.25;
/** Spread of a week's breakdowns, as in the forecast. */
const BREAKDOWN_SPREAD = 0.25;

export interface WaterWeek { p10: number; p50: number; p90: number }

/**
 * Hours owed, week by week: each bundle spread evenly over the weeks in which it can be done, with the minutes that failed access
 * and second visits add. The range holds eight futures in ten (independent visits, so their spreads add as squares).
 * `skills` null: all work, with breakdowns.
 */
export function waterOf(facts: CapacityFacts, skills: string | null): WaterWeek[] {
  const { noAccess, repeat, minutesSpread, breakdownMinutes } = facts.uncertainty;
  const more = 1 + (FAILED_TRY * noAccess) / Math.max(0.05, 1 - noAccess) + repeat;
  const oneVisit = (Math.exp(minutesSpread ** 2) - 1) * (1 + repeat) + repeat * (1 - repeat) + FAILED_TRY ** 2 * noAccess;
  const weeks = Array.from({ length: facts.weeks }, (_, week) => ({ mean: skills === null ? (breakdownMinutes[week % Math.max(1, breakdownMinutes.length)] ?? 0) : 0, variance: 0 }));
  for (const week of weeks) week.variance = (week.mean * BREAKDOWN_SPREAD) ** 2;
  for (const one of facts.demand) {
    if (skills !== null && one.skills.join(' + ') !== skills) continue;
    const last = Math.min(one.closesWeek, facts.weeks - 1);
    const share = one.minutes / (one.closesWeek - one.opensWeek + 1);
    const visits = Math.max(1, one.visits / (one.closesWeek - one.opensWeek + 1));
    for (let week = one.opensWeek; week <= last; week++) {
      weeks[week]!.mean += share * more;
      weeks[week]!.variance += (share ** 2 / visits) * oneVisit;
    }
  }
  return weeks.map(({ mean, variance }) => ({ p10: Math.max(0, mean - ONE_IN_TEN * Math.sqrt(variance)), p50: mean, p90: mean + ONE_IN_TEN * Math.sqrt(variance) }));
}

/** The staff by name, so that what the engine says in words can be read. */
export function staffOf(facts: Pick<CapacityFacts, 'people'>): Person[] {
  const names = new Map<string, number>();
  return facts.people.map((one) => {
    const nth = (names.get(one.name) ?? 0) + 1;
    names.set(one.name, nth);
    return { id: nth === 1 ? one.name : `${one.name} (${nth})`, skills: one.skills, minutesPerWeek: one.minutesPerWeek, weeksOff: one.weeksOff, skillEnds: one.skillEnds };
  });
}

/** Counted, never shown: the worker that plays the forecast has no catalogue. A newcomer like somebody: the same skills and hours, no leave booked, licences that do not end. */
export function hireLike(people: readonly Person[], id: string, name = 'one more'): Person | null {
  const pattern = people.find((one) => one.id === id);
  return pattern ? { id: name, skills: pattern.skills, minutesPerWeek: pattern.minutesPerWeek } : null;
}

export function staffAfter(people: readonly Person[], trial: StaffTrial): Person[] {
  const hired = hireLike(people, trial.hireLike);
  return [
    ...people.filter((one) => one.id !== trial.lost).map((one) => (one.id === trial.trained && trial.skill !== '' && !one.skills.includes(trial.skill) ? { ...one, skills: [...one.skills, trial.skill] } : one)),
    ...(hired ? [hired] : []),
  ];
}

/** Forecasts as they would have been made at Mondays of the past, held against what then came. */
function pastTest(facts: CapacityFacts): BackTest {
  return backTestCapacity(facts.past.map((one) => ({ demand: demandOf(one), people: staffOf(one), uncertainty: one.uncertainty, came: one.came })), { runs: RUNS.past, seed: SEED });
}

export function answerTide(question: TideQuestion): TideAnswer {
  if (question.kind === 'past') return { kind: 'past', test: pastTest(question.facts) };
  const { facts, weeks } = question;
  const [demand, people] = [demandOf(facts), staffOf(facts)];
  if (question.kind === 'forecast') return { kind: 'forecast', forecast: forecastCapacity(demand, staffAfter(people, question.trial), facts.uncertainty, { weeks, runs: RUNS.forecast, seed: SEED }) };
  if (question.kind === 'areas') return { kind: 'areas', forecast: forecastCapacity(demandOf(facts, true), people, facts.uncertainty, { weeks, runs: RUNS.areas, seed: SEED }) };
  if (question.kind === 'effects') {
    const widest = people.toSorted((a, b) => b.skills.length - a.skills.length)[0];
    const hire = widest ? hireLike(people, widest.id) : null;
    return { kind: 'effects', effects: staffingEffects(demand, people, facts.uncertainty, hire ? { hire } : {}, { weeks, runs: RUNS.effects, seed: SEED }) };
  }
  const pattern = hireLike(people, question.like);
  if (!pattern) return { kind: 'needed', answer: { added: null, lapseChance: 1 } };
  return { kind: 'needed', answer: staffNeeded(demand, people, facts.uncertainty, pattern, question.acceptable, { weeks, runs: RUNS.needed, seed: SEED, most: MOST_HIRES }) };
}
