import { type Case, notEnough, num, numberReading, type Outcome, round, textReading } from '../outcome.js';
import { awgDropV } from '../power/cable.js';

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
    notes: dropNote(it, volts, rated),
  };
}

function dropNote(it: Case, volts: number, rated: number): string[] {
  const wire = it.facts.supply?.wire;
  if (wire === undefined) return volts < rated ? ['Wire gauge and length are not known: whether the cable explains the loss can\'t be told.'] : [];
  const drop = awgDropV(wire);
  if (drop === null) return [`The resistance of ${wire.awg} AWG ${wire.strands} is not in the table; no drop computed.`];
  const lost = rated - volts;
  const run = `${num(wire.lengthM, 1)} m of ${wire.awg} AWG at ${wire.currentMa} mA should lose ${num(drop)} V`;
  if (lost <= 0.05 * rated) return [`${run}.`];
  const explained = lost <= drop + 0.03 * rated;
  return [`${run}; ${num(lost)} V are lost: ${explained ? 'explained by the cable' : `not explained by the cable, ${num(lost - drop)} V too much`}.`];
}
