/** Life of standby batteries: Weibull in temperature-accelerated age, fitted with censoring. Rules BAT-1..6 in SPEC.md. */
import type { RiskSettings } from './component-classes.js';
import { minimise } from './minimise.js';
import { gammaP, lnGamma } from './special-functions.js';
import { NO_WRONG_VERDICTS, type WrongVerdicts } from './wrong-verdicts.js';

/** Weibull life; ages in years of effective age. */
export interface WeibullLife {
  readonly shape: number;
  readonly scaleYears: number;
}

/** Effective years per calendar year at `temperatureC`: doubles every `halvingC` above the reference, never slower than at `coolestC`. */
export function ageingFactor(temperatureC: number, settings: Pick<RiskSettings, 'referenceC' | 'halvingC' | 'coolestC'>): number {
  return 2 ** ((Math.max(temperatureC, settings.coolestC) - settings.referenceC) / settings.halvingC);
}

/** Cumulated hazard at effective age `years`: (t/η)^β. */
export function weibullHazard(life: WeibullLife, years: number): number {
  return years <= 0 ? 0 : (years / life.scaleYears) ** life.shape;
}

/** Probability of failing within `withinYears` given alive at `years`: 1 − exp[(t/η)^β − ((t+dt)/η)^β]. */
export function failsWithin(life: WeibullLife, years: number, withinYears: number): number {
  return -Math.expm1(weibullHazard(life, years) - weibullHazard(life, years + withinYears));
}

/** Mean life, years: η Γ(1 + 1/β). */
export function meanLife(life: WeibullLife): number {
  return life.scaleYears * Math.exp(lnGamma(1 + 1 / life.shape));
}

/** Mean years left given alive at `years`: ∫ R(u) du from there, over R(there), by the incomplete gamma function. */
export function meanRemaining(life: WeibullLife, years: number): number {
  const hazard = weibullHazard(life, years);
  const beyond = 1 - gammaP(1 / life.shape, hazard);
  return (life.scaleYears / life.shape) * Math.exp(lnGamma(1 / life.shape) + hazard) * beyond;
}

/**
 * One battery's life as it was seen; ages in calendar years. It was watched from `fromAgeYears` (0 when from new) to `toAgeYears`. When it
 * failed, `lastGoodAgeYears` is its age at the last check that passed, if known: the failure lies between. When it did not fail it was
 * replaced before, or is still in service.
 */
export interface BatteryLife {
  readonly fromAgeYears: number;
  readonly toAgeYears: number;
  readonly temperatureC: number | null;
  readonly failed: boolean;
  readonly lastGoodAgeYears?: number | null;
}

// Hyper-priors on shape and scale: one standard deviation is a factor of about 1.35 and 1.65.
const SHAPE_SD = 0.3;
const SCALE_SD = 0.5;

/**
 * Weibull fitted to lives by maximum likelihood with right censoring, left truncation and interval-censored failures, held near `start`.
 * `frailty` is the gamma shape of the spread between batteries: survival is (1 + H/frailty)^−frailty, as in scoring.
 */
export function fitWeibull(lives: readonly BatteryLife[], start: WeibullLife, frailty: number, settings: RiskSettings, wrong: WrongVerdicts = NO_WRONG_VERDICTS): WeibullLife {
  const seen = lives
    .map((life) => effectiveAges(life, settings))
    .filter((life) => life.to > life.from);
  if (seen.length === 0) return start;
  const at0 = [Math.log(start.shape), Math.log(start.scaleYears)] as const;
  const cost = (at: readonly number[]): number => {
    const s = ((at[0] as number) - at0[0]) / SHAPE_SD;
    const c = ((at[1] as number) - at0[1]) / SCALE_SD;
    if (Math.abs(s) > 10 || Math.abs(c) > 10) return Infinity;
    const life = { shape: Math.exp(at[0] as number), scaleYears: Math.exp(at[1] as number) };
    let sum = 0.5 * (s * s + c * c);
    for (const one of seen) sum -= lifeLogLikelihood(life, frailty, one, wrong);
    return sum;
  };
  const [shape, scale] = minimise(cost, at0, 0.2) as [number, number];
  return { shape: Math.exp(shape), scaleYears: Math.exp(scale) };
}

interface SeenLife {
  readonly from: number;
  readonly to: number;
  readonly lastGood: number | null;
  readonly failed: boolean;
}

function effectiveAges(life: BatteryLife, settings: RiskSettings): SeenLife {
  const factor = ageingFactor(life.temperatureC ?? settings.unknownTemperatureC, settings);
  const lastGood = life.lastGoodAgeYears ?? null;
  return {
    from: life.fromAgeYears * factor,
    to: life.toAgeYears * factor,
    lastGood: lastGood === null ? null : Math.max(lastGood, life.fromAgeYears) * factor,
    failed: life.failed,
  };
}

function lifeLogLikelihood(life: WeibullLife, frailty: number, seen: SeenLife, { falseFail, falsePass }: WrongVerdicts): number {
  const lnSurvival = (years: number): number => -frailty * Math.log1p(weibullHazard(life, years) / frailty);
  const entered = lnSurvival(seen.from);
  const left = lnSurvival(seen.to);
  if (falseFail > 0 && seen.lastGood !== null && seen.lastGood < seen.to) {
    // Its last verdict may be wrong: it failed since the look before and passed, or did not and failed.
    const [alive, fell] = [Math.exp(left - entered), Math.exp(lnSurvival(seen.lastGood) - entered) - Math.exp(left - entered)];
    return Math.log(Math.max(seen.failed ? (1 - falsePass) * fell + falseFail * alive : (1 - falseFail) * alive + falsePass * fell, 1e-300));
  }
  if (!seen.failed) return left - entered;
  if (seen.lastGood !== null && seen.lastGood < seen.to) {
    const good = lnSurvival(seen.lastGood);
    return good + Math.log(Math.max(-Math.expm1(left - good), 1e-300)) - entered;
  }
  const lnHazard = Math.log(life.shape / life.scaleYears) + (life.shape - 1) * Math.log(seen.to / life.scaleYears);
  return lnHazard - Math.log1p(weibullHazard(life, seen.to) / frailty) + left - entered;
}
