/** Float voltage of lead-acid in volts: 2.30 V/cell at 25 °C, -3 mV/cell/°C about it (SEEN-R, several). */
export function floatVoltageV(cells: number, temperatureC: number, at25VPerCell = 2.3): number {
  return cells * (at25VPerCell - 0.003 * (temperatureC - 25));
}

// State of charge by rest voltage of a 12 V lead-acid battery (SEEN-R: state-of-charge table).
const restTable: readonly (readonly [volts: number, percent: number])[] = [
  [10.5, 0], [11.58, 20], [12.06, 50], [12.42, 80], [12.7, 100],
];

/** State of charge in percent from the rest voltage of a lead-acid battery; straight lines between the table's rows, clipped at its ends. */
export function stateOfChargePct(restV: number, nominalV = 12): number {
  const volts = (restV * 12) / nominalV;
  if (volts <= restTable[0]![0]) return 0;
  for (let i = 1; i < restTable.length; i += 1) {
    const [v1, p1] = restTable[i]!;
    const [v0, p0] = restTable[i - 1]!;
    if (volts <= v1) return p0 + ((volts - v0) / (v1 - v0)) * (p1 - p0);
  }
  return 100;
}

/** Lowest good voltage under a field load of 5 to 10 % of Ah: 95 % of nominal within 15 min, 90 % to 30 min (SEEN-R: practitioner, UK fire forum). */
export function loadedVoltageFloorV(nominalV: number, minutes: number): number {
  return nominalV * (minutes <= 15 ? 0.95 : 0.9);
}

/** Discharge end voltage, 1.75 V/cell (SEEN-R). */
export function dischargeEndV(cells: number): number {
  return cells * 1.75;
}
