import { type Case, notEnough, num, numberReading, type Outcome, round, worst } from '../outcome.js';

/**
 * [ACC-46] False alarms of twelve months: for each hundred detectors of a fire system, and by their number where a police response
 * hangs on it. A record that covers less than twelve months is counted up to twelve for the share, never for the number.
 */
export function judgeFalseAlarms(it: Case): Outcome {
  const [alarms, detectors, months] = [numberReading(it, 'falseAlarms'), numberReading(it, 'detectors'), numberReading(it, 'monthsKnown') ?? 12];
  if (alarms === null) return notEnough('The false alarms were not counted.', ['falseAlarms']);
  if (months === 0) return notEnough('The record covers no month: unknown, never none.', ['monthsKnown']);
  if (it.facts.systemKind === 'fire' && (detectors === null || detectors <= 0)) return notEnough(`${num(alarms)} false alarms; the number of detectors is not known, so their share can't be told.`, ['detectors']);
  const parts = [countPart(it, alarms), ...(detectors !== null && detectors > 0 ? [sharePart(it, alarms, detectors, months)] : [])];
  const short = months < 12 ? [`The record covers ${num(months)} months only.`] : [];
  const outcome = worst(parts as [Outcome, ...Outcome[]]);
  return { ...outcome, reason: outcome.verdict === 'pass' ? parts.map((p) => p.reason).join(' ') : outcome.reason, notes: [...(outcome.notes ?? []), ...short] };
}

function countPart(it: Case, alarms: number): Outcome {
  const least = Number(it.definition.params['leastForPolice'] ?? 3);
  const { systemKind } = it.facts;
  if (systemKind === 'fire' || systemKind === 'co') return { verdict: 'pass', reason: `${num(alarms)} false alarms.` };
  return {
    // Not knowing what kind of system it is, a police response may hang on it: warned, not failed.
    verdict: alarms >= least ? (systemKind === undefined ? 'marginal' : 'fail') : alarms >= least - 1 ? 'marginal' : 'pass', margin: { value: least - 1 - alarms, unit: 'alarms' },
    reason: `${num(alarms)} false alarms in twelve months; ${least} may withdraw a police response, ${least - 1} warn.`, limitSource: '3 in rolling 12 months may withdraw police response, 2 a warning: UK policy (SEEN-U)',
  };
}

function sharePart(it: Case, alarms: number, detectors: number, months: number): Outcome {
  const most = Number(it.definition.params['perHundred'] ?? 4);
  const perHundred = (alarms / detectors) * 100 * (12 / Math.min(12, months));
  return {
    verdict: perHundred > most ? 'marginal' : 'pass', margin: { value: round(most - perHundred, 2), unit: 'per 100 a year' },
    reason: `${num(perHundred)} false alarms a year for each 100 detectors (${num(alarms)} of ${num(detectors)}), ${num(most)} the most before they are looked into.`,
    limitSource: 'more than 4 per 100 detectors a year: six monthly inspection page, BS 5839-1 (SEEN-R)',
  };
}
