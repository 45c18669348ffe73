import { describe, expect, it } from 'vitest';
import { judge, type CheckDefinition, type CheckFacts, type ReadingDefinition, type Readings } from './index.js';
import { aDefinition, numbers, today } from './spec-builders.js';

const yesNo = (...keys: string[]): ReadingDefinition[] => keys.map((key) => ({ key, label: key, unit: '', kind: 'yes-no', required: false }));
const text = (...keys: string[]): ReadingDefinition[] => keys.map((key) => ({ key, label: key, unit: '', kind: 'text', required: false }));
const run = (definition: CheckDefinition, readings: Readings, facts: CheckFacts = {}) => judge(definition, readings, facts, today);

describe('[ACC-37] sounder level', () => {
  const sounder = aDefinition({ judge: 'sounder-level', readings: numbers('levelDb', 'distanceM', 'ambientDb', 'maximumAmbientDb') });
  // NFPA 72 18.4 public mode: 15 dB over average, 5 over a 60 s maximum (SEEN-R/U); sleeping 75 dB(A) at the pillow (SEEN-U).
  it.each<[Readings, CheckFacts, string]>([
    [{ levelDb: 75, ambientDb: 55 }, {}, 'pass'], [{ levelDb: 72, ambientDb: 55 }, {}, 'marginal'], [{ levelDb: 69.9, ambientDb: 55 }, {}, 'fail'],
    [{ levelDb: 75, ambientDb: 55, maximumAmbientDb: 71 }, {}, 'fail'], [{ levelDb: 66, ambientDb: 55 }, { sound: { mode: 'private' } }, 'marginal'],
    [{ levelDb: 74, ambientDb: 35 }, { sound: { sleeping: true } }, 'fail'], [{ levelDb: 80 }, {}, 'not-enough-data'], [{ levelDb: 80 }, { sound: { ambientDb: 55 } }, 'pass'],
    [{ levelDb: 112, ambientDb: 55 }, {}, 'fail'], [{ levelDb: 111 }, {}, 'fail'],
  ])('%j with %j: %s', (readings, facts, verdict) => expect(run(sounder, readings, facts).verdict).toBe(verdict));
  it('brings the level to the reference distance: 93.98 dB at 6 m is 100 dB at 3 m (CALC)', () => {
    const at = (requiredDb: number) => run(sounder, { levelDb: 93.98, distanceM: 6, ambientDb: 40 }, { sound: { requiredDb, referenceDistanceM: 3 } });
    expect(at(97)).toMatchObject({ verdict: 'pass' });
    expect(at(99)).toMatchObject({ verdict: 'marginal' });
    expect(at(100.1)).toMatchObject({ verdict: 'fail', margin: { unit: 'dB' } });
    expect(at(100.1).reason).toContain('100 dB(A) at 3 m');
    expect(run(sounder, { levelDb: 94, ambientDb: 40 }, { sound: { requiredDb: 90 } })).toMatchObject({ verdict: 'not-enough-data', missing: ['distanceM'] });
  });
  // BS 5839-1: 65 dB(A) generally, 60 in small rooms, 75 at the bedhead (SEEN-R); 5 dB over noise lasting over 30 s (MEM).
  it.each<[string, Readings, string]>([
    ['bs-general', { levelDb: 65, ambientDb: 40 }, 'marginal'], ['bs-general', { levelDb: 64.9, ambientDb: 40 }, 'fail'], ['bs-general', { levelDb: 68, ambientDb: 64 }, 'fail'], ['bs-general', { levelDb: 73, ambientDb: 64 }, 'pass'], ['bs-general', { levelDb: 73, ambientDb: 50, maximumAmbientDb: 69 }, 'fail'],
    ['bs-small-room', { levelDb: 63, ambientDb: 40 }, 'pass'], ['bs-bedhead', { levelDb: 74, ambientDb: 30 }, 'fail'], ['bs-bedhead', { levelDb: 78, ambientDb: 30 }, 'pass'], ['sleeping', { levelDb: 74, ambientDb: 30 }, 'fail'], ['bs-general', { levelDb: 80 }, 'not-enough-data'],
  ])('[ACC-24] by %s: %j is %s', (rule, readings, verdict) => {
    const check = { ...sounder, readings: [...sounder.readings, ...text('rule')] };
    expect(run(check, { ...readings, rule }).verdict).toBe(verdict);
    // What the technician chose stands before what is known of the site.
    expect(run(check, { ...readings, rule }, { sound: { sleeping: true } }).verdict).toBe(verdict);
  });
  it('over the ceiling is found by itself', () => expect(run(sounder, { levelDb: 112, ambientDb: 55 }).findings[0]).toMatchObject({ code: 'over-loud' }));
});

describe('[ACC-38] acoustic detector', () => {
  const acoustic = aDefinition({ judge: 'acoustic-response', readings: [...yesNo('detected', 'receivedAtStation'), ...text('method'), ...numbers('distanceM')] });
  it.each<[Readings, string, string]>([
    [{ detected: true, method: 'simulator', receivedAtStation: true }, 'pass', 'A'], [{ detected: true, method: 'simulator' }, 'pass', 'B'], [{ detected: true, method: 'hand-clap' }, 'pass', 'D'],
    [{ detected: false, method: 'simulator' }, 'fail', 'B'], [{ detected: true }, 'not-enough-data', 'B'], [{ detected: true, method: 'simulator', receivedAtStation: false }, 'fail', 'B'],
  ])('%j: %s, evidence %s', (readings, verdict, evidence) => expect(run(acoustic, readings)).toMatchObject({ verdict, evidence }));
});

describe('[ACC-39] background sound', () => {
  const background = aDefinition({ judge: 'background-sound', readings: numbers('levelDb') });
  it.each([[50, 'pass'], [58, 'marginal'], [60, 'fail'], [75, 'fail']])('%d dB(A) of 60: %s', (levelDb, verdict) => expect(run(background, { levelDb }, { sound: { warnLevelDb: 60 } }).verdict).toBe(verdict));
  it('no warning level set: can\'t tell', () => expect(run(background, { levelDb: 40 }).verdict).toBe('not-enough-data'));
});

describe('[ACC-34] path changeover', () => {
  const changeover = aDefinition({ judge: 'path-changeover', readings: [...yesNo('primaryLossReported', 'primaryRestored', 'alternateLossReported', 'alternateRestored'), ...numbers('primaryReportS', 'alternateReportS')] });
  const all = { primaryLossReported: true, primaryRestored: true, alternateLossReported: true, alternateRestored: true };
  // EN 50136-1:2012: DP4 90 s and 5 h, DP3 180 s and 25 h (90 s SEEN-R, rest MEM); 200 s NFPA 72 26.6.4 (SEEN-R).
  it.each<[number, number, CheckFacts, string]>([
    [85, 3600, { path: { category: 'DP4' } }, 'pass'], [95, 3600, { path: { category: 'DP4' } }, 'fail'], [95, 3600, { path: { category: 'DP3' } }, 'pass'], [199, 200, {}, 'pass'], [199, 201, {}, 'fail'],
  ])('%d s and %d s with %j: %s', (primaryReportS, alternateReportS, facts, verdict) => expect(run(changeover, { ...all, primaryReportS, alternateReportS }, facts).verdict).toBe(verdict));
  it('a loss nobody hears of fails, whatever else is missing; one direction alone is not enough', () => {
    expect(run(changeover, { ...all, alternateLossReported: false }).verdict).toBe('fail');
    expect(run(changeover, { primaryLossReported: true, primaryRestored: true, primaryReportS: 20 })).toMatchObject({ verdict: 'not-enough-data', missing: expect.arrayContaining(['alternateLossReported', 'alternateReportS']) });
  });
});

describe('[ACC-35] periodic signal', () => {
  const periodic = aDefinition({ judge: 'periodic-signal', readings: numbers('hoursSinceLast', 'longestGapH') });
  const promised = { periodic: { intervalH: 24, graceH: 1 } };
  it.each<[Readings, CheckFacts, string]>([
    [{ hoursSinceLast: 25 }, promised, 'pass'], [{ hoursSinceLast: 25.1 }, promised, 'fail'], [{ hoursSinceLast: 3, longestGapH: 30 }, promised, 'fail'], [{}, promised, 'not-enough-data'], [{ hoursSinceLast: 3 }, {}, 'not-enough-data'],
  ])('%j with %j: %s', (readings, facts, verdict) => expect(run(periodic, readings, facts).verdict).toBe(verdict));
});

describe('[ACC-29] wireless margin', () => {
  const wireless = aDefinition({ judge: 'wireless-margin', readings: [...numbers('levelDbm', 'noiseDbm'), ...text('linkClass')] });
  it.each<[Readings, string]>([
    [{ levelDbm: -70, noiseDbm: -90 }, 'pass'], [{ levelDbm: -70, noiseDbm: -89 }, 'marginal'], [{ levelDbm: -70, noiseDbm: -80 }, 'marginal'], [{ levelDbm: -70, noiseDbm: -79 }, 'fail'],
    [{ levelDbm: -50 }, 'not-enough-data'], [{ linkClass: 'strong' }, 'pass'], [{ linkClass: 'marginal' }, 'marginal'], [{ linkClass: 'none' }, 'fail'],
  ])('%j: %s', (readings, verdict) => expect(run(wireless, readings).verdict).toBe(verdict));
  it('marginal advises a repeater or moving, and says whether distance and walls explain it', () => {
    const link = { transmitDbm: 10, frequencyMhz: 908.42, distanceM: 20, floors: 0, place: 'residential' as const };
    // ITU-R P.1238: 67.59 dB at 20 m (CALC), so about -58 dBm are to be expected.
    expect(run(wireless, { levelDbm: -60, noiseDbm: -75 }, { radio: { link } }).notes.join(' ')).toMatch(/repeater.*explained by distance and walls/);
    expect(run(wireless, { levelDbm: -85, noiseDbm: -100 }, { radio: { link } }).notes.join(' ')).toContain('not explained by distance and walls');
  });
  it('a falling margin names the date; a flat one does not', () => {
    const history = (margins: number[]) => ({ radio: { history: margins.map((marginDb, i) => ({ on: `202${i + 4}-03-01`, marginDb })) } });
    expect(run(wireless, { levelDbm: -75, noiseDbm: -90 }, history([22, 20, 17])).findings).toEqual([expect.objectContaining({ code: 'trend', words: expect.stringMatching(/20(28|29)-/) })]);
    expect(run(wireless, { levelDbm: -70, noiseDbm: -92 }, history([22, 22, 22])).findings).toEqual([]);
  });
});

describe('mesh hops and firmware', () => {
  const hops = aDefinition({ judge: 'mesh-hops', readings: [...numbers('hops'), ...text('through')] });
  it.each([[0, 'pass'], [3, 'pass'], [4, 'marginal'], [5, 'fail']])('[ACC-28] %d hops: %s', (n, verdict) => expect(run(hops, { hops: n }).verdict).toBe(verdict));
  it('[ACC-28] the change since the last visit is shown; a single device is direct by necessity', () => {
    expect(run(hops, { hops: 3, through: 'hall plug' }, { mesh: { previousHops: 1 } }).reason).toContain('1 at the last visit');
    expect(run(hops, { hops: 0 }, { mesh: { devicesInMesh: 1 } }).notes.join()).toContain('single device');
  });
  const firmware = aDefinition({ judge: 'firmware', readings: text('version') });
  it.each<[Readings, CheckFacts, string]>([
    [{ version: ' 4.2.1 ' }, { firmware: { approved: ['4.2.1', '4.3'] } }, 'pass'], [{ version: '4.2' }, { firmware: { approved: ['4.2.1'] } }, 'fail'], [{ version: '4.2' }, {}, 'not-enough-data'], [{}, { firmware: { approved: ['4.2'] } }, 'not-enough-data'],
  ])('[ACC-43] %j with %j: %s', (readings, facts, verdict) => expect(run(firmware, readings, facts).verdict).toBe(verdict));
});

describe('[ACC-45] loss of a path', () => {
  const cut = aDefinition({ judge: 'path-supervision', subject: 'path', readings: [...yesNo('shownAtPanel', 'noticedAtStation', 'restored'), ...numbers('panelS', 'noticedS')] });
  const all = { shownAtPanel: true, noticedAtStation: true, restored: true };
  // 200 s NFPA 72 26.6.4, 60 min single technology 26.6.3 (SEEN-R); SP4 180 s, DP4 first 90 s, second 5 h (MEM, 90 s SEEN-R).
  it.each<[Readings, CheckFacts, string]>([
    [{ ...all, panelS: 200, noticedS: 3600 }, {}, 'pass'], [{ ...all, panelS: 201 }, {}, 'fail'], [{ ...all, noticedS: 3601 }, {}, 'fail'], [{ ...all, noticedS: 180 }, { path: { category: 'SP4' } }, 'pass'], [{ ...all, noticedS: 181 }, { path: { category: 'SP4' } }, 'fail'],
    [{ ...all, noticedS: 18_000 }, { path: { category: 'DP4', order: 'alternate' } }, 'pass'], [{ ...all, noticedS: 91 }, { path: { category: 'DP4', order: 'primary' } }, 'fail'], [all, {}, 'pass'], [{ ...all, restored: false }, {}, 'fail'],
    [{ ...all, noticedAtStation: false, panelS: 5 }, {}, 'fail'], [{ shownAtPanel: true, restored: true, panelS: 5 }, {}, 'not-enough-data'], [{}, {}, 'not-enough-data'],
  ])('%j with %j: %s', (readings, facts, verdict) => expect(run(cut, readings, facts).verdict).toBe(verdict));
  it('says which limit and how late', () => {
    expect(run(cut, { ...all, noticedS: 250 }, { path: { category: 'SP4' } })).toMatchObject({ reason: expect.stringContaining('late by 70 s'), margin: { value: -70, unit: 's' }, limitSource: expect.stringContaining('category SP4') });
    expect(run(cut, { ...all, noticedS: 250 })).toMatchObject({ notes: [expect.stringContaining('60 min')] });
  });
});

describe('[ACC-46] false alarms', () => {
  const rate = aDefinition({ judge: 'false-alarm-rate', subject: 'system', readings: numbers('falseAlarms', 'detectors', 'monthsKnown') });
  // Fire: more than 4 per 100 detectors a year (SEEN-R). Intrusion: 3 in twelve months may withdraw police response, 2 a warning (SEEN-U).
  it.each<[Readings, CheckFacts, string]>([
    [{ falseAlarms: 4, detectors: 100 }, { systemKind: 'fire' }, 'pass'], [{ falseAlarms: 5, detectors: 100 }, { systemKind: 'fire' }, 'marginal'], [{ falseAlarms: 3, detectors: 100, monthsKnown: 6 }, { systemKind: 'fire' }, 'marginal'], [{ falseAlarms: 0 }, { systemKind: 'fire' }, 'not-enough-data'],
    [{ falseAlarms: 1 }, { systemKind: 'intrusion' }, 'pass'], [{ falseAlarms: 2 }, { systemKind: 'intrusion' }, 'marginal'], [{ falseAlarms: 3 }, { systemKind: 'intrusion' }, 'fail'], [{ falseAlarms: 3 }, {}, 'marginal'], [{}, {}, 'not-enough-data'],
    [{ falseAlarms: 0, detectors: 10, monthsKnown: 0 }, { systemKind: 'fire' }, 'not-enough-data'],
  ])('%j with %j: %s', (readings, facts, verdict) => expect(run(rate, readings, facts).verdict).toBe(verdict));
  it('margins to what would be looked into; no detectors, no share', () => {
    expect(run(rate, { falseAlarms: 1 }, { systemKind: 'intrusion' }).margin).toEqual({ value: 1, unit: 'alarms' });
    expect(run(rate, { falseAlarms: 2, detectors: 100 }, { systemKind: 'fire' }).reason).toContain('2 false alarms a year for each 100 detectors (2 of 100)');
    expect(run(rate, { falseAlarms: 6, detectors: 100 }, { systemKind: 'fire' }).margin).toEqual({ value: -2, unit: 'per 100 a year' });
    expect(run(rate, { falseAlarms: 1, detectors: 0 }, { systemKind: 'intrusion' }).reason).not.toContain('each 100');
  });
  it('a short record is told', () => expect(run(rate, { falseAlarms: 1, detectors: 100, monthsKnown: 6 }, { systemKind: 'fire' })).toMatchObject({ reason: expect.stringContaining('2 false alarms a year for each 100'), notes: ['The record covers 6 months only.'] }));
});
