import { type Case, notEnough, num, numberReading, type Outcome, round, textReading } from '../outcome.js';
import { meshRefusal } from '../readings.js';
import { wilsonInterval } from '../statistics/wilson.js';

/** [ACC-28] Failure share with its interval; few transmissions are 'not enough data', whatever the count says. */
export function judgeMeshDelivery(it: Case): Outcome {
  const refusal = meshRefusal(it.definition, it.facts);
  if (refusal !== null) return notEnough(refusal, []);
  const [direct, via, failed] = [numberReading(it, 'sentDirect'), numberReading(it, 'sentVia'), numberReading(it, 'failed')];
  if (direct === null || via === null || failed === null) {
    return notEnough('Counts not read.', (['sentDirect', 'sentVia', 'failed'] as const).filter((key) => numberReading(it, key) === null));
  }
  const sent = direct + via + failed;
  const least = Number(it.definition.params['leastSent'] ?? 30);
  const limit = Number(it.definition.params['maxFailedPct'] ?? 10) / 100;
  if (!Number.isInteger(sent) || sent < 1) return notEnough(`${sent} transmissions: nothing to judge.`, []);
  const { low, high } = wilsonInterval(failed, sent);
  const share = `${failed} of ${sent} failed: ${num((failed / sent) * 100, 1)} % (95 % between ${num(low * 100, 1)} and ${num(high * 100, 1)} %), limit ${num(limit * 100, 1)} %`;
  const margin = { value: round((limit - high) * 100, 2), unit: '%' };
  const limitSource = 'company rule; interval by Wilson';
  if (low > limit) return { verdict: 'fail', reason: `${share}: surely over.`, margin, limitSource };
  if (sent < least) return { ...notEnough(`${share}: only ${sent} transmissions, ${least} needed.`, []), limitSource };
  if (high <= limit) return { verdict: 'pass', reason: `${share}: surely under.`, margin, limitSource };
  return { verdict: 'marginal', reason: `${share}: the interval holds the limit.`, margin, limitSource };
}

/** [ACC-28] Hops 0 to 4, and what changed since the last visit. */
export function judgeMeshHops(it: Case): Outcome {
  const refusal = meshRefusal(it.definition, it.facts);
  if (refusal !== null) return notEnough(refusal, []);
  const hops = numberReading(it, 'hops');
  if (hops === null) return notEnough('The hops were not read.', ['hops']);
  const most = Number(it.definition.params['maxHops'] ?? 4);
  const previous = it.facts.mesh?.previousHops;
  const through = textReading(it, 'through');
  const single = it.facts.mesh?.devicesInMesh === 1;
  const changed = previous === undefined || previous === hops ? '' : `; ${previous} at the last visit`;
  return {
    verdict: hops > most ? 'fail' : hops === most ? 'marginal' : 'pass',
    reason: `${hops} ${hops === 1 ? 'hop' : 'hops'}${through === null ? '' : ` through ${through}`}, ${most} the most${changed}.`,
    margin: { value: most - hops, unit: 'hops' }, limitSource: 'four hops the most in such a mesh (common practice)',
    notes: [
      ...(single ? ['A single device: the way is direct by necessity and proves nothing about the mesh.'] : []),
      ...(changed === '' ? [] : [`Path changed from ${previous} to ${hops} hops since the last visit.`]),
    ],
  };
}
