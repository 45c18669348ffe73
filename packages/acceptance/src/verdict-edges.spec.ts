import { describe, expect, it } from 'vitest';
import { judge, stepsDown, dropFindings, type CheckDefinition, type CheckFacts, type Limit, type Readings } from './index.js';
import { aDefinition, numbers, today } from './spec-builders.js';

// Exactly at each limit, and one step beside it: what changes of the code had let through.
const check = (judgeName: string, keys: string[], over: Partial<CheckDefinition> = {}) => aDefinition({ judge: judgeName as CheckDefinition['judge'], readings: numbers(...keys), ...over });
const yes = (...keys: string[]): CheckDefinition['readings'] => keys.map((key) => ({ key, label: key, unit: '', kind: 'yes-no', required: false }));
const read = (definition: CheckDefinition, readings: Readings, facts: CheckFacts = {}) => judge(definition, readings, facts, today);

describe('[ACC-4] a reading exactly at its limit', () => {
  const limit = (comparator: Limit['comparator'], over: Partial<Limit> = {}): Limit => ({ reading: 'x', comparator, value: 10, unit: 'V', level: 'fail', source: { text: 'company rule', provenance: 'company rule' }, ...over });
  const at = (value: number, one: Limit) => read(check('limits', ['x'], { limits: [one] }), { x: value });
  it.each<[Limit['comparator'], number, string, number]>([
    ['>=', 10, 'pass', 0], ['>=', 9.9, 'fail', -0.1], ['<=', 10, 'pass', 0], ['<=', 10.1, 'fail', -0.1], ['>', 10, 'fail', 0], ['>', 10.1, 'pass', 0.1], ['<', 10, 'fail', 0], ['<', 9.9, 'pass', 0.1],
  ])('%s 10 V, read %d: %s by %d', (comparator, value, verdict, margin) => expect(at(value, limit(comparator))).toMatchObject({ verdict, margin: { value: margin, unit: 'V' } }));
  it.each([[10, 'pass', 0], [12, 'pass', 0], [11.5, 'pass', 0.5], [9.9, 'fail', -0.1], [12.1, 'fail', -0.1]])('between 10 and 12 V, read %d: %s by %d', (value, verdict, margin) => {
    const found = at(value, limit('between', { upper: 12 }));
    expect(found).toMatchObject({ verdict, margin: { value: margin, unit: 'V' } });
    expect(found.reason).toContain('between 10 and 12 V');
  });
  it('exactly has no margin; a limit without a unit says none; the subject’s own replaces only its reading and level', () => {
    expect(at(10, limit('='))).toMatchObject({ verdict: 'pass', margin: null, reason: 'A check: all as it must be.' });
    expect(at(9, limit('=')).reason).toBe('x 9 V, exactly 10 V.');
    expect(at(11, limit('>=', { unit: '' })).reason).toBe('x 11, at least 10: inside by 1.');
    const both = check('limits', ['x'], { limits: [limit('>='), limit('>=', { value: 20, level: 'marginal' })] });
    expect(read(both, { x: 15 }).verdict).toBe('marginal');
    expect(read(both, { x: 15 }, { limits: [limit('>=', { value: 16 })] }).verdict).toBe('fail');
    expect(read(both, { x: 15 }, { limits: [limit('>=', { value: 14, level: 'marginal' })] }).verdict).toBe('pass');
  });
  it('what must be is said in words', () => {
    const must = (value: boolean): CheckDefinition => aDefinition({ readings: yes('y'), limits: [limit('=', { reading: 'y', value, unit: '' })] });
    expect([read(must(true), { y: false }).reason, read(must(false), { y: true }).reason]).toEqual(['y: no, must be yes.', 'y: yes, must be no.']);
  });
});

describe('[ACC-15] the battery at its edges', () => {
  const battery = check('battery-on-load', ['voltsOff', 'voltsOn', 'loadA', 'minutes', 'temperatureC', 'capacityPct']);
  const load = { standbyMa: 400, alarmMa: 0, standbyH: 10, alarmMin: 0, allowance: 1 }; // 4 Ah
  const of = (over: object = {}, more: Partial<CheckFacts> = {}): CheckFacts => ({ load, battery: { chemistry: 'lead-acid-sealed', nominalMv: 12_000, ratedMah: 5000, madeOn: '2026-03-01', ...over }, ...more });
  it.each([[80, 'pass', 0], [79.99, 'fail', -0.0005], [100, 'pass', 1]])('rated 5 Ah at %d %% against 4 Ah: %s by %d Ah', (capacityPct, verdict, value) => expect(read(battery, { capacityPct }, of())).toMatchObject({ verdict, margin: { value, unit: 'Ah' } }));
  it('at the 80 % rule without loads the margin is to the rule', () => {
    expect(read(battery, { capacityPct: 82.5 }, { battery: { ratedMah: 5000, madeOn: '2026-03-01' } })).toMatchObject({ verdict: 'marginal', margin: { value: 2.5, unit: '%' } });
  });
  it.each([[80, true], [84.99, true], [85, false], [79.99, false]])('%d %%: told to replace at the next test: %s', (capacityPct, isTold) => {
    expect(read(battery, { capacityPct }, of({ ratedMah: 50_000 })).notes.some((note) => note.startsWith('Below 85 %'))).toBe(isTold);
  });
  it('although it is above the rule is said from 80 % on, and of a measurement only', () => {
    expect(read(battery, { capacityPct: 80 }, of({ ratedMah: 4900 })).reason).toContain('although 80 % is above the 80 % rule');
    expect(read(battery, { capacityPct: 79 }, of({ ratedMah: 4900 })).reason).not.toContain('although');
    expect(read(battery, { voltsOn: 12.5, minutes: 5 }, of({ ratedMah: 4050 })).reason).not.toContain('although');
  });
  it('expected at its age: short of the need is marginal while the rated capacity suffices, and fails where it does not', () => {
    expect(read(battery, { voltsOn: 12.5, minutes: 5 }, of({ ratedMah: 4050, madeOn: '2024-03-01' }))).toMatchObject({ verdict: 'marginal', reason: expect.stringContaining('expected short by') });
    expect(read(battery, { voltsOn: 12.5, minutes: 5 }, of({ ratedMah: 3999, madeOn: '2024-03-01' }))).toMatchObject({ verdict: 'fail' });
    // Rated exactly the need, of unknown make: nothing is short, nothing is found.
    const even = read(battery, { voltsOn: 12.5, minutes: 5 }, of({ ratedMah: 4000, madeOn: undefined, firstSeenOn: '2026-03-01' }));
    expect([even.findings.map((one) => one.code), even.margin]).toEqual([['date-missing'], { value: 0, unit: 'Ah' }]);
    const short = read(battery, { voltsOn: 12.5, minutes: 5 }, of({ ratedMah: 3900, madeOn: undefined, firstSeenOn: '2026-03-01' }));
    expect([short.verdict, short.margin, short.findings[0]!.words]).toEqual(['fail', { value: -0.1, unit: 'Ah' }, expect.stringContaining('short by 0.1 Ah')]);
  });
  it('an unknown chemistry or make is no expectation: never called expected', () => {
    for (const over of [{ chemistry: undefined }, { madeOn: undefined, firstSeenOn: '2026-03-01' }]) expect(read(battery, { voltsOn: 12.5, minutes: 5 }, of(over)).reason).not.toContain('expected at its age');
    expect(read(battery, { voltsOn: 12.5, minutes: 5 }, of()).reason).toContain('expected at its age');
  });
  it('voltage: margin to the floor, the words of the minutes, a nominal that is not known', () => {
    const bare = { battery: { madeOn: '2026-03-01' } };
    expect(read(battery, { voltsOn: 12, minutes: 10 }, bare)).toMatchObject({ margin: { value: 0.6, unit: 'V' }, notes: expect.arrayContaining(['Nominal voltage not known: taken as 12 V.']) });
    expect(read(battery, { voltsOn: 11, minutes: 10 }, bare)).toMatchObject({ verdict: 'fail', reason: '11 V under load after 10 min, floor 11.4 V: below by 0.4 V.' });
    expect(read(battery, { voltsOn: 11 }, bare).reason).toBe('11 V under load, floor 11.4 V: below by 0.4 V.');
    expect(read(battery, { voltsOn: 24, minutes: 10 }, { battery: { nominalMv: 24_000, madeOn: '2026-03-01' } })).toMatchObject({ margin: { value: 1.2, unit: 'V' }, notes: expect.not.arrayContaining([expect.stringContaining('not known')]) });
  });
  it.each([[0.25, false], [0.249, true]])('a load of %d A of 5 Ah says little: %s', (loadA, isTold) => {
    expect(read(battery, { voltsOn: 12.5, minutes: 5, loadA }, of()).notes.some((note) => note.includes('this says little'))).toBe(isTold);
  });
  it.each([[12.5, 'pass'], [12.49, 'marginal']])('at rest %d V: %s', (voltsOff, verdict) => expect(read(battery, { voltsOn: 12.4, minutes: 5, voltsOff }, of({ ratedMah: 50_000 })).verdict).toBe(verdict));
  it('a forecast is held against the higher of the rule and the need', () => {
    const history = [{ on: '2025-03-01', capacityPct: 98 }, { on: '2026-03-01', capacityPct: 94 }];
    const notes = (ratedMah: number) => read(battery, { capacityPct: 90 }, of({ ratedMah, history })).notes.find((note) => note.includes('falls below'));
    expect(notes(50_000)).toContain('falls below 80 %');
    expect(notes(4550)).toContain('falls below 87.9 %');
  });
  it('the convention is named', () => {
    const by = (kind: 'bs-5839-1' | 'vde-0833-2') => read(battery, { capacityPct: 100 }, of({ ratedMah: 50_000 }, { load: { ...load, convention: { kind } as never } })).reason;
    expect(read(battery, { capacityPct: 100 }, of()).reason).toContain('x 1:');
    expect(by('bs-5839-1')).toContain('by BS 5839-1 annex D');
  });
});

describe('devices, paths and meshes at their edges', () => {
  const smoke = check('smoke-sensitivity', ['pctPerFt', 'markedLow', 'markedHigh']);
  it.each([[4, 'pass', 0], [4.01, 'marginal', -0.01], [4.24, 'marginal', -0.24], [4.25, 'fail', -0.25], [1, 'pass', 0], [0.75, 'fail', -0.25]])('[ACC-41] %d %%/ft of 1 to 4: %s by %d', (pctPerFt, verdict, value) => {
    const found = read(smoke, { pctPerFt, markedLow: 1, markedHigh: 4 });
    expect(found).toMatchObject({ verdict, margin: { value, unit: '%/ft' } });
    expect(found.reason).toContain(value === 0 ? 'inside the range' : 'outside by');
  });
  it('[ACC-41] half a range is none', () => { for (const one of [{ markedLow: 1 }, { markedHigh: 4 }] as Readings[]) expect(read(smoke, { pctPerFt: 2, ...one }).verdict).toBe('not-enough-data'); });
  const life = check('end-of-life', []);
  it.each([['2027-03-01', 'fail', 0, 1], ['2027-03-02', 'marginal', 1, 1], ['2027-08-31', 'marginal', 183, 1], ['2027-09-01', 'pass', 184, 0]])('[ACC-42] end of life %s: %s, %d days, %d found', (endOfLifeOn, verdict, value, found) => {
    const one = read(life, {}, { age: { endOfLifeOn } });
    expect(one).toMatchObject({ verdict, margin: { value, unit: 'days' }, limitSource: 'marking on the device (maker)' });
    expect([one.findings.length, one.reason]).toEqual([found, expect.stringContaining('marked on the device')]);
  });
  it('[ACC-42] made and life make the end; either alone can’t be told', () => {
    expect(read(life, {}, { age: { madeOn: '2017-03-02', lifeYears: 10 } })).toMatchObject({ verdict: 'marginal', limitSource: expect.stringContaining('life from manufacture'), reason: expect.stringContaining('made 2017-03-02, life 10 y') });
    for (const age of [{ madeOn: '2017-03-02' }, { lifeYears: 10 }] as NonNullable<CheckFacts['age']>[]) expect(read(life, {}, { age }).verdict).toBe('not-enough-data');
    const byKind = check('end-of-life', [], { params: { 'lifeYears.co': 7, lifeYears: 10 } });
    expect([read(byKind, {}, { deviceKind: 'co', age: { madeOn: '2019-03-01' } }).margin!.value, read(byKind, {}, { age: { madeOn: '2019-03-01' } }).margin!.value > 700]).toEqual([-365, true]);
  });
  const valve = aDefinition({ judge: 'valve-supervisory', readings: [...yes('signalled', 'restoredOnlyOpen'), ...numbers('turns', 'travelPct')] });
  it.each<[Readings, string, object | null]>([[{ turns: 2 }, 'pass', { value: 0, unit: 'turns' }], [{ turns: 2.1 }, 'fail', null], [{ turns: 0.5 }, 'pass', { value: 1.5, unit: 'turns' }], [{ travelPct: 20 }, 'pass', { value: 0, unit: '%' }], [{ travelPct: 21 }, 'fail', null], [{ travelPct: 5 }, 'pass', { value: 15, unit: '%' }], [{ turns: 3, travelPct: 20 }, 'pass', { value: -1, unit: 'turns' }], [{}, 'not-enough-data', null]])('[ACC-44] %j: %s', (readings, verdict, margin) => {
    expect(read(valve, { signalled: true, restoredOnlyOpen: true, ...readings })).toMatchObject({ verdict, margin });
  });
  const delivery = check('mesh-delivery', ['sentDirect', 'sentVia', 'failed']);
  it('[ACC-28] names the counts that are missing, needs one transmission, and tells the margin of the upper end', () => {
    expect(read(delivery, { sentDirect: 10, failed: 0 }).missing).toEqual(['sentVia']);
    expect(read(delivery, { sentVia: 10, failed: 0 }).missing).toEqual(['sentDirect']);
    expect(read(delivery, { sentDirect: 0, sentVia: 0, failed: 0 }).reason).toContain('nothing to judge');
    expect(read(delivery, { sentDirect: 1, sentVia: 0, failed: 0 }).reason).toContain('30 needed');
    expect(read(delivery, { sentDirect: 29, sentVia: 0, failed: 0 }).verdict).toBe('not-enough-data');
    expect(read(delivery, { sentDirect: 15, sentVia: 15, failed: 0 }).verdict).toBe('marginal');
    expect(read(delivery, { sentDirect: 100, sentVia: 0, failed: 0 })).toMatchObject({ verdict: 'pass', margin: { value: 6.3, unit: '%' } });
  });
  const path = aDefinition({ judge: 'transmission-path', readings: [...yes('receivedAtStation'), ...numbers('roundTripS', 'level'), { key: 'levelKind', label: 'kind', unit: '', kind: 'choice', required: false, choices: ['csq', 'rsrp', 'dbm'].map((code) => ({ code, words: code })) }] });
  it.each([[90, 'marginal', 0], [90.1, 'fail', -0.1], [81, 'pass', 9], [81.1, 'marginal', 8.9]])('[ACC-33] %d s of 90: %s, %d to spare', (roundTripS, verdict, value) => {
    expect(read(path, { receivedAtStation: true, roundTripS }, { path: { technology: 'ethernet' } })).toMatchObject({ verdict, margin: { value, unit: 's' }, limitSource: 'company rule' });
  });
  it.each<[number, boolean]>([[0, true], [31, true], [32, false], [98, false], [-1, false], [1.5, false]])('[ACC-20] a level code of %d is one: %s', (level, isOne) => {
    expect(read(path, { receivedAtStation: false, level, levelKind: 'csq' }, { path: { technology: 'cellular' } }).notes.some((note) => note.startsWith('Level'))).toBe(isOne);
  });
});

describe('[ACC-31] drops at their edges', () => {
  const two = (before: object, after: object, dropDb = 10) => stepsDown([{ on: '2026-09-01', marginDb: 30, ...before }, { on: '2027-03-01', marginDb: 30 - dropDb, ...after }])[0]?.cause;
  it('6 dB is none, more is one; beside a usual fall of 3 dB it takes more than 9', () => {
    expect([two({}, {}, 6), two({}, {}, 6.1)]).toEqual([undefined, "can't tell"]);
    const series = (last: number) => stepsDown([30, 27, 24, last].map((marginDb, n) => ({ on: `202${n}-03-01`, marginDb }))).map((step) => [step.toOn, step.dropDb]);
    expect([series(15), series(14.9)]).toEqual([[], [['2023-03-01', 9.1]]]);
    // a rise between is no usual fall
    expect(stepsDown([20, 30, 23.5].map((marginDb, n) => ({ on: `202${n}-03-01`, marginDb })))).toHaveLength(1);
  });
  it('the cause is told from level and noise, from one of them where the other is not known', () => {
    expect(two({ levelDbm: -70, noiseDbm: -100 }, { levelDbm: -80, noiseDbm: -100 })).toBe('level fell');
    expect(two({ levelDbm: -70, noiseDbm: -100 }, { levelDbm: -75, noiseDbm: -95 })).toBe('both');
    expect(two({ levelDbm: -70, noiseDbm: -100 }, { levelDbm: -72.5, noiseDbm: -92.5 })).toBe('noise rose');
    expect(two({ levelDbm: -70, noiseDbm: -100 }, { levelDbm: -77.5, noiseDbm: -97.5 })).toBe('level fell');
    expect([two({ levelDbm: -70 }, { levelDbm: -80 }), two({ levelDbm: -70 }, { levelDbm: -70 })]).toEqual(['level fell', 'noise rose']);
    expect([two({ noiseDbm: -100 }, { noiseDbm: -90 }), two({ noiseDbm: -100 }, { noiseDbm: -100 })]).toEqual(['noise rose', 'level fell']);
    expect([two({ levelDbm: -70 }, { noiseDbm: -90 }), two({ levelDbm: -70 }, {})]).toEqual(["can't tell", "can't tell"]);
  });
  it('[ACC-32] three within 4 dB of their middle, in intervals that overlap', () => {
    const drop = (device: string, dropDb: number, fromOn = '2026-09-01', toOn = '2027-03-01') => ({ device, receiver: 'R', fromOn, toOn, dropDb });
    const kinds = (...drops: ReturnType<typeof drop>[]) => dropFindings(drops).map((one) => one.kind);
    expect(kinds(drop('a', 10), drop('b', 14), drop('c', 18))).toEqual(['receiver']);
    expect(kinds(drop('a', 9.9), drop('b', 14), drop('c', 18))).toEqual(['device', 'device', 'device']);
    expect(kinds(drop('a', 14), drop('b', 14))).toEqual(['device', 'device']);
    expect(kinds(drop('a', 14), drop('b', 14), drop('c', 14, '2026-01-01', '2026-09-01'))).toEqual(['device', 'device', 'device']);
    expect(dropFindings([drop('a', 100), drop('b', 98), drop('c', 99)])[0]!.medianDropDb).toBe(99);
  });
});
