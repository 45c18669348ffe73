import { describe, expect, it } from 'vitest';
import { aDefinition, numbers } from '../src/spec-builders.js';
import { awgOhmPer1000Ft, judge, metricDropV, metricOhmPerKmAt, temperatureCapacityFactor, type Readings } from '../src/index.js';

describe('[ACC-13] the table of 75 °C from the table of 20 °C', () => {
  // 20 °C wire-table values 6.385 / 4.016 / 2.525 / 1.588 x (1 + 0.00393 x 55) = 7.765 / 4.884 / 3.071 / 1.931 (CALC): NEC chapter 9 table 8 (SEEN-P) to its last digit.
  it.each([[18, 6.385], [16, 4.016], [14, 2.525], [12, 1.588]])('%d AWG: %d at 20 °C', (awg, at20) => expect(Math.abs(at20 * (1 + 0.00393 * 55) - awgOhmPer1000Ft(awg, 'solid')!)).toBeLessThan(0.0065));
  // IEC 60228 (MEM): 1.5 mm² 12.1 ohm/km at 20 °C; +0.393 % per °C.
  it('1.5 mm² over 50 m at 1 A loses 1.21 V at 20 °C, 1.35 V at 50 °C (CALC)', () => {
    expect(metricDropV({ sectionMm2: 1.5, lengthM: 50, currentMa: 1000 })).toBeCloseTo(1.21, 10);
    expect(metricDropV({ sectionMm2: 1.5, lengthM: 50, currentMa: 1000, temperatureC: 50 })).toBeCloseTo(1.21 * 1.1179, 6);
    expect(metricOhmPerKmAt(4)).toBeNull();
  });
});

describe('[ACC-19] charge voltage', () => {
  const charge = aDefinition({ judge: 'charge-voltage', subject: 'battery', readings: numbers('volts', 'temperatureC') });
  const run = (readings: Readings, nominalMv = 12_000) => judge(charge, readings, { battery: { chemistry: 'lead-acid-sealed', nominalMv } }, '2027-03-01').verdict;
  // 2.30 +/- 0.02 V/cell = 13.68 to 13.92 V (MEM); 13.80 / 13.62 / 13.98 V at 25 / 35 / 15 °C (CALC from -3 mV/cell/°C, SEEN-R); 24 V double; float 13.5 to 13.8 V (range MEM).
  it.each([[13.68, 25, 'pass'], [13.92, 25, 'pass'], [13.5, 25, 'pass'], [13.8, 25, 'pass'], [13.62, 35, 'pass'], [13.98, 15, 'pass'], [13.4, 25, 'fail'], [14.1, 25, 'fail']])('%d V at %d °C: %s', (volts, temperatureC, verdict) => {
    expect(run({ volts, temperatureC })).toBe(verdict);
    expect(run({ volts: volts * 2, temperatureC }, 24_000)).toBe(verdict);
  });
});

describe('[ACC-15] cold', () => {
  // About 0.8 % less per °C below 25 (from memory).
  it.each([[25, 1], [35, 1], [15, 0.92], [0, 0.8], [-20, 0.64]])('%d °C leaves %d of the capacity', (celsius, factor) => expect(temperatureCapacityFactor(celsius)).toBeCloseTo(factor, 10));
});
