import { describe, expect, it } from 'vitest';
import {
  bitErrorPctOfCsq, categoriesMet, dbmOfCsq, freeSpaceLossDb, indoorLossDb, lteClass, nrOfCode, placeLossDb, reportingLimitS, rsrpOfCode,
  rsrqOfCode, wifiClass, wifiPct, type PathCategory,
} from '../src/index.js';

describe('[ACC-20] level maps', () => {
  // 3GPP TS 27.007 as reproduced by seven AT-command manuals, all equal (SEEN-R).
  it.each([[0, -113], [1, -111], [2, -109], [15, -83], [30, -53], [31, -51], [99, null]])('+CSQ %d is %s dBm', (code, dbm) => expect(dbmOfCsq(code)).toBe(dbm));
  it.each([[0, 0.2], [1, 0.4], [2, 0.8], [3, 1.6], [4, 3.2], [5, 6.4], [6, 12.8], [7, Infinity]])('bit error code %d: to %d %%', (code, pct) => expect(bitErrorPctOfCsq(code)).toBe(pct));
  it.each([-1, 32, 98, 1.5, NaN])('+CSQ %d is refused', (code) => expect(() => dbmOfCsq(code)).toThrow(RangeError));

  // 3GPP TS 36.133 9.1.4 table 9.1.4-1, v15.3.0 (SEEN-R); extended range ends SEEN-R.
  it.each([[0, -Infinity, -140], [1, -140, -139], [50, -91, -90], [96, -45, -44], [97, -44, Infinity], [-16, -156, -155], [-17, -Infinity, -156]])('RSRP %d: %d to %d dBm', (code, from, below) => {
    expect(rsrpOfCode(code)).toEqual({ from, below });
  });
  // 3GPP TS 36.133 9.1.7: end points SEEN-R, formula MEM.
  it.each([[0, -Infinity, -19.5], [1, -19.5, -19], [33, -3.5, -3], [34, -3, Infinity]])('RSRQ %d: %d to %d dB', (code, from, below) => {
    expect(rsrqOfCode(code)).toEqual({ from, below });
  });
  // 3GPP TS 38.133 (SEEN-R, two pages).
  it('NR codes', () => {
    expect([nrOfCode.rsrpDbm(0), nrOfCode.rsrpDbm(125)]).toEqual([-156, -31]);
    expect([nrOfCode.rsrqDb(0), nrOfCode.sinrDb(0)]).toEqual([-43, -23]);
  });

  // One published table (SEEN-R); others differ.
  it.each([[-80, 'strong'], [-85, 'usable'], [-95, 'weak'], [-100, 'none']])('LTE %d dBm is %s', (dbm, words) => expect(lteClass(dbm)).toBe(words));
  // Four pages agree on -67 (SEEN-R).
  it.each([[-50, 'strong'], [-67, 'strong'], [-70, 'usable'], [-75, 'weak'], [-90, 'none']])('Wi-Fi %d dBm is %s', (dbm, words) => expect(wifiClass(dbm)).toBe(words));
  // 2 (dBm + 100) clipped (SEEN-R).
  it.each([[-55, 90], [-75, 50], [-85, 30], [-40, 100], [-110, 0]])('Wi-Fi %d dBm is %d %%', (dbm, pct) => expect(wifiPct(dbm)).toBe(pct));
});

describe('[ACC-21] path loss', () => {
  // ITU-R P.525, formula MEM, constant 32.4478; values CALC at 1/10/30/100 m.
  it.each([
    [345, [23.2, 43.2, 52.75, 63.2]],
    [433.92, [25.2, 45.2, 54.74, 65.2]],
    [868, [31.22, 51.22, 60.76, 71.22]],
    [908.42, [31.61, 51.61, 61.16, 71.61]],
    [915, [31.68, 51.68, 61.22, 71.68]],
  ])('free space at %d MHz', (mhz, losses) => {
    expect([1, 10, 30, 100].map((m) => Math.round(freeSpaceLossDb(m, mhz) * 100) / 100)).toEqual(losses);
  });

  // ITU-R P.1238: formula SEEN-R (public network simulator's model), 900 MHz coefficients MEM; values CALC.
  it.each([[20, 908.42, 28, 0, 67.59], [10, 2400, 30, 15, 84.6], [20, 900, 33, 9, 83.02]])('indoors %d m, %d MHz, N %d, Lf %d: %d dB', (m, mhz, n, floors, db) => {
    expect(indoorLossDb(m, mhz, n, floors)).toBeCloseTo(db, 2);
  });
  it.each([['residential', 20, 908.42, 0, 67.59], ['office', 10, 2400, 1, 84.6], ['office', 20, 900, 1, 83.02]] as const)('%s, %d m, %d MHz, %d floors: %d dB', (place, distanceM, frequencyMhz, floors, db) => {
    expect(placeLossDb({ place, distanceM, frequencyMhz, floors })).toBeCloseTo(db, 2);
  });
});

describe('[ACC-22] EN 50136-1:2012 reporting times', () => {
  // SP6 20 s and DP4 90 s SEEN-R, the rest MEM.
  it.each<[PathCategory, number, number | null]>([
    ['SP1', 2_764_800, null], ['SP2', 90_000, null], ['SP3', 1800, null], ['SP4', 180, null], ['SP5', 90, null], ['SP6', 20, null],
    ['DP1', 90_000, 180_000], ['DP2', 1800, 90_000], ['DP3', 180, 90_000], ['DP4', 90, 18_000],
  ])('%s: primary %d s, alternate %s s', (category, primary, alternate) => {
    expect(reportingLimitS(category, 'primary')).toBe(primary);
    expect(reportingLimitS(category, 'alternate')).toBe(alternate);
  });
  it.each<[PathCategory, number]>([['DP1', 180_000], ['DP2', 1800], ['DP3', 180], ['DP4', 90]])('%s with the primary down: %d s', (category, seconds) => {
    expect(reportingLimitS(category, 'alternate', true)).toBe(seconds);
  });
  it('a loss reported after 95 s meets SP4 and not SP5', () => {
    expect(categoriesMet(95, 'primary')).toContain('SP4');
    expect(categoriesMet(95, 'primary')).not.toContain('SP5');
  });
});
