import { type Case, notEnough, num, numberReading, type Outcome, round } from '../outcome.js';
import { floatVoltageV } from '../power/voltage.js';

const limitSource = 'float 2.25 to 2.30 V/cell at 25 °C (SEEN-R, range MEM), 2.30 +/- 0.02 V/cell (NFPA 72, MEM), -3 mV/cell/°C (SEEN-R)';

/**
 * [ACC-19] Charge voltage of lead-acid on float, held against the range of 2.25 to 2.32 V a cell at 25 °C, moved by -3 mV a cell and
 * °C. Without a temperature it is held against the range at 25 °C, and told so. Other chemistries have their charger's own rule.
 */
export function judgeChargeVoltage(it: Case): Outcome {
  const volts = numberReading(it, 'volts');
  if (volts === null) return notEnough('The charge voltage was not read.', ['volts']);
  const chemistry = it.facts.battery?.chemistry;
  if (chemistry !== undefined && !chemistry.startsWith('lead-acid')) return notEnough(`${num(volts)} V read; for ${chemistry} the charger's own rule holds, enter its limits for this battery.`, ['limits']);
  const nominal = it.facts.battery?.nominalMv === undefined ? Number(it.definition.params['nominalV'] ?? 12) : it.facts.battery.nominalMv / 1000;
  const cells = Math.round(nominal / 2);
  const celsius = numberReading(it, 'temperatureC');
  const [low, high] = [floatVoltageV(cells, celsius ?? 25, 2.25), floatVoltageV(cells, celsius ?? 25, 2.32)];
  // A meter's last digit must not decide: 13.92 V is 2.32 V a cell.
  const margin = round(Math.min(volts - low, high - volts), 3);
  const place = celsius === null ? 'at 25 °C' : `at ${num(celsius, 0)} °C`;
  const over = volts > high;
  return {
    verdict: margin < 0 ? 'fail' : 'pass', limitSource, margin: { value: margin, unit: 'V' },
    reason: `${num(volts)} V on charge; ${num(low)} to ${num(high)} V for ${cells} cells ${place}: ${margin < 0 ? `outside by ${num(-margin)} V` : `inside by ${num(margin)} V`}.`,
    notes: [
      ...(celsius === null ? ['Temperature not read: held against 25 °C.'] : []),
      ...(it.facts.battery?.nominalMv === undefined ? [`Nominal voltage not known: taken as ${num(nominal)} V.`] : []),
      ...(margin < 0 ? [over ? 'Too high a charge dries the battery out and shortens its life: set or replace the charger.' : 'Too low a charge never fills the battery: look at charger, fuse and its load.'] : []),
    ],
  };
}
