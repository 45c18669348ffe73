/** Chances that single components fail in a period, and what batteries to order. Rules PRE-1..3 in SPEC.md. */
import { componentState, DAYS_PER_YEAR, HOURS_PER_DAY } from './component-state.js';
import type { RiskModel } from './fit-model.js';
import type { ComponentInput } from './site-input.js';
import { weibullHazard } from './weibull.js';

// Ages at which an undated battery is tried when the company's own say nothing, evenly up to the upper age of the rule.
const AGES_TRIED = 8;

/**
 * Probability that a component good on day `today` has a failure, reported or silent, by `untilDay`. A battery without any date is averaged
 * over the ages that the company's dated batteries have, or without enough of them over all ages up to the rule's: a forecast must not lean,
 * while a score counts the bad side.
 */
export function failureChance(model: RiskModel, component: ComponentInput, today: number, untilDay: number): number {
  return failureChances(model, component, today, [untilDay])[0] as number;
}

/** The same for several days at once. */
export function failureChances(model: RiskModel, component: ComponentInput, today: number, untilDays: readonly number[]): number[] {
  if (component.class !== 'battery' || component.ageYears !== null || component.installedDay !== null) return chancesOf(model, component, today, untilDays);
  const sums = untilDays.map(() => 0);
  const own = model.battery.agesYears ?? [];
  const ages = own.length > 0 ? own : Array.from({ length: AGES_TRIED }, (_, n) => ((n + 0.5) / AGES_TRIED) * model.settings.unknownBatteryAgeYears);
  for (const ageYears of ages) {
    chancesOf(model, { ...component, ageYears }, today, untilDays).forEach((chance, at) => (sums[at] = (sums[at] as number) + chance / ages.length));
  }
  return sums;
}

function chancesOf(model: RiskModel, component: ComponentInput, today: number, untilDays: readonly number[]): number[] {
  const state = componentState(model, { ...component, lastProofDay: today }, { today, nextProofDay: today + 1 });
  const { battery } = state;
  return untilDays.map((untilDay) => {
    const hours = Math.max(0, untilDay - today) * HOURS_PER_DAY;
    const x = battery === null ? hours : weibullHazard(battery, battery.ageNowYears + hours * battery.perHour) - weibullHazard(battery, battery.ageNowYears);
    return -Math.expm1(-state.shape * Math.log1p((state.factor * x) / state.hours));
  });
}

/** A battery in the forecast; `ratedMah` groups what to order. */
export interface ForecastBattery {
  readonly component: ComponentInput;
  readonly ratedMah: number | null;
}

/** One line of the order: how many of one rating are expected to fail in a month of 30.4375 days, and the 90 % upper count. */
export interface ForecastLine {
  readonly month: number;
  readonly ratedMah: number | null;
  readonly expected: number;
  readonly upper: number;
}

/** Expected battery failures by month from `today` (month 0 is the coming one) and rating. */
export function batteryForecast(model: RiskModel, batteries: readonly ForecastBattery[], today: number, months: number): ForecastLine[] {
  const monthDays = DAYS_PER_YEAR / 12;
  const ends = Array.from({ length: months }, (_, month) => today + monthDays * (month + 1));
  const lines: ForecastLine[] = [];
  const groups = grouped(batteries);
  for (const [ratedMah, group] of [...groups].sort((a, b) => (a[0] ?? Infinity) - (b[0] ?? Infinity))) {
    const [expected, variance] = [new Float64Array(months), new Float64Array(months)];
    for (const { component } of group) {
      const chances = failureChances(model, component, today, ends);
      chances.forEach((chance, month) => {
        const p = chance - (chances[month - 1] ?? 0);
        expected[month] = (expected[month] as number) + p;
        variance[month] = (variance[month] as number) + p * (1 - p);
      });
    }
    for (let month = 0; month < months; month++) lines.push({ month, ratedMah, expected: expected[month] as number, upper: Math.ceil((expected[month] as number) + 1.2816 * Math.sqrt(variance[month] as number)) });
  }
  return lines;
}

function grouped(batteries: readonly ForecastBattery[]): Map<number | null, ForecastBattery[]> {
  const groups = new Map<number | null, ForecastBattery[]>();
  for (const one of batteries) {
    const group = groups.get(one.ratedMah);
    if (group === undefined) groups.set(one.ratedMah, [one]);
    else group.push(one);
  }
  return groups;
}
