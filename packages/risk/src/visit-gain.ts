/** What a visit on a day takes off a site's exposure, from few numbers kept at scoring. Rules GAIN-1..5 in SPEC.md. */
import { buildChain } from './chain.js';
import { HOURS_PER_DAY } from './component-state.js';
import { exposureOver } from './exposure.js';
import type { RiskModel } from './fit-model.js';
import { requireSite, type ScoreWhen, type SiteInput, type SystemInput } from './site-input.js';

/** Days within which a visit is compared with none: six weeks. */
export const GAIN_DAYS = 42;

// Closer together where a reported fault's down time has its corner (within three days of a proof); smooth after.
const UNTIL_DAYS = [0, 1, 2, 3, 5, 7, 14, 21, 28, 42, 56, 70, 84] as const;
const LAG_DAYS = [0, 3, 14, 28, 42] as const;

/**
 * Weighted unprotected hours (life safety and the site's weight counted as in the score). `untilH`: from the day of scoring until each of
 * UNTIL_DAYS with no visit; `afterH`: after a visit on the day of scoring, and after one GAIN_DAYS later, up to each of LAG_DAYS from it.
 */
export interface VisitGain {
  readonly untilH: readonly number[];
  readonly afterH: readonly [readonly number[], readonly number[]];
}

/** The numbers of one site; six digits, so that a fleet's are small to keep. @throws RiskInputError */
export function visitGain(model: RiskModel, site: SiteInput, when: ScoreWhen): VisitGain {
  requireSite(site);
  const systems: readonly SystemInput[] = site.systems.length > 0 ? site.systems : [{ systemId: 'assumed:system', kind: 'not recorded', components: [] }];
  const chains = systems.map((system) => buildChain(model, site, system, when));
  const after = (visitDay: number) => {
    const sums = LAG_DAYS.map(() => 0);
    for (const chain of chains) cumulate(LAG_DAYS, (fromH, toH) => chain.weight * exposureOver(chain, visitDay * HOURS_PER_DAY + fromH, visitDay * HOURS_PER_DAY + toH, visitDay * HOURS_PER_DAY, null), sums);
    return sums.map(sixDigits);
  };
  const untilH = UNTIL_DAYS.map(() => 0);
  for (const chain of chains) cumulate(UNTIL_DAYS, (fromH, toH) => chain.weight * exposureOver(chain, fromH, toH, -1, null), untilH);
  return { untilH: untilH.map(sixDigits), afterH: [after(0), after(GAIN_DAYS)] };
}

function cumulate(days: readonly number[], between: (fromH: number, toH: number) => number, into: number[]): void {
  let sum = 0;
  for (let i = 1; i < days.length; i++) {
    sum += between((days[i - 1] as number) * HOURS_PER_DAY, (days[i] as number) * HOURS_PER_DAY);
    into[i] = (into[i] as number) + sum;
  }
}

function sixDigits(value: number): number {
  return Number(value.toPrecision(6));
}

/**
 * Hours that a visit on `visitDay` takes off those expected up to `horizonDay` without a visit; both in days since the scoring, so that numbers
 * of another day are only counted from another origin. Never below zero. A visit before the scoring counts as one on its day.
 */
export function gainOf({ untilH, afterH }: VisitGain, visitDay: number, horizonDay: number): number {
  const day = Math.max(0, visitDay);
  if (day >= horizonDay) return 0;
  const lag = horizonDay - day;
  const [now, later] = [between(LAG_DAYS, afterH[0], lag), between(LAG_DAYS, afterH[1], lag)];
  const left = now + ((later - now) * day) / GAIN_DAYS;
  return Math.max(0, between(UNTIL_DAYS, untilH, horizonDay) - between(UNTIL_DAYS, untilH, day) - left);
}

// The cubic through the four nearest numbers; past the last one its last pace goes on.
function between(days: readonly number[], values: readonly number[], day: number): number {
  const last = days.length - 1;
  const [end, before] = [days[last] as number, days[last - 1] as number];
  if (day > end) return (values[last] as number) + ((day - end) * ((values[last] as number) - (values[last - 1] as number))) / (end - before);
  let at = 0;
  while (at < last - 1 && day > (days[at + 1] as number)) at++;
  const first = Math.max(0, Math.min(last - 3, at - 1));
  let sum = 0;
  for (let i = first; i < first + 4; i++) {
    let weight = 1;
    for (let j = first; j < first + 4; j++) if (j !== i) weight *= (day - (days[j] as number)) / ((days[i] as number) - (days[j] as number));
    sum += weight * (values[i] as number);
  }
  return sum;
}
