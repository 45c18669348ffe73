import type { CheckDefinition, EvidenceGrade, JudgeName, LocalDate, Readings } from './definition.js';
import type { CheckFacts } from './facts.js';
import type { Judgement } from './judgement.js';
import { judgeBattery } from './judges/battery.js';
import { judgeChargeVoltage } from './judges/charge.js';
import { judgeEndOfLife, judgeFirmware, judgeFittedModule, judgeSmokeSensitivity, judgeValve } from './judges/device.js';
import { holdAgainst, judgeLimits } from './judges/limits.js';
import { judgeFalseAlarms } from './judges/false-alarms.js';
import { judgeMeshDelivery, judgeMeshHops } from './judges/mesh.js';
import { judgeChangeover, judgePath, judgePathSupervision, judgePeriodicSignal } from './judges/path.js';
import { judgeAcoustic, judgeBackgroundSound, judgeSounderLevel } from './judges/sound.js';
import { judgeSupplyVoltage } from './judges/supply.js';
import { judgeWirelessMargin } from './judges/wireless.js';
import { dayNumber } from './local-date.js';
import { type Case, type Judge, type Outcome, worst } from './outcome.js';
import { readingProblems } from './readings.js';
import { readingTrends } from './reading-trends.js';

const judges: Readonly<Record<JudgeName, Judge>> = {
  limits: judgeLimits,
  'supply-voltage': judgeSupplyVoltage,
  'battery-on-load': judgeBattery,
  'charge-voltage': judgeChargeVoltage,
  'sounder-level': judgeSounderLevel,
  'transmission-path': judgePath,
  'path-changeover': judgeChangeover,
  'wireless-margin': judgeWirelessMargin,
  'mesh-delivery': judgeMeshDelivery,
  'mesh-hops': judgeMeshHops,
  'fitted-module': judgeFittedModule,
  'acoustic-response': judgeAcoustic,
  'background-sound': judgeBackgroundSound,
  'periodic-signal': judgePeriodicSignal,
  'smoke-sensitivity': judgeSmokeSensitivity,
  'end-of-life': judgeEndOfLife,
  firmware: judgeFirmware,
  'valve-supervisory': judgeValve,
  'path-supervision': judgePathSupervision,
  'false-alarm-rate': judgeFalseAlarms,
};

/**
 * [ACC-1] Judges one check: readings and what is known about the subject, to verdict, reason, margin and what is missing.
 * `now` is the site's local date. The same inputs give the same judgement in the phone and in the API.
 * A reading that cannot be believed is named and treated as not taken; nothing unknown is ever good.
 * Throws RangeError for a judge that does not exist or a `now` that is no date: errors of the caller, not of the site.
 */
export function judge(definition: CheckDefinition, readings: Readings, facts: CheckFacts, now: LocalDate): Judgement {
  if (dayNumber(now) === null) throw new RangeError(`now: '${now}' is not a calendar date; expected YYYY-MM-DD.`);
  const named = judges[definition.judge] as Judge | undefined;
  if (named === undefined) throw new RangeError(`Check '${definition.key}' names the judge '${definition.judge}', which does not exist.`);
  const problems = readingProblems(definition, readings, now, facts);
  const refused = new Set(problems.map((p) => p.reading));
  const believable = Object.fromEntries(Object.entries(readings).filter(([key]) => !refused.has(key)));
  const it: Case = { definition, readings: believable, facts, now };
  return complete(it, withOwnLimits(it, named(it)), problems.map((p) => p.words));
}

/** Judges that compute their limits do not read the subject's own: those are held in addition, and can only be stricter. */
function withOwnLimits(it: Case, outcome: Outcome): Outcome {
  if (it.definition.judge === 'limits' || outcome.applicable === false) return outcome;
  const own = (it.facts.limits ?? []).map((limit) => holdAgainst(it, limit)).filter((held) => held !== null && held.verdict !== 'pass');
  return own.length === 0 ? outcome : { ...outcome, ...worst([outcome, ...(own as Outcome[])]) };
}

function complete(it: Case, outcome: Outcome, problems: readonly string[]): Judgement {
  const calibration = calibrationNote(it);
  // A refused reading leaves no verdict better than 'not enough data': the value may hide a failure.
  const doubtful = problems.length > 0 && (outcome.verdict === 'pass' || outcome.verdict === 'marginal');
  const reliable = calibration === null;
  const trends = trendFindings(it, outcome);
  return {
    verdict: doubtful ? 'not-enough-data' : outcome.verdict,
    reason: doubtful ? problems.join(' ') : outcome.reason,
    margin: outcome.margin ?? null,
    limitSource: outcome.limitSource ?? null,
    notes: [...problems, ...(outcome.notes ?? []), ...(outcome.hints ?? []).map((hint) => hint.words), ...trends.map((trend) => trend.words), ...(calibration === null ? [] : [calibration])],
    findings: [...(outcome.findings ?? []), ...trends.filter((trend) => trend.isNear).map(({ words }) => ({ code: 'trend' as const, words }))],
    hints: outcome.hints ?? [],
    missing: outcome.missing ?? [],
    evidence: reliable ? lower(lower(it.definition.evidence, outcome.evidence), arrivalGrade(it)) : 'D',
    reliable,
    applicable: outcome.applicable ?? true,
  };
}

// These tell the trend of their own reading, with the limit that they compute.
const ownTrend: readonly JudgeName[] = ['battery-on-load', 'wireless-margin'];

/** [ACC-30] The trend of every number that has a history and a limit; nothing new of a check that says nothing. */
function trendFindings(it: Case, outcome: Outcome): { words: string; isNear: boolean }[] {
  if (ownTrend.includes(it.definition.judge) || it.facts.series === undefined || outcome.applicable === false) return [];
  return readingTrends(it.definition, it.facts, it.readings, it.now).flatMap(({ words, isNear, crosses }) => (crosses ? [{ words, isNear }] : []));
}

function lower(best: EvidenceGrade, given: EvidenceGrade | undefined): EvidenceGrade {
  return given !== undefined && given > best ? given : best;
}

/** [ACC-9] A tick without the arrival is half a check: grade A needs the station's word where the check asks for it. */
function arrivalGrade(it: Case): EvidenceGrade | undefined {
  const asks = it.definition.readings.some((reading) => reading.key === 'receivedAtStation');
  return asks && it.readings['receivedAtStation'] !== true ? 'B' : undefined;
}

/** [ACC-8] The last day of calibration is still good. */
function calibrationNote(it: Case): string | null {
  const { instrument } = it.facts;
  if (instrument?.calibratedUntil === undefined || it.now <= instrument.calibratedUntil) return null;
  return `${instrument.name}: calibration ended ${instrument.calibratedUntil}; the reading is stored and not to be relied on, the item stays unproven.`;
}
