/** Received level in dBm of a +CSQ code 0..31, null for 99 (unknown). 3GPP TS 27.007 (SEEN-R: seven manuals, all equal). 0 and 31 are open-ended. Throws RangeError otherwise. */
export function dbmOfCsq(code: number): number | null {
  if (code === 99) return null;
  if (!Number.isInteger(code) || code < 0 || code > 31) throw new RangeError(`CSQ ${code}: expected 0 to 31, or 99 for unknown.`);
  return -113 + 2 * code;
}

/** Upper bound of the bit error rate in percent of a +CSQ error code 0..7; the last is open (Infinity). */
export function bitErrorPctOfCsq(code: number): number | null {
  if (code === 99) return null;
  const bounds = [0.2, 0.4, 0.8, 1.6, 3.2, 6.4, 12.8, Infinity];
  const bound = bounds[code];
  if (bound === undefined) throw new RangeError(`BER code ${code}: expected 0 to 7, or 99 for unknown.`);
  return bound;
}

export type Range = { readonly from: number; readonly below: number };

/** LTE RSRP in dBm of a reported code -17..97. 3GPP TS 36.133 9.1.4 (SEEN-R); 0 is below -140, 97 is -44 and more, below 0 the extended range. */
export function rsrpOfCode(code: number): Range {
  integerIn(code, -17, 97, 'RSRP');
  if (code === 97) return { from: -44, below: Infinity };
  if (code === -17) return { from: -Infinity, below: -156 };
  // Code 0 alone means 'below -140' for equipment without the extended range, which is what a field reading shows.
  if (code === 0) return { from: -Infinity, below: -140 };
  return code > 0 ? { from: -141 + code, below: -140 + code } : { from: -140 + code, below: -139 + code };
}

/** LTE RSRQ in dB of a code 0..34. 3GPP TS 36.133 9.1.7 (end points SEEN-R, formula MEM). */
export function rsrqOfCode(code: number): Range {
  integerIn(code, 0, 34, 'RSRQ');
  if (code === 34) return { from: -3, below: Infinity };
  if (code === 0) return { from: -Infinity, below: -19.5 };
  return { from: -20 + code / 2, below: -19.5 + code / 2 };
}

/** NR values of reported codes. 3GPP TS 38.133 (SEEN-R: two pages). */
export const nrOfCode = {
  rsrpDbm: (code: number): number => code - 156,
  rsrqDb: (code: number): number => code / 2 - 43,
  sinrDb: (code: number): number => code / 2 - 23,
};

export type LevelClass = 'strong' | 'usable' | 'weak' | 'none';

/** LTE RSRP in words: -80, -90, -100 dBm as steps (SEEN-R: one published table, others differ). Common practice. */
export function lteClass(rsrpDbm: number): LevelClass {
  return stepClass(rsrpDbm, [-80, -90, -100]);
}

/** Received level (RSSI, as +CSQ gives) in words: -77, -93, -105 dBm as steps. Common practice. */
export function cellularClass(rssiDbm: number): LevelClass {
  return stepClass(rssiDbm, [-77, -93, -105]);
}

/** Wi-Fi level in words: -67 the design target, -70 usable, -80 borderline (SEEN-R: four pages agree on -67). */
export function wifiClass(rssiDbm: number): LevelClass {
  return stepClass(rssiDbm, [-67, -70, -80]);
}

/** Wi-Fi level in percent: 2 (dBm + 100), clipped at -100 and -50 (SEEN-R). */
export function wifiPct(rssiDbm: number): number {
  return Math.min(100, Math.max(0, 2 * (rssiDbm + 100)));
}

/** Margin in dB: level above the noise at the receiver, never the level alone. */
export function linkMarginDb(levelDbm: number, noiseDbm: number): number {
  return levelDbm - noiseDbm;
}

export type MarginClass = 'strong' | 'marginal' | 'none';

/** 10 dB the least, 20 dB preferred (MEM, common practice); both are settings of the check. */
export function marginClass(marginDb: number, leastDb = 10, goodDb = 20): MarginClass {
  return marginDb >= goodDb ? 'strong' : marginDb >= leastDb ? 'marginal' : 'none';
}

function stepClass(dbm: number, [strong, usable, weak]: readonly [number, number, number]): LevelClass {
  return dbm >= strong ? 'strong' : dbm >= usable ? 'usable' : dbm > weak ? 'weak' : 'none';
}

function integerIn(code: number, from: number, to: number, name: string): void {
  if (!Number.isInteger(code) || code < from || code > to) throw new RangeError(`${name} code ${code}: expected ${from} to ${to}.`);
}
