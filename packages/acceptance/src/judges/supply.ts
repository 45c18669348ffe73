import { type Case, notEnough, num, numberReading, type Outcome, round, textReading } from '../outcome.js';
import type { WireFacts } from '../facts.js';
import { cableHint, wireDrop } from '../hints.js';

const tolerance = 'supply tolerance 85 to 110 % of nominal, UL; +10/-15 %, EN (MEM)';

/**
 * [ACC-14] Voltage at the terminals against rated value and tolerance. Where the wire is known, the expected drop is told,
 * so that a low value is told apart from a long thin cable.
 */
export function judgeSupplyVoltage(it: Case): Outcome {
  const volts = numberReading(it, 'volts');
  const ratedMv = it.facts.supply?.ratedMv;
  const missing = [...(volts === null ? ['volts'] : []), ...(ratedMv === undefined ? ['supply.ratedMv'] : [])];
  if (volts === null || ratedMv === undefined) {
    return notEnough(volts === null ? 'The voltage was not read.' : `${num(volts)} V read; the rated voltage is not known, so it can't be judged.`, missing);
  }
  const rated = ratedMv / 1000;
  const low = rated * (1 - (it.facts.supply?.lowPct ?? Number(it.definition.params['lowPct'] ?? 15)) / 100);
  const high = rated * (1 + (it.facts.supply?.highPct ?? Number(it.definition.params['highPct'] ?? 10)) / 100);
  const margin = Math.min(volts - low, high - volts);
  const near = rated * (Number(it.definition.params['nearPct'] ?? 2) / 100);
  const state = textReading(it, 'loadState') === 'alarm' ? ' in alarm' : '';
  const where = `${num(volts)} V${state}; accepted ${num(low)} to ${num(high)} V for ${num(rated)} V rated`;
  const verdict = margin < 0 ? 'fail' : margin < near ? 'marginal' : 'pass';
  const words = margin < 0 ? `outside by ${num(-margin)} V` : `inside by ${num(margin)} V`;
  return {
    verdict, reason: `${where}: ${words}.`, margin: { value: round(margin, 3), unit: 'V' }, limitSource: tolerance,
    ...dropPart(it, volts, rated),
  };
}

function dropPart(it: Case, volts: number, rated: number): Pick<Outcome, 'notes' | 'hints'> {
  const wire = wireOf(it);
  if (wire === null) return { notes: volts < rated ? ['Wire gauge and length are not known: whether the cable explains the loss can\'t be told.'] : [] };
  const { dropV, words } = wireDrop(wire);
  if (dropV === null) return { notes: [`The resistance of ${words} is not in the table; no drop computed.`] };
  const hint = cableHint(wire, rated, volts);
  return hint === null ? { notes: [`${num(wire.lengthM, 1)} m of ${words} at ${num(wire.currentMa)} mA should lose ${num(dropV)} V.`] } : { notes: [], hints: [hint] };
}

/** The wire as read on site ('awg-18-7-strand', 'mm2-1.5'), else as known; null when length or current are missing. */
function wireOf(it: Case): WireFacts | null {
  const [read, lengthM, currentMa] = [textReading(it, 'wire'), numberReading(it, 'wireLengthM'), numberReading(it, 'wireCurrentMa')];
  const known = it.facts.supply?.wire;
  const [length, current] = [lengthM ?? known?.lengthM, currentMa ?? known?.currentMa];
  if (length === undefined || current === undefined) return null;
  const gauge = read === null ? null : /^awg-(\d+)-(solid|7-strand)$/.exec(read);
  if (gauge !== null) return { awg: Number(gauge[1]), strands: gauge[2] as 'solid' | '7-strand', lengthM: length, currentMa: current };
  const section = read === null ? null : /^mm2-([\d.]+)$/.exec(read);
  if (section !== null) return { sectionMm2: Number(section[1]), lengthM: length, currentMa: current };
  return known === undefined ? null : { ...known, lengthM: length, currentMa: current };
}
