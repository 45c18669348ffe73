import { forecastCapacity, type Demand, type Person, type Uncertainty } from './capacity.js';

/** What one change of the staff would do. */
export interface StaffChange {
  readonly kind: 'hire' | 'training' | 'lost';
  readonly words: string;
  readonly lapseChance: number;
  /** Mean number of duties that lapse, and the change against the staff as it is; negative: fewer. */
  readonly lapses: number;
  readonly change: number;
}

export interface StaffingEffects {
  readonly lapseChance: number;
  readonly lapses: number;
  readonly changes: readonly StaffChange[];
}

export interface StaffQuestions {
  readonly hire?: Person;
  /** Default: every person and skill that the person lacks and some demand asks for. */
  readonly trainings?: readonly { readonly personId: string; readonly skill: string }[];
  /** Default: everybody, one at a time. */
  readonly lost?: readonly string[];
}

/**
 * The effect of one hire, one training, one lost technician on the weeks ahead, each against the same futures as the staff as
 * it is. Most relief first. Throws RangeError for an unknown person.
 */
export function staffingEffects(demand: readonly Demand[], people: readonly Person[], uncertainty: Uncertainty, questions: StaffQuestions, options: { readonly weeks: number; readonly runs: number; readonly seed: number }): StaffingEffects {
  const asked = [...new Set(demand.flatMap((d) => d.skills))].sort();
  const trainings = questions.trainings ?? people.flatMap((p) => asked.filter((s) => !p.skills.includes(s)).map((skill) => ({ personId: p.id, skill })));
  const lost = questions.lost ?? people.map((p) => p.id);
  for (const id of [...lost, ...trainings.map((t) => t.personId)]) if (!people.some((p) => p.id === id)) throw new RangeError(`person '${id}' is not on the staff`);
  const outcome = (staff: readonly Person[]): { lapseChance: number; lapses: number } => {
    const f = forecastCapacity(demand, staff, uncertainty, options);
    return { lapseChance: f.lapseChance, lapses: f.bySkills.reduce((sum, b) => sum + b.lapses, 0) };
  };
  const base = outcome(people);
  const change = (kind: StaffChange['kind'], words: string, staff: readonly Person[]): StaffChange => {
    const then = outcome(staff);
    return { kind, words, ...then, change: then.lapses - base.lapses };
  };
  const changes = [
    ...(questions.hire === undefined ? [] : [change('hire', `one more person with ${questions.hire.skills.join(' and ')}`, [...people, questions.hire])]),
    ...trainings.map((t) => change('training', `${t.personId} learns ${t.skill}`, people.map((p) => (p.id === t.personId ? { ...p, skills: [...p.skills, t.skill] } : p)))),
    ...lost.map((id) => change('lost', `${id} leaves`, people.filter((p) => p.id !== id))),
  ];
  return { ...base, changes: changes.sort((a, b) => a.change - b.change) };
}

/** What was known at some past moment, and what then came. */
export interface PastForecast {
  readonly demand: readonly Demand[];
  readonly people: readonly Person[];
  readonly uncertainty: Uncertainty;
  /** Per week from that moment: minutes that were needed, and whether a duty lapsed. */
  readonly came: readonly { readonly neededMin: number; readonly lapsed: boolean }[];
}

export interface BackTest {
  readonly weeks: number;
  /** Share of weeks in which what was needed lay between p10 and p90; near 0.8 where the ranges are honest. */
  readonly within: number;
  readonly below: number;
  readonly above: number;
  /** Brier score of the weekly lapse chance (0: perfect), and that of always saying the past share. */
  readonly brier: number;
  readonly brierOfShare: number;
  /** Weeks by forecast chance: what was said on average, and what came. */
  readonly calibration: readonly { readonly from: number; readonly to: number; readonly weeks: number; readonly said: number; readonly came: number }[];
}

const STEPS = [0, 0.05, 0.2, 0.5, 0.8, 1.0001];

/** Holds forecasts made of the past against what then came. Throws RangeError where there is nothing to hold. */
export function backTestCapacity(past: readonly PastForecast[], options: { readonly runs: number; readonly seed: number }): BackTest {
  const seen = past.flatMap((p) => {
    const f = forecastCapacity(p.demand, p.people, p.uncertainty, { weeks: Math.max(1, p.came.length), ...options });
    return p.came.map((came, i) => ({ came, week: f.weeks[i] }));
  });
  if (seen.length === 0) throw new RangeError('no past weeks are given, accepted is at least one');
  const share = (of: (x: (typeof seen)[number]) => boolean): number => seen.filter(of).length / seen.length;
  const below = share((x) => x.came.neededMin < x.week.neededMin.p10);
  const above = share((x) => x.came.neededMin > x.week.neededMin.p90);
  const rate = share((x) => x.came.lapsed);
  const brier = (say: (x: (typeof seen)[number]) => number): number => seen.reduce((sum, x) => sum + (say(x) - (x.came.lapsed ? 1 : 0)) ** 2, 0) / seen.length;
  const calibration = STEPS.slice(1).flatMap((to, i) => {
    const from = STEPS[i];
    const inside = seen.filter((x) => from <= x.week.lapseChance && x.week.lapseChance < to);
    if (inside.length === 0) return [];
    const mean = (of: (x: (typeof seen)[number]) => number): number => inside.reduce((sum, x) => sum + of(x), 0) / inside.length;
    return [{ from, to: Math.min(1, to), weeks: inside.length, said: mean((x) => x.week.lapseChance), came: mean((x) => (x.came.lapsed ? 1 : 0)) }];
  });
  return { weeks: seen.length, within: 1 - below - above, below, above, brier: brier((x) => x.week.lapseChance), brierOfShare: brier(() => rate), calibration };
}

/** Past minutes of one visit. */
export interface PastVisit {
  readonly kind: string;
  readonly minutes: number;
}

export interface LearntMinutes {
  readonly kind: string;
  readonly visits: number;
  /** Mean of the past visits of this kind alone, 0 where there are none. */
  readonly rawMin: number;
  /** Mean minutes to plan with. */
  readonly minutes: number;
  /** Standard deviation of the logarithm within kinds. */
  readonly spread: number;
  /** Weight of the kind's own history against all kinds, 0..1. */
  readonly ownWeight: number;
}

/**
 * Minutes per kind of visit from history, on the logarithm, each drawn towards the mean of all kinds the more the fewer
 * visits it has (normal-normal empirical Bayes, moments of the one-way analysis of variance: Searle, Casella and McCulloch 1992,
 * 'Variance Components', from memory). `kinds` names kinds without history: they get the mean of all. Throws RangeError for
 * minutes not above 0 or no history at all.
 */
export function learnMinutes(history: readonly PastVisit[], kinds: readonly string[] = []): LearntMinutes[] {
  const bad = history.find((h) => !(h.minutes > 0));
  if (bad !== undefined) throw new RangeError(`a past visit of kind '${bad.kind}' took ${bad.minutes} minutes, accepted is a number above 0`);
  if (history.length === 0) throw new RangeError('no past visits are given, accepted is at least one');
  const byKind = new Map<string, number[]>([...history.map((h) => h.kind), ...kinds].map((k) => [k, []]));
  for (const h of history) byKind.get(h.kind)?.push(Math.log(h.minutes));
  const own = [...byKind.values()].filter((x) => x.length > 0);
  const mean = (x: readonly number[]): number => x.reduce((a, b) => a + b, 0) / x.length;
  const n = history.length;
  const within = own.reduce((sum, x) => sum + x.reduce((s, v) => s + (v - mean(x)) ** 2, 0), 0) / Math.max(1, n - own.length);
  const all = mean(own.flat());
  const effective = own.length < 2 ? 0 : (n - own.reduce((s, x) => s + x.length * x.length, 0) / n) / (own.length - 1);
  const between = effective === 0 ? 0 : Math.max(0, (own.reduce((s, x) => s + x.length * (mean(x) - all) ** 2, 0) / (own.length - 1) - within) / effective);
  const weightOf = (count: number): number => (count === 0 || between === 0 ? 0 : between / (between + within / count));
  const weighted = own.map((x) => ({ m: mean(x), w: 1 / (between + within / x.length + 1e-12) }));
  const centre = weighted.reduce((s, x) => s + x.m * x.w, 0) / weighted.reduce((s, x) => s + x.w, 0);
  return [...byKind].map(([kind, logs]): LearntMinutes => {
    const ownWeight = weightOf(logs.length);
    const at = ownWeight * (logs.length === 0 ? 0 : mean(logs)) + (1 - ownWeight) * centre;
    return { kind, visits: logs.length, rawMin: logs.length === 0 ? 0 : mean(logs.map((x) => Math.exp(x))), minutes: Math.exp(at + within / 2), spread: Math.sqrt(within), ownWeight };
  }).sort((a, b) => (a.kind < b.kind ? -1 : 1));
}
