import { ageAt } from '../age.js';
import { addMonths, dayNumber } from '../local-date.js';
import { type Case, notEnough, num, numberReading, type Outcome, round, textReading, yesNo } from '../outcome.js';

/** [ACC-40] A fitted module must answer; one that is not fitted is not applicable, neither failed nor proven. */
export function judgeFittedModule(it: Case): Outcome {
  const answer = textReading(it, 'answer');
  if (answer === null) return notEnough('Whether the module answers is not recorded.', ['answer']);
  if (answer === 'not-fitted') return { verdict: 'not-enough-data', reason: 'No module fitted here: not applicable, nothing failed.', applicable: false };
  const level = numberReading(it, 'levelDbm');
  const at = level === null ? '' : ` at ${num(level, 1)} dBm`;
  return answer === 'answers' ? { verdict: 'pass', reason: `The module answers${at}.` } : { verdict: 'fail', reason: 'The fitted module does not answer.' };
}

/** [ACC-41] Smoke sensitivity against the range marked on the detector; 0.25 %/ft and more outside must be cleaned, recalibrated or replaced. */
export function judgeSmokeSensitivity(it: Case): Outcome {
  const read = numberReading(it, 'pctPerFt');
  const [low, high] = [it.facts.smoke?.markedLowPctPerFt ?? numberReading(it, 'markedLow'), it.facts.smoke?.markedHighPctPerFt ?? numberReading(it, 'markedHigh')];
  if (read === null) return notEnough('The sensitivity was not read.', ['pctPerFt']);
  if (low === null || high === null) return notEnough(`${num(read)} %/ft read; the range marked on the detector is not known.`, ['markedLow', 'markedHigh']);
  const outside = Math.max(low - read, read - high);
  const tolerance = Number(it.definition.params['tolerancePctPerFt'] ?? 0.25);
  const range = `${num(read)} %/ft, marked ${num(low)} to ${num(high)} %/ft`;
  const words = outside <= 0 ? 'inside the range' : `outside by ${num(outside)} %/ft`;
  return {
    // A float sum like 4.0 - 3.75 must not slip under the tolerance by its last bit.
    verdict: outside >= tolerance - 1e-9 ? 'fail' : outside > 0 ? 'marginal' : 'pass',
    reason: `${range}: ${words}.`, margin: { value: round(-outside, 3), unit: '%/ft' },
    limitSource: 'off by 0.25 %/ft outside the marked range: clean and recalibrate, or replace (SEEN-R)',
  };
}

/** [ACC-42] End of life: the date marked on the device wins, then made date and life; a date that can't be told is treated as due. */
export function judgeEndOfLife(it: Case): Outcome {
  if (yesNo(it, 'endSignal') === true) return { verdict: 'fail', reason: 'The device itself signals its end of life: replace.', limitSource: 'marking or signal of the device (maker)' };
  const { age } = it.facts;
  const marked = textReading(it, 'endOfLifeOn') ?? age?.endOfLifeOn ?? null;
  const madeOn = textReading(it, 'madeOn') ?? age?.madeOn;
  const lifeYears = age?.lifeYears ?? lifeOfKind(it);
  const end = marked ?? (madeOn !== undefined && lifeYears !== undefined && dayNumber(madeOn) !== null ? addMonths(madeOn, lifeYears * 12) : null);
  if (end === null || dayNumber(end) === null) {
    const words = ageAt({ madeOn, firstSeenOn: age?.firstSeenOn ?? age?.installedOn }, it.now).words;
    const finding = { code: 'date-missing', words: `Date missing: ${words}; treated as due.` } as const;
    return { ...notEnough(`End of life can't be told: ${words}; treated as due.`, ['madeOn', 'endOfLifeOn']), findings: [finding], notes: [finding.words] };
  }
  const days = dayNumber(end)! - dayNumber(it.now)!;
  const soon = Number(it.definition.params['warnDays'] ?? 183);
  const from = marked === null ? `made ${madeOn}, life ${lifeYears} y` : 'marked on the device';
  return {
    verdict: days <= 0 ? 'fail' : days <= soon ? 'marginal' : 'pass',
    reason: `End of life ${end} (${from}): ${days <= 0 ? `reached ${-days} days ago` : `${days} days left`}.`,
    margin: { value: days, unit: 'days' }, limitSource: marked === null ? 'life from manufacture (see the check)' : 'marking on the device (maker)',
    findings: days <= soon ? [{ code: 'replace-due', words: `Replace by ${end}.` }] : [],
  };
}

/** The programme's life in years for this kind of device ('lifeYears.co'), else the general one; undefined when neither is set. */
function lifeOfKind(it: Case): number | undefined {
  const { deviceKind } = it.facts;
  const own = deviceKind === undefined ? undefined : it.definition.params[`lifeYears.${deviceKind}`];
  const years = own ?? it.definition.params['lifeYears'];
  return typeof years === 'number' ? years : undefined;
}

/** [ACC-43] Firmware against the company's approved list. Without a list nothing is current. */
export function judgeFirmware(it: Case): Outcome {
  const version = textReading(it, 'version')?.trim() ?? null;
  if (version === null) return notEnough('The version was not read.', ['version']);
  const approved = it.facts.firmware?.approved;
  if (approved === undefined || approved.length === 0) return notEnough(`Version ${version} read; the company has no approved list for it.`, ['firmware.approved']);
  return approved.includes(version)
    ? { verdict: 'pass', reason: `Version ${version} is on the approved list.`, limitSource: 'company rule' }
    : { verdict: 'fail', reason: `Version ${version} is not on the approved list (${approved.join(', ')}).`, limitSource: 'company rule' };
}

/** [ACC-44] Valve supervision: a signal within two turns of the wheel or a fifth of the travel, restored only fully open. */
export function judgeValve(it: Case): Outcome {
  const [signalled, restored] = [yesNo(it, 'signalled'), yesNo(it, 'restoredOnlyOpen')];
  const [turns, travel] = [numberReading(it, 'turns'), numberReading(it, 'travelPct')];
  const limitSource = 'within 2 turns or 1/5 of travel, restores only fully open (SEEN-U)';
  if (signalled === false) return { verdict: 'fail', reason: 'No signal came while the valve was closed.', limitSource };
  if (restored === false) return { verdict: 'fail', reason: 'It restored before the valve was fully open.', limitSource };
  const missing = [...(signalled === null ? ['signalled'] : []), ...(restored === null ? ['restoredOnlyOpen'] : []), ...(turns === null && travel === null ? ['turns', 'travelPct'] : [])];
  const [maxTurns, maxTravel] = [Number(it.definition.params['maxTurns'] ?? 2), Number(it.definition.params['maxTravelPct'] ?? 20)];
  const inTime = (turns !== null && turns <= maxTurns) || (travel !== null && travel <= maxTravel);
  const read = [turns === null ? null : `${num(turns)} turns`, travel === null ? null : `${num(travel)} % of travel`].filter((w) => w !== null).join(', ');
  const words = `Signal after ${read}; ${maxTurns} turns or ${maxTravel} % of travel the most`;
  if (turns !== null || travel !== null) {
    if (!inTime && missing.length === 0) return { verdict: 'fail', reason: `${words}: too late.`, limitSource };
    if (missing.length === 0) return { verdict: 'pass', reason: `${words}.`, limitSource, margin: turns === null ? { value: maxTravel - travel!, unit: '%' } : { value: round(maxTurns - turns, 2), unit: 'turns' } };
  }
  return notEnough('Not all that proves the valve was recorded.', missing);
}
