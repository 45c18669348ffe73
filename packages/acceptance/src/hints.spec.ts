import { describe, expect, it } from 'vitest';
import { cableHint, capacityHint, coldHint, judge, linkHint, type CheckFacts, type LoadFacts, type Readings } from './index.js';
import { aDefinition, numbers, today } from './spec-builders.js';

const text = (key: string) => ({ key, label: key, unit: '', kind: 'text', required: false }) as const;

describe('[ACC-14] what the cable explains', () => {
  // 300 ft of 18 AWG stranded at 0.5 A and 75 °C lose 2.385 V (CALC in the facts).
  const wire = { awg: 18, strands: '7-strand', lengthM: 91.44, currentMa: 500 } as const;
  it('explained, not explained, and nothing to explain', () => {
    expect(cableHint(wire, 24, 21.7)).toMatchObject({ code: 'cable-explains', numbers: { expectedDropV: 2.385, lostV: 2.3 } });
    expect(cableHint(wire, 24, 20.5)).toMatchObject({ code: 'cable-does-not-explain', words: expect.stringContaining('1.12 V too much') });
    expect(cableHint(wire, 24, 23)).toBeNull();
    expect(cableHint({ ...wire, awg: 22 }, 24, 20)).toBeNull();
    expect(cableHint({ lengthM: 10, currentMa: 500 }, 24, 20)).toBeNull();
  });
  // IEC 60228, 0.5 mm² 36.0 ohm/km at 20 °C (MEM): 2 x 100 m x 0.5 A x 36 / 1000 = 3.6 V.
  it('metric sections, at 20 °C and warmer', () => {
    expect(cableHint({ sectionMm2: 0.5, lengthM: 100, currentMa: 500 }, 24, 20)).toMatchObject({ code: 'cable-explains', numbers: { expectedDropV: 3.6 } });
    expect(cableHint({ sectionMm2: 0.5, lengthM: 100, currentMa: 500, temperatureC: 50 }, 24, 20)!.numbers['expectedDropV']).toBeCloseTo(3.6 * 1.1179, 3);
    expect(cableHint({ sectionMm2: 6, lengthM: 100, currentMa: 500 }, 24, 20)).toBeNull();
  });
  const supply = aDefinition({ judge: 'supply-voltage', readings: [...numbers('volts', 'wireLengthM', 'wireCurrentMa'), text('wire')] });
  it.each<[Readings, string | null]>([
    [{ volts: 21.7, wire: 'awg-18-7-strand', wireLengthM: 91.44, wireCurrentMa: 500 }, 'cable-explains'], [{ volts: 20.5, wire: 'awg-18-7-strand', wireLengthM: 91.44, wireCurrentMa: 500 }, 'cable-does-not-explain'],
    [{ volts: 20.5, wire: 'mm2-0.5', wireLengthM: 100, wireCurrentMa: 500 }, 'cable-explains'], [{ volts: 20.5, wire: 'mm2-0.5', wireLengthM: 100 }, null], [{ volts: 20.5 }, null], [{ volts: 23.5, wire: 'mm2-0.5', wireLengthM: 100, wireCurrentMa: 500 }, null],
  ])('read on site: %j gives %s', (readings, code) => {
    const judged = judge(supply, readings, { supply: { ratedMv: 24_000 } }, today);
    expect(judged.hints.map((hint) => hint.code)).toEqual(code === null ? [] : [code]);
    for (const hint of judged.hints) expect(judged.notes).toContain(hint.words);
  });
  it('what was read on site replaces what was known', () => {
    const facts: CheckFacts = { supply: { ratedMv: 24_000, wire } };
    expect(judge(supply, { volts: 20.5 }, facts, today).hints[0]!.code).toBe('cable-does-not-explain');
    expect(judge(supply, { volts: 20.5, wireCurrentMa: 900 }, facts, today).hints[0]!.code).toBe('cable-explains');
    expect(judge(supply, { volts: 20.5, wire: 'mm2-0.5' }, facts, today).hints[0]!.code).toBe('cable-explains');
  });
});

describe('[ACC-29] what distance and walls explain', () => {
  // 908.42 MHz, 20 m, N 28: 67.59 dB (CALC): 10 dBm sent leaves -57.59 dBm.
  const link = { transmitDbm: 10, frequencyMhz: 908.42, distanceM: 20, floors: 0, place: 'residential' as const };
  it.each([[-60, 'link-explains'], [-67.5, 'link-explains'], [-67.7, 'link-does-not-explain'], [-85, 'link-does-not-explain']])('%d dBm: %s', (level, code) => {
    expect(linkHint(link, level)).toMatchObject({ code, numbers: { expectedDbm: -57.6 } });
  });
  it('by what was read on site', () => {
    const wireless = aDefinition({ judge: 'wireless-margin', readings: [...numbers('levelDbm', 'noiseDbm', 'distanceM', 'floors', 'transmitDbm', 'frequencyMhz'), text('place')] });
    const weak = { levelDbm: -85, noiseDbm: -100, distanceM: 20, transmitDbm: 10, frequencyMhz: 908.42 };
    expect(judge(wireless, weak, {}, today).hints.map((h) => h.code)).toEqual(['link-does-not-explain']);
    // 60 m and two floors at 868 MHz indoors: 20 lg 868 + 28 lg 60 + 8 - 28 = 88.6 dB.
    expect(judge(wireless, { ...weak, distanceM: 60, floors: 2, frequencyMhz: 868 }, {}, today).hints.map((h) => h.code)).toEqual(['link-explains']);
    expect(judge(wireless, { levelDbm: -85, noiseDbm: -100, distanceM: 20 }, {}, today).hints).toEqual([]);
    expect(judge(wireless, { ...weak, levelDbm: -60 }, {}, today).hints).toEqual([]);
  });
});

describe('[ACC-15] by how much, for which load', () => {
  const load: LoadFacts = { standbyMa: 450, alarmMa: 1900, standbyH: 24, alarmMin: 30, allowance: 1.25 };
  it('scenario 11: short by 0.58 Ah, most of it standby; 17.7 Ah rated at 83 % would do; 22.97 h are carried', () => {
    const hint = capacityHint(load, 14.11, 0.83)!;
    expect(hint.numbers).toMatchObject({ needAh: 14.6875, shortAh: 0.5775, standbyAh: 10.8, alarmAh: 0.95, ratedAh: 17.7 });
    expect(hint.numbers['carriedH']).toBeCloseTo((14.11 / 1.25 - 0.95) / 0.45, 2);
    expect(hint.words).toContain('Short by 0.58 Ah, most of it asked by the standby load');
    expect(capacityHint(load, 14.69, 0.83)).toBeNull();
    expect(capacityHint(load, 14.6875, 0.83)).toBeNull();
    expect(capacityHint(load, 0, 0)!.numbers).toMatchObject({ ratedAh: 14.69, carriedH: 0 });
  });
  it('a large alarm load is named as the one that asks', () => expect(capacityHint({ ...load, standbyMa: 20, alarmMa: 9000 }, 3, 1)!.words).toContain('the alarm load (4.5 Ah of 4.98)'));
  const battery = aDefinition({ judge: 'battery-on-load', subject: 'battery', readings: numbers('capacityPct', 'temperatureC', 'voltsOn', 'minutes') });
  const facts = (over: Partial<LoadFacts> = {}): CheckFacts => ({ load: { ...load, ...over }, battery: { chemistry: 'lead-acid-sealed', nominalMv: 12_000, ratedMah: 17_000, madeOn: '2025-01-10' } });
  it('stands with the judgement', () => {
    expect(judge(battery, { capacityPct: 83 }, facts(), today)).toMatchObject({ verdict: 'fail', hints: [{ code: 'capacity-short' }] });
    expect(judge(battery, { capacityPct: 95 }, facts(), today).hints).toEqual([]);
  });
  // BS 5839-1 annex D: 1.25 (24 x 0.4 + 1.75 x 2.0 / 2) = 14.1875 Ah (CALC); VDE 0833-2: (0.9 x 12 + 3.5 x 0.5) x 1.25 x 1.1 = 17.256 Ah (SEEN-R).
  it('[ACC-10] by the convention that the site asks for', () => {
    const bs = facts({ standbyMa: 400, alarmMa: 2000, convention: { kind: 'bs-5839-1' } });
    expect(judge(battery, { capacityPct: 84 }, bs, today)).toMatchObject({ margin: { value: 0.0925, unit: 'Ah' }, reason: expect.stringContaining('14.19 Ah') });
    const vde = facts({ standbyMa: 900, alarmMa: 3500, standbyH: 12, convention: { kind: 'vde-0833-2' } });
    expect(judge(battery, { capacityPct: 100 }, vde, today)).toMatchObject({ verdict: 'fail', reason: expect.stringContaining('17.26 Ah') });
  });
  it('cold: what suffices at 25 °C may not at 5 °C', () => {
    // 16.15 Ah x (1 - 0.008 x 20) = 13.57 Ah against 14.69 Ah (0.8 % per °C from memory).
    expect(coldHint(16.15, 14.6875, 5)).toMatchObject({ code: 'cold', numbers: { coldAh: 13.566 } });
    expect(coldHint(16.15, 14.6875, 20)).toBeNull();
    expect(coldHint(14, 14.6875, 5)).toBeNull();
    expect(judge(battery, { capacityPct: 95, temperatureC: 5 }, facts(), today)).toMatchObject({ verdict: 'pass', hints: [{ code: 'cold' }] });
  });
});

describe('[ACC-19] charge voltage', () => {
  const charge = aDefinition({ judge: 'charge-voltage', subject: 'battery', readings: numbers('volts', 'temperatureC') });
  const sealed = (nominalMv = 12_000): CheckFacts => ({ battery: { chemistry: 'lead-acid-sealed', nominalMv } });
  // Float 2.25 to 2.30 V/cell at 25 °C = 13.5 to 13.8 V; 13.68 to 13.92 V (2.30 +/- 0.02); 13.62 at 35 °C and 13.98 at 15 °C for 2.30 (facts, section 3).
  it.each<[Readings, CheckFacts, string, number]>([
    [{ volts: 13.5, temperatureC: 25 }, sealed(), 'pass', 0], [{ volts: 13.49, temperatureC: 25 }, sealed(), 'fail', -0.01], [{ volts: 13.92, temperatureC: 25 }, sealed(), 'pass', 0], [{ volts: 13.93, temperatureC: 25 }, sealed(), 'fail', -0.01],
    [{ volts: 13.98, temperatureC: 15 }, sealed(), 'pass', 0.12], [{ volts: 13.98, temperatureC: 35 }, sealed(), 'fail', -0.24], [{ volts: 27.24, temperatureC: 35 }, sealed(24_000), 'pass', 0.24],
  ])('%j with %j: %s, margin %d V', (readings, facts, verdict, margin) => {
    const judged = judge(charge, readings, facts, today);
    expect(judged.verdict).toBe(verdict);
    expect(judged.margin!.value).toBeCloseTo(margin, 3);
  });
  it('no temperature is told, another chemistry is not judged by it', () => {
    expect(judge(charge, { volts: 13.7 }, sealed(), today)).toMatchObject({ verdict: 'pass', notes: [expect.stringContaining('Temperature not read')] });
    expect(judge(charge, { volts: 13.7 }, { battery: { chemistry: 'lithium-ion' } }, today)).toMatchObject({ verdict: 'not-enough-data', missing: ['limits'] });
    for (const volts of [13.5, 13.92]) expect(judge(charge, { volts, temperatureC: 25 }, sealed(), today).notes).toEqual([]);
    expect(judge(charge, { volts: 14.6, temperatureC: 20 }, sealed(), today).notes.join()).toContain('Too high a charge');
    expect(judge(charge, { volts: 12.6, temperatureC: 20 }, sealed(), today).notes.join()).toContain('Too low a charge');
  });
});
