export type Strands = 'solid' | '7-strand';

// Uncoated copper, DC, 75 °C, ohm per 1000 ft. NEC chapter 9 table 8 (SEEN-P: page reproducing the table).
// 22 AWG is not in it: 16.14 at 20 °C (SEEN-R wire table) x (1 + 0.00393 x 55) = 19.63 (CALC), solid only.
const ohmPer1000Ft: Readonly<Record<number, Readonly<Partial<Record<Strands, number>>>>> = {
  22: { solid: 19.63 },
  18: { solid: 7.77, '7-strand': 7.95 },
  16: { solid: 4.89, '7-strand': 4.99 },
  14: { solid: 3.07, '7-strand': 3.14 },
  12: { solid: 1.93, '7-strand': 1.98 },
  10: { solid: 1.21, '7-strand': 1.24 },
};

// IEC 60228 class 1/2 at 20 °C, ohm per km (MEM).
const ohmPerKm: Readonly<Record<string, number>> = { '0.5': 36.0, '0.75': 24.5, '1': 18.1, '1.5': 12.1, '2.5': 7.41 };

export const metresPerFoot = 0.3048;

/** Ohm per 1000 ft of copper at a conductor temperature: R75 [1 + 0.00323 (T - 75)] (formula MEM). Null for a gauge or stranding not in the table. */
export function awgOhmPer1000Ft(awg: number, strands: Strands, temperatureC = 75): number | null {
  const at75 = ohmPer1000Ft[awg]?.[strands];
  return at75 === undefined ? null : at75 * (1 + 0.00323 * (temperatureC - 75));
}

/** Ohm per km of a metric conductor at 20 °C, or null for a section not in the table. */
export function metricOhmPerKm(sectionMm2: number): number | null {
  return ohmPerKm[`${sectionMm2}`] ?? null;
}

/** Ohm per km of a metric conductor at a temperature, from the 20 °C table: R20 [1 + 0.00393 (T - 20)] (formula MEM). Null for a section not in the table. */
export function metricOhmPerKmAt(sectionMm2: number, temperatureC = 20): number | null {
  const at20 = metricOhmPerKm(sectionMm2);
  return at20 === null ? null : at20 * (1 + 0.00393 * (temperatureC - 20));
}

/** Drop of a two-wire run in volts: 2 L I r / 1000 (formula MEM); `oneWayFt` is the length of the cable, there only. */
export function twoWireDropV(oneWayFt: number, currentA: number, ohmPer1000: number): number {
  return (2 * oneWayFt * currentA * ohmPer1000) / 1000;
}

/** Drop of a run known in metres by gauge, or null when the gauge is not in the table. */
export function awgDropV(wire: { awg: number; strands: Strands; lengthM: number; currentMa: number; temperatureC?: number }): number | null {
  const ohm = awgOhmPer1000Ft(wire.awg, wire.strands, wire.temperatureC ?? 75);
  return ohm === null ? null : twoWireDropV(wire.lengthM / metresPerFoot, wire.currentMa / 1000, ohm);
}

/** Drop of a run in metres by metric section, or null when the section is not in the table. */
export function metricDropV(wire: { sectionMm2: number; lengthM: number; currentMa: number; temperatureC?: number }): number | null {
  const ohm = metricOhmPerKmAt(wire.sectionMm2, wire.temperatureC ?? 20);
  return ohm === null ? null : (2 * wire.lengthM * (wire.currentMa / 1000) * ohm) / 1000;
}
