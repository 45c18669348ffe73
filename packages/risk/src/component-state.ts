/** One component as numbers: its cumulated chance of being down at any hour from now. Rules EXP-1..7 in SPEC.md. */
import { CLASS_DEFAULTS } from './component-classes.js';
import { checksRevealing, modesLookedFor } from './failure-modes.js';
import type { RiskModel } from './fit-model.js';
import { rateFactor } from './rate-factors.js';
import type { ComponentInput, ScoreWhen } from './site-input.js';
import { ageingFactor, meanLife } from './weibull.js';
import { NO_WRONG_VERDICTS, recordRateInterval, trueFailures } from './wrong-verdicts.js';

export const HOURS_PER_DAY = 24;
export const DAYS_PER_YEAR = 365.25;
export const HOURS_PER_YEAR = HOURS_PER_DAY * DAYS_PER_YEAR;

/** Log-survival of a component known to be down: as good as never working, and still finite. */
const DOWN = 50;

/** The causes that a component's exposure is made of, in the order of `causeShares`. */
export const CAUSES = ['reported-fault', 'silent-fault', 'battery-age', 'outside-checks', 'weak-radio', 'known-fault'] as const;

export type Cause = (typeof CAUSES)[number];

/** A field nobody recorded, the value used in its place, and what a recorded good value would be. */
export interface Gap {
  readonly field: 'proof' | 'installed' | 'age' | 'temperature' | 'margin' | 'coverage' | 'supervision' | 'environment' | 'component';
  readonly counted: string;
  readonly good: Partial<ComponentInput>;
}

/** Numbers of one component; hours are counted from today. */
export interface ComponentState {
  readonly input: ComponentInput;
  readonly gaps: readonly Gap[];
  /** Posterior of its rate: survival over x is (1 + x / hours)^−shape. */
  readonly shape: number;
  readonly hours: number;
  readonly factor: number;
  readonly reportedShare: number;
  /** Hours a reported fault lasts: until known, and until repaired. */
  readonly faultH: number;
  readonly coverage: number;
  /** Share of what a check should reveal that it does reveal: less than 1 where failed parts are passed now and then. */
  readonly believed: number;
  readonly sinceProofH: number;
  readonly sinceFullH: number;
  /** Share of silent failures covered by what was looked for, and for how long they may have stood, when looks are recorded. */
  readonly looked: Looked | null;
  readonly battery: BatteryState | null;
  readonly down: boolean;
  readonly strains: Strains;
}

/**
 * What multiplies the hours that each silent part of the failures has stood: the shares of what a proof reveals and does not, and the same of
 * what was looked for; all of them as they grow with the hour until the planned proof (`silentNow + silentPerHour · hour`);
 * and `perHour`, the rate all of it is worth.
 */
interface Strains {
  readonly perHour: number;
  readonly covered: number;
  readonly uncovered: number;
  readonly looked: number;
  readonly unlooked: number;
  readonly silentNow: number;
  readonly silentPerHour: number;
}

/** `meanH`: mean hours since the modes looked for were last looked for, by their shares; `spent`: a battery's hazard at those looks, so shared out. */
interface Looked {
  readonly share: number;
  readonly meanH: number;
  readonly spent: number;
}

interface BatteryState {
  readonly ageNowYears: number;
  readonly calendarYears: number;
  readonly temperatureC: number;
  readonly perHour: number;
  readonly shape: number;
  readonly scaleYears: number;
  /** Hazard at its last proof. */
  readonly spent: number;
}

/** Builds the numbers of one component. Input is taken as checked by requireSite. */
export function componentState(model: RiskModel, c: ComponentInput, when: ScoreWhen): ComponentState {
  const gaps: Gap[] = [];
  const { settings } = model;
  const unknownH = settings.unknownProofYears * HOURS_PER_YEAR;
  const installedH = c.installedDay === null ? null : Math.max(0, when.today - c.installedDay) * HOURS_PER_DAY;
  const proofH = c.lastProofDay === null ? null : Math.max(0, when.today - c.lastProofDay) * HOURS_PER_DAY;
  const sinceProofH = proofH ?? installedH ?? unknownH;
  const sinceFullH = Math.max(sinceProofH, installedH ?? unknownH);
  if (proofH === null) gaps.push({ field: 'proof', counted: installedH === null ? `${settings.unknownProofYears} years ago` : 'never since installation', good: { lastProofDay: when.today, looks: checksRevealing(c.class).map((check) => ({ check, day: when.today })) } });
  // A battery's untested part is counted from its age instead.
  else if (installedH === null && c.class !== 'battery') gaps.push({ field: 'installed', counted: `at least ${settings.unknownProofYears} years ago`, good: { installedDay: when.today } });
  const coverage = c.coverage ?? settings.unknownCoverage;
  if (c.coverage === null) gaps.push({ field: 'coverage', counted: `${Math.round(coverage * 100)} %`, good: { coverage: 0.95 } });
  const reportedShare = c.selfReported ? CLASS_DEFAULTS[c.class].reportedShare : 0;
  if (c.selfReported && c.supervisionH === null) gaps.push({ field: 'supervision', counted: `${settings.unknownSupervisionH} h`, good: { supervisionH: 1 } });
  if (CLASS_DEFAULTS[c.class].radio && c.marginDb === null) gaps.push({ field: 'margin', counted: `${settings.unknownMarginDb} dB`, good: { marginDb: 20 } });
  if (c.harsh === null) gaps.push({ field: 'environment', counted: 'harsh', good: { harsh: false } });
  const battery = c.class === 'battery' ? batteryState(model, c, when, gaps, sinceProofH) : null;
  const rate = model.rates[c.class];
  const factor = rateFactor(model.weights, c.class, c, settings);
  const hours = rate.hours + (battery === null ? c.hoursInService * factor * seenShare(model, c) : batteryEvidence(model, c, battery));
  const believed = seenShare(model, c);
  const looked = c.looks === undefined ? null : lookedFor(c, c.looks, when, sinceFullH, battery);
  return {
    input: c,
    gaps,
    shape: rate.shape + believedFailures(model, c, factor),
    hours,
    factor,
    reportedShare,
    faultH: (c.supervisionH ?? settings.unknownSupervisionH) + settings.repairH,
    coverage,
    believed,
    sinceProofH,
    sinceFullH,
    looked,
    battery,
    down: c.down === true,
    strains: strainsOf(factor / hours, reportedShare, believed, coverage, looked, sinceProofH, sinceFullH),
  };
}

function strainsOf(perHour: number, reported: number, believed: number, coverage: number, seen: Looked | null, sinceProofH: number, sinceFullH: number): Strains {
  const silent = 1 - reported;
  const [byProof, byLooks] = [believed * coverage, believed * (seen?.share ?? 0)];
  const [covered, uncovered] = [silent * byProof, silent * (1 - byProof)];
  const [looked, unlooked] = [silent * byLooks, silent * (1 - byLooks)];
  return {
    perHour, covered, uncovered, looked, unlooked,
    silentNow: seen === null ? covered * sinceProofH + uncovered * sinceFullH : looked * seen.meanH + unlooked * sinceFullH,
    silentPerHour: silent,
  };
}

// Failures that wrong verdicts hid are missing from the record of its hours.
function seenShare(model: RiskModel, c: ComponentInput): number {
  return model.verdicts === undefined || c.verdicts === undefined ? 1 : 1 - model.verdicts.falsePass;
}

/** Interval of a component's rate per hour at factor 1, after its own record. */
export function componentRateInterval(model: RiskModel, c: ComponentInput, level: number): { low: number; high: number } {
  const hours = c.hoursInService * rateFactor(model.weights, c.class, c, model.settings);
  return recordRateInterval(model.rates[c.class], { failures: c.failures, hours, looks: c.verdicts ?? 0 }, c.verdicts === undefined ? NO_WRONG_VERDICTS : (model.verdicts ?? NO_WRONG_VERDICTS), level);
}

// Of a battery the age says more than single verdicts.
function believedFailures(model: RiskModel, c: ComponentInput, factor: number): number {
  if (model.verdicts === undefined || c.failures === 0 || c.verdicts === undefined || c.class === 'battery') return c.failures;
  return trueFailures(model.rates[c.class], { failures: c.failures, hours: c.hoursInService * factor, looks: c.verdicts }, model.verdicts);
}

function lookedFor(c: ComponentInput, looks: NonNullable<ComponentInput['looks']>, when: ScoreWhen, sinceFullH: number, battery: BatteryState | null): Looked {
  const modes = modesLookedFor(c.class, looks).map(({ share, day }) => ({ share, sinceH: Math.min(sinceFullH, Math.max(0, when.today - day) * HOURS_PER_DAY) }));
  const share = modes.reduce((sum, one) => sum + one.share, 0);
  return { share, meanH: share > 0 ? modes.reduce((sum, one) => sum + one.share * one.sinceH, 0) / share : 0, spent: battery === null ? 0 : modes.reduce((sum, one) => sum + one.share * hazardAt(battery, -one.sinceH), 0) };
}

function batteryState(model: RiskModel, c: ComponentInput, when: ScoreWhen, gaps: Gap[], sinceProofH: number): BatteryState {
  const { settings, battery } = model;
  const temperatureC = c.temperatureC ?? settings.unknownTemperatureC;
  if (c.temperatureC === null) gaps.push({ field: 'temperature', counted: `${temperatureC} °C`, good: { temperatureC: settings.coolestC } });
  let years = c.ageYears ?? (c.installedDay === null ? null : Math.max(0, when.today - c.installedDay) / DAYS_PER_YEAR);
  if (years === null) {
    years = settings.unknownBatteryAgeYears;
    gaps.push({ field: 'age', counted: `${years} years`, good: { ageYears: 1 } });
  }
  const factor = ageingFactor(temperatureC, settings);
  const state = { ageNowYears: years * factor, calendarYears: years, temperatureC, perHour: factor / HOURS_PER_YEAR, shape: battery.shape, scaleYears: battery.scaleYears };
  return { ...state, spent: hazardAt(state, -sinceProofH) };
}

// What its history already spent of the expected failures: earlier batteries in its place, and its own years up to the last proof.
function batteryEvidence(model: RiskModel, c: ComponentInput, battery: BatteryState): number {
  const earlierH = Math.max(0, c.hoursInService - battery.calendarYears * HOURS_PER_YEAR);
  return battery.spent + earlierH / (meanLife(model.battery) * HOURS_PER_YEAR);
}

function hazardAt(battery: Omit<BatteryState, 'spent'>, hour: number): number {
  const years = battery.ageNowYears + hour * battery.perHour;
  return years <= 0 ? 0 : (years / battery.scaleYears) ** battery.shape;
}

/**
 * Log-survival (−ln of the chance to be working) at `hour` from now; `proofAtH` is the hour of a planned proof already passed, or −1.
 * A fleet's scoring asks this some thousand times a site, so what does not change with the hour was put into `strains` beforehand.
 */
export function logSurvival(state: ComponentState, hour: number, proofAtH: number): number {
  if (isDown(state, proofAtH)) return DOWN;
  const { strains, battery } = state;
  if (battery !== null) {
    batteryParts(state, battery, hour, proofAtH, TERMS);
    return state.shape * Math.log1p(strains.perHour * (TERMS.reported + TERMS.covered + TERMS.uncovered));
  }
  const plain = proofAtH < 0
    ? state.reportedShare * Math.min(state.faultH, state.sinceProofH + hour) + strains.silentNow + strains.silentPerHour * hour
    : state.reportedShare * Math.min(state.faultH, hour - proofAtH) + strains.covered * (hour - proofAtH) + strains.uncovered * (state.sinceFullH + hour);
  return state.shape * Math.log1p(strains.perHour * plain);
}

/** The same, with the six causes' shares of it (summing to 1) put into `parts` from `offset` on. */
export function logSurvivalByCause(state: ComponentState, hour: number, proofAtH: number, parts: Float64Array, offset: number): number {
  parts.fill(0, offset, offset + CAUSES.length);
  if (isDown(state, proofAtH)) {
    parts[offset + 5] = 1;
    return DOWN;
  }
  const { battery, factor } = state;
  if (battery === null) hourParts(state, hour, proofAtH, TERMS);
  else batteryParts(state, battery, hour, proofAtH, TERMS);
  const { reported, covered, uncovered } = TERMS;
  const plain = reported + covered + uncovered;
  if (plain > 0) {
    const base = factor > 1 ? 1 / factor / plain : 1 / plain;
    parts[offset] = reported * base;
    parts[offset + (battery === null ? 1 : 2)] = covered * base;
    parts[offset + 3] = uncovered * base;
    parts[offset + 4] = factor > 1 ? 1 - 1 / factor : 0;
  }
  return state.shape * Math.log1p(state.strains.perHour * plain);
}

// A planned proof finds what is down, and it is repaired.
function isDown(state: ComponentState, proofAtH: number): boolean {
  return state.down && proofAtH < 0;
}

interface Terms {
  reported: number;
  covered: number;
  uncovered: number;
}

/** Written and read within one question: an object for each would be much of what scoring a fleet throws away. */
const TERMS: Terms = { reported: 0.5, covered: 0.5, uncovered: 0.5 };

// Before the planned proof each mode stands since its own last look; after it, what that proof reveals stands since then.
function hourParts({ strains, reportedShare, looked, faultH, sinceProofH, sinceFullH }: ComponentState, hour: number, proofAtH: number, into: Terms): void {
  const since = proofAtH < 0 ? sinceProofH + hour : hour - proofAtH;
  const byLooks = proofAtH < 0 && looked !== null;
  into.reported = reportedShare * Math.min(faultH, since);
  into.covered = byLooks ? strains.looked * (looked.meanH + hour) : strains.covered * since;
  into.uncovered = (byLooks ? strains.unlooked : strains.uncovered) * (sinceFullH + hour);
}

function batteryParts({ strains, reportedShare, looked, believed, faultH, sinceProofH }: ComponentState, battery: BatteryState, hour: number, proofAtH: number, into: Terms): void {
  const now = hazardAt(battery, hour);
  const since = proofAtH < 0 ? sinceProofH + hour : hour - proofAtH;
  const byLooks = proofAtH < 0 && looked !== null;
  into.reported = reportedShare === 0 ? 0 : reportedShare * (now - hazardAt(battery, hour - Math.min(faultH, since)));
  if (byLooks) into.covered = (1 - reportedShare) * believed * (looked.share * now - looked.spent);
  else into.covered = strains.covered * (now - (proofAtH < 0 ? battery.spent : hazardAt(battery, proofAtH)));
  into.uncovered = (byLooks ? strains.unlooked : strains.uncovered) * now;
}
