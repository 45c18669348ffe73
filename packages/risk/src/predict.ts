/** Chances that single components fail in a period, and what batteries to order. Rules PRE-1..3 in SPEC.md. */
import { componentState, DAYS_PER_YEAR, HOURS_PER_DAY } from './component-state.js';
import type { RiskModel } from './fit-model.js';
import type { ComponentInput } from './site-input.js';
import { weibullHazard } from './weibull.js';

// Ages at which an undated battery is tried, evenly up to the upper age of the rule.
const AGES_TRIED = 8;

/**
 * Probability that a component good on day `today` has a failure, reported or silent, by `untilDay`. A battery without any date is averaged
 * over the ages it may have: a forecast must not lean, while a score counts the bad side.
 */
export function failureChance(model: RiskModel, component: ComponentInput, today: number, untilDay: number): number {
  if (component.class !== 'battery' || component.ageYears !== null || component.installedDay !== null) return chanceOf(model, component, today, untilDay);
  let sum = 0;
  for (let n = 0; n < AGES_TRIED; n++) sum += chanceOf(model, { ...component, ageYears: ((n + 0.5) / AGES_TRIED) * model.settings.unknownBatteryAgeYears }, today, untilDay);
  return sum / AGES_TRIED;
}

function chanceOf(model: RiskModel, component: ComponentInput, today: number, untilDay: number): number {
  const days = Math.max(0, untilDay - today);
  const state = componentState(model, { ...component, lastProofDay: today }, { today, nextProofDay: untilDay });
  const { battery } = state;
  const years = days * HOURS_PER_DAY * (battery?.perHour ?? 0);
  const x = battery === null ? days * HOURS_PER_DAY : weibullHazard(battery, battery.ageNowYears + years) - weibullHazard(battery, battery.ageNowYears);
  return -Math.expm1(-state.shape * Math.log1p((state.factor * x) / state.hours));
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
  const lines: ForecastLine[] = [];
  const groups = grouped(batteries);
  for (const [ratedMah, group] of [...groups].sort((a, b) => (a[0] ?? Infinity) - (b[0] ?? Infinity))) {
    for (let month = 0; month < months; month++) {
      let expected = 0;
      let variance = 0;
      for (const { component } of group) {
        const p = failureChance(model, component, today, today + monthDays * (month + 1)) - failureChance(model, component, today, today + monthDays * month);
        expected += p;
        variance += p * (1 - p);
      }
      lines.push({ month, ratedMah, expected, upper: Math.ceil(expected + 1.2816 * Math.sqrt(variance)) });
    }
  }
  return lines;
}

function grouped(batteries: readonly ForecastBattery[]): Map<number | null, ForecastBattery[]> {
  const groups = new Map<number | null, ForecastBattery[]>();
  for (const one of batteries) groups.set(one.ratedMah, [...(groups.get(one.ratedMah) ?? []), one]);
  return groups;
}
