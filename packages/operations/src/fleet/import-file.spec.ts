import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { csvLine, IMPORT_KIND_NAMES, importKind, LIST_KINDS, sampleCsv, type ImportKind, type ImportRunDetail, type ImportUpload } from '@bellround/contracts';
import { aCompany, anId, cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { createPerform, type Perform, type Who } from '../perform.js';
import { importFile } from './import-file.js';
import { exportFleet } from './export-fleet.js';

let test: TestDatabase;
let perform: Perform;
const NOW = new Date('2027-03-01T09:00:00Z');
const tools = { now: () => NOW, newId: anId, sha256: (text: string) => createHash('sha256').update(text).digest('hex'), seed: () => 1 };
const house = (companyId: string): Who => ({ companyId, userId: null, name: 'Terminal', role: 'house', technicianId: null });

beforeAll(async () => { test = await cloneDatabase(); perform = createPerform(test.database, tools); });
afterAll(() => test.drop());

async function aHouse(): Promise<Who> {
  const id = anId();
  await test.database.inCompany({ companyId: id, actorId: null }, (tx) => aCompany(tx, id));
  return house(id);
}

function uploaded(text: string | Uint8Array, piece = 1000) {
  const bytes = typeof text === 'string' ? new TextEncoder().encode(text) : text;
  const hash = createHash('sha256');
  return {
    bytes: (async function* () { for (let at = 0; at < bytes.length; at += piece) { const part = bytes.subarray(at, at + piece); hash.update(part); yield part; } })(),
    digest: () => hash.digest('hex'),
  };
}

type Extra = Partial<Pick<ImportUpload, 'station' | 'listedOn'>>;
const preview = (who: Who, kind: ImportKind, text: string | Uint8Array, runId = anId(), extra: Extra = {}) =>
  perform.bulk(importFile, who, { kind, runId, fileName: `${kind}.csv`, mode: 'preview', ...extra, file: uploaded(text) });
const keep = (who: Who, kind: ImportKind, text: string, runId: string, extra: Extra = {}) =>
  perform.bulk(importFile, who, { kind, runId, fileName: `${kind}.csv`, mode: 'keep', ...extra, file: uploaded(text) });
async function kept(who: Who, kind: ImportKind, text: string, extra: Extra = {}): Promise<ImportRunDetail> {
  const { id } = await preview(who, kind, text, anId(), extra);
  return keep(who, kind, text, id, extra);
}
const csv = (rows: readonly (readonly string[])[]) => rows.map((row) => csvLine(row)).join('');
const counts = (run: ImportRunDetail) => [run.rowsRead, run.rowsNew, run.rowsChanged, run.rowsSame, run.rowsHeld];
const sites = (who: Who) => test.database.inCompany({ companyId: who.companyId, actorId: null }, (tx) => tx.db.site.findMany({ orderBy: { externalKey: 'asc' } }));

async function exported(who: Who, kind: ImportKind): Promise<string> {
  let text = '';
  await perform.bulk(exportFleet, who, { kind: kind as 'sites', write: async (piece: string) => { text += piece; } });
  return text;
}

describe('importing a file', () => {
  it('every sample imports as it is, in order, and again changes nothing', async () => {
    const who = await aHouse();
    for (const kind of IMPORT_KIND_NAMES) {
      const extra = LIST_KINDS.includes(kind) ? { listedOn: '2027-02-28', station: 'W-1' } : {};
      const first = await kept(who, kind, sampleCsv(kind), extra);
      expect([kind, first.problems, ...counts(first)]).toEqual([kind, [], 1, 1, 0, 0, 0]);
      const again = await kept(who, kind, sampleCsv(kind), extra);
      expect([kind, ...counts(again)]).toEqual([kind, 1, 0, 0, 1, 0]);
    }
  });

  it('a preview writes nothing to the fleet; keeping wants the same file', async () => {
    const who = await aHouse();
    const text = sampleCsv('clients');
    const run = await preview(who, 'clients', text);
    expect(run).toMatchObject({ state: 'previewed', rowsNew: 1 });
    await test.database.inCompany({ companyId: who.companyId, actorId: null }, async (tx) => expect(await tx.db.client.count()).toBe(0));
    await expect(keep(who, 'clients', text.replace('Ostrel', 'Vexley'), run.id)).rejects.toMatchObject({ problem: 'IdReused' });
    await expect(keep(who, 'clients', text, anId())).rejects.toMatchObject({ problem: 'NotFound' });
    const done = await keep(who, 'clients', text, run.id);
    expect(done.state).toBe('kept');
    expect(await keep(who, 'clients', text, run.id)).toEqual(done);
  });

  it('only rows that differ are updated, and a file without a column leaves it as it was', async () => {
    const who = await aHouse();
    await kept(who, 'clients', csv([['key', 'name', 'notes'], ['C-1', 'One', 'keep me'], ['C-2', 'Two', '']]));
    const run = await kept(who, 'clients', csv([['key', 'name'], ['C-1', 'Uno'], ['C-2', 'Two']]));
    expect(counts(run)).toEqual([2, 0, 1, 1, 0]);
    await test.database.inCompany({ companyId: who.companyId, actorId: null }, async (tx) => {
      expect(await tx.db.client.findMany({ orderBy: { externalKey: 'asc' }, select: { name: true, notes: true } })).toEqual([{ name: 'Uno', notes: 'keep me' }, { name: 'Two', notes: null }]);
      expect(await tx.db.revision.count()).toBe(1);
    });
  });

  it('is refused when the fleet changed between preview and keep so that the answer would differ', async () => {
    const who = await aHouse();
    const text = csv([['key', 'name'], ['C-1', 'One']]);
    const run = await preview(who, 'clients', text);
    await kept(who, 'clients', text);
    await expect(keep(who, 'clients', text, run.id)).rejects.toMatchObject({ problem: 'Stale' });
  });

  it('two companies do not meet: the same keys are new in each', async () => {
    const [a, b] = [await aHouse(), await aHouse()];
    await kept(a, 'clients', sampleCsv('clients'));
    expect(counts(await kept(b, 'clients', sampleCsv('clients')))).toEqual([1, 1, 0, 0, 0]);
    expect((await preview(b, 'sites', sampleCsv('sites').replace('C-1001', 'C-9'))).problems[0]).toMatchObject({ row: 2, column: 'client', value: 'C-9' });
  });
});

describe('a bad file (scenario 22)', () => {
  it('100 device rows: 83 good, 17 held with row, column, value and what is accepted; nothing partly written', async () => {
    const who = await aHouse();
    for (const kind of ['clients', 'sites', 'systems'] as const) await kept(who, kind, sampleCsv(kind));
    await kept(who, 'zones', csv([['system', 'number', 'text_ours'], ...Array.from({ length: 20 }, (_, n) => ['Y-3001', String(n + 1), `Zone ${n + 1}`])]));
    const header = ['key', 'system', 'zone', 'kind', 'link', 'label', 'serial', 'made_on', 'supply_v', 'latitude', 'longitude'];
    const rows = Array.from({ length: 100 }, (_, n) => [`D-${n}`, 'Y-3001', String(1 + (n % 20)), 'motion', 'wireless', `Motion ${n}`, `SN-${n}`, '2024-03-01', '12', '40.41', '-3.71']);
    const put = (row: number, column: string, value: string) => { rows[row]![header.indexOf(column)] = value; };
    for (const n of [10, 11, 12, 13]) put(n, 'serial', 'SN-5');
    for (const n of [20, 21]) put(n, 'made_on', '2027-02-30');
    for (const n of [30, 31, 32]) put(n, 'supply_v', '-12');
    put(40, 'made_on', '2031-01-01');
    put(50, 'latitude', '-3.71'); put(50, 'longitude', '40.41');
    for (const n of [60, 61, 62, 63, 64]) put(n, 'zone', '99');
    put(70, 'label', '=HYPERLINK("http://x.example")');
    put(80, 'label', '@SUM(A1)');
    put(81, 'label', '<script>alert(1)</script>');
    const text = csv([header, ...rows]);
    const run = await preview(who, 'devices', text);
    expect([run.rowsRead, run.rowsGood, run.rowsHeld, run.problemsTotal]).toEqual([100, 83, 17, 17]);
    const told = Object.fromEntries(run.problems.map((one) => [one.row, `${one.column}: ${one.value} ${one.problem}`]));
    expect(Object.keys(told).map(Number)).toEqual([12, 13, 14, 15, 22, 23, 32, 33, 34, 42, 52, 62, 63, 64, 65, 66, 72]);
    expect(told[12]).toBe('serial: SN-5 stands in row 7 already');
    expect(told[22]).toBe('made_on: 2027-02-30 is no day of the calendar');
    expect(told[32]).toMatch(/^supply_v: -12 is below zero/);
    expect(told[42]).toMatch(/^made_on: 2031-01-01 lies in the future \(today is 2027-03-01\)/);
    expect(told[52]).toMatch(/look swapped/);
    expect(told[62]).toBe('zone: 99 the system Y-3001 has no zone of this number');
    expect(told[72]).toMatch(/^label: =HYPERLINK.* begins with "="/);
    expect(run.problems.every((one) => one.accepted.length > 0)).toBe(true);

    const done = await keep(who, 'devices', text, run.id);
    expect(counts(done)).toEqual([100, 83, 0, 0, 17]);
    expect(counts(await kept(who, 'devices', text))).toEqual([100, 0, 0, 83, 17]);
    const out = await exported(who, 'devices');
    expect(out).toContain("'@SUM(A1)");
    expect(out).toContain('<script>alert(1)</script>');
    expect(out.split('\r\n')).toHaveLength(85);
    expect(counts(await kept(who, 'devices', out))).toEqual([83, 0, 0, 83, 0]);
  });

  it('names unknown headers with the nearest known one, and what is missing', async () => {
    const who = await aHouse();
    await expect(preview(who, 'sites', 'key,client,nmae,adress,latitude,longitude,time_zone,occupancy,access_hours\n')).rejects.toMatchObject({
      problem: 'ImportRefused', detail: expect.stringMatching(/"nmae" is no column of Sites; did you mean "name"\?.*"adress".*did you mean "address"\?.*the column "name" is missing/s) });
  });

  it('takes a byte order mark, semicolons, UTF-16 and old line ends; holds ragged rows and bytes that are not UTF-8', async () => {
    const who = await aHouse();
    expect(counts(await preview(who, 'clients', '\uFEFFKey;Name\r\nC-1;"Müller; and\r\nsons"\r\n\r\nC-2;Two\r\n'))).toEqual([2, 2, 0, 0, 0]);
    expect(counts(await preview(who, 'clients', 'key,name\rC-1,One\rC-2,Two'))).toEqual([2, 2, 0, 0, 0]);
    expect(counts(await preview(who, 'clients', new Uint8Array(Buffer.from('\uFEFFkey,name\nC-1,Ærø\n', 'utf16le'))))).toEqual([1, 1, 0, 0, 0]);
    const latin = await preview(who, 'clients', new Uint8Array(Buffer.from('key,name\nC-1,M\u00fcller\nC-2,Two\nC-3,a,b\n', 'latin1')));
    expect(latin.problems.map((one) => [one.row, one.problem])).toEqual([[2, 'holds bytes that are not UTF-8. Save the file as "CSV UTF-8"'], [4, 'has 3 cells while the header has 2']]);
    await expect(preview(who, 'clients', 'key,name\nC-1,"never closed\nC-2,Two\n')).rejects.toMatchObject({ problem: 'ImportRefused', detail: expect.stringMatching(/opened in row 2 never closes/) });
    await expect(preview(who, 'clients', '')).rejects.toMatchObject({ problem: 'ImportRefused' });
    await expect(preview(who, 'clients', new Uint8Array(Buffer.from('key,name\n', 'utf16le')))).rejects.toMatchObject({ problem: 'ImportRefused' });
  });

  it('holds a site whose coordinates are the other way round from the rest of the region', async () => {
    const who = await aHouse();
    await kept(who, 'clients', sampleCsv('clients'));
    const header = ['key', 'client', 'name', 'address', 'latitude', 'longitude', 'time_zone', 'occupancy', 'access_hours'];
    const rows = Array.from({ length: 9 }, (_, n) => [`S-${n}`, 'C-1001', `Site ${n}`, 'x', String(40 + n / 20), String(-3 - n / 20), 'Europe/Madrid', 'shop', 'any time']);
    rows.push(['S-9', 'C-1001', 'Swapped', 'x', '-3.2', '40.2', 'Europe/Madrid', 'shop', 'any time']);
    const run = await kept(who, 'sites', csv([header, ...rows]));
    expect(run.problems).toHaveLength(1);
    expect(run.problems[0]).toMatchObject({ row: 11, column: 'latitude', value: '-3.2, 40.2', problem: expect.stringMatching(/look swapped/) });
    expect(await sites(who)).toHaveLength(9);
  });
});

describe('what rounds need (columns that screens fill too)', () => {
  const inside = <T>(who: Who, work: Parameters<typeof test.database.inCompany<T>>[1]) => test.database.inCompany({ companyId: who.companyId, actorId: null }, work);
  const SITE = ['key', 'client', 'name', 'address', 'time_zone', 'occupancy', 'access_hours'];
  const aSite = (key: string) => [key, 'C-1001', `Site ${key}`, 'x', 'Europe/Madrid', 'shop', 'any time'];

  it('notice, equipment and noise hours of a site; a file without the columns leaves them; bad ones are held with row and column', async () => {
    const who = await aHouse();
    await kept(who, 'clients', sampleCsv('clients'));
    const header = [...SITE, 'notice_days', 'equipment', 'noise_hours'];
    const text = csv([header, [...aSite('S-1'), '5', 'lift; long ladder', 'Mon-Fri 16:00-18:00'], [...aSite('S-2'), '', '', ''], [...aSite('S-3'), '91', '', ''], [...aSite('S-4'), '-1', '', ''], [...aSite('S-5'), '2.5', '', ''], [...aSite('S-6'), '', `${'x'.repeat(81)}`, ''], [...aSite('S-7'), '', '', 'Mon 18:00-16:00']]);
    const run = await kept(who, 'sites', text);
    expect(counts(run)).toEqual([7, 2, 0, 0, 5]);
    expect(run.problems.map((one) => [one.row, one.column, one.problem])).toEqual([[4, 'notice_days', 'is outside what can be'], [5, 'notice_days', 'is below zero: days cannot be negative here'], [6, 'notice_days', 'is not a whole number'], [7, 'equipment', expect.stringMatching(/^names "x+"$/)], [8, 'noise_hours', expect.stringMatching(/ends before/)]]);
    const facts = async () => (await sites(who)).map((one) => [one.externalKey, one.noticeDays, one.equipment, one.noiseHours]);
    const before = [['S-1', 5, ['lift', 'long ladder'], [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '16:00', to: '18:00' }))], ['S-2', 0, [], null]];
    expect(await facts()).toEqual(before);
    expect(counts(await kept(who, 'sites', csv([SITE, aSite('S-1'), aSite('S-2')])))).toEqual([2, 0, 0, 2, 0]);
    expect(await facts()).toEqual(before);
    expect(counts(await kept(who, 'sites', csv([[...SITE, 'notice_days'], [...aSite('S-1'), ''], [...aSite('S-2'), '0']])))).toEqual([2, 0, 1, 1, 0]);
    expect((await facts())[0]!.slice(0, 3)).toEqual(['S-1', 0, ['lift', 'long ladder']]);
  });

  it('keys: where, when and how long; a code of the same name is left alone; two namesakes, half a position and "never" are held', async () => {
    const who = await aHouse();
    for (const kind of ['clients', 'sites'] as const) await kept(who, kind, sampleCsv(kind));
    const [site] = await sites(who);
    await inside(who, (tx) => tx.db.siteKey.createMany({ data: [['code', 'Gate'], ['key', 'Yard'], ['fob', 'Yard']].map(([kind, label]) => ({ companyId: who.companyId, id: anId(), siteId: site!.id, kind: kind!, label: label! })) }));
    const header = ['site', 'label', 'collect_at', 'latitude', 'longitude', 'collect_hours', 'hand_min', 'brought_back'];
    const text = csv([header, ['S-2001', 'Gate', 'Caretaker', '40.4', '-3.7', 'Mon-Fri 08:00-12:00', '5', 'no'], ['S-2001', 'Yard', '', '', '', '', '', ''], ['S-2001', 'Cellar', '', '40.4', '', '', '', ''], ['S-2001', 'Roof', '', '', '', 'never', '', ''],
      ['S-9', 'Front', '', '', '', '', '', ''], ['S-2001', 'Attic', '', '', '', '', '121', ''], ['S-2001', 'Lift', '', '', '', '', '', '']]);
    const run = await kept(who, 'keys', text);
    expect(counts(run)).toEqual([7, 2, 0, 0, 5]);
    expect(run.problems.map((one) => [one.row, one.column])).toEqual([[3, 'label'], [4, 'longitude'], [5, 'collect_hours'], [6, 'site'], [7, 'hand_min']]);
    expect(run.problems[0]!.problem).toBe('is the name of 2 of your fleet: which of them is meant cannot be told');
    const keys = await inside(who, (tx) => tx.db.siteKey.findMany({ where: { label: { in: ['Gate', 'Lift'] } }, orderBy: [{ label: 'asc' }, { kind: 'asc' }] }));
    expect(keys.map((one) => [one.kind, one.label, one.needed, one.collectAt, one.collectLat, one.handMin, one.broughtBack])).toEqual([['code', 'Gate', false, null, null, 10, true], ['key', 'Gate', true, 'Caretaker', 40.4, 5, false], ['key', 'Lift', true, null, null, 10, true]]);
    expect(counts(await kept(who, 'keys', text))).toEqual([7, 0, 0, 2, 5]);
    expect(await exported(who, 'keys')).not.toContain('code');
  });

  it('permits: not granted, from, to; a last day without a first and an end before the beginning are held', async () => {
    const who = await aHouse();
    for (const kind of ['clients', 'sites'] as const) await kept(who, kind, sampleCsv(kind));
    const header = ['site', 'name', 'from_day', 'to_day'];
    const run = await kept(who, 'permits', csv([header, ['S-2001', 'Height', '', ''], ['S-2001', 'Heat', '2027-03-01', '2027-03-31'], ['S-2001', 'Night', '', '2027-03-31'], ['S-2001', 'Street', '2027-03-31', '2027-03-01'], ['S-2001', 'Dive', '31/03/2027', '']]));
    expect(counts(run)).toEqual([5, 2, 0, 0, 3]);
    expect(run.problems.map((one) => [one.row, one.column])).toEqual([[4, 'from_day'], [5, 'to_day'], [6, 'from_day']]);
    expect(counts(await kept(who, 'permits', csv([header, ['S-2001', 'Height', '2027-04-01', '']])))).toEqual([1, 0, 1, 0, 0]);
    const permits = await inside(who, (tx) => tx.db.sitePermit.findMany({ orderBy: { name: 'asc' } }));
    expect(permits.map((one) => [one.name, one.fromDay?.toISOString().slice(0, 10) ?? null, one.toDay?.toISOString().slice(0, 10) ?? null])).toEqual([['Heat', '2027-03-01', '2027-03-31'], ['Height', '2027-04-01', null]]);
  });

  it('a van is counted as its cell says, and only what differs is counted anew', async () => {
    const who = await aHouse();
    const header = ['key', 'name', 'time_zone', 'shifts', 'van_parts', 'equipment', 'starts_at'];
    const row = (parts: string, start = 'depot') => csv([header, ['T-1', 'Tess', 'Europe/Madrid', 'Mon-Fri 08:00-16:00', parts, 'lift', start]]);
    const stock = () => inside(who, (tx) => tx.db.vanStock.findMany({ orderBy: { part: 'asc' }, select: { part: true, quantity: true } }));
    expect(counts(await kept(who, 'technicians', row('7 Ah battery=3; contact=10')))).toEqual([1, 1, 0, 0, 0]);
    expect(await stock()).toEqual([{ part: '7 Ah battery', quantity: 3 }, { part: 'contact', quantity: 10 }]);
    expect(counts(await kept(who, 'technicians', row('contact=10; 7 Ah battery=3')))).toEqual([1, 0, 0, 1, 0]);
    expect(counts(await kept(who, 'technicians', csv([header.slice(0, 4), ['T-1', 'Tess', 'Europe/Madrid', 'Mon-Fri 08:00-16:00']])))).toEqual([1, 0, 0, 1, 0]);
    const out = await exported(who, 'technicians');
    expect(out).toContain('7 Ah battery=3; contact=10');
    expect(counts(await kept(who, 'technicians', out))).toEqual([1, 0, 0, 1, 0]);
    for (const bad of ['contact', 'contact=-1', 'contact=1; Contact=2', 'contact=100001']) expect((await preview(who, 'technicians', row(bad))).problems.map((one) => [one.row, one.column])).toEqual([[2, 'van_parts']]);
    expect((await preview(who, 'technicians', row('', 'office'))).problems.map((one) => [one.row, one.column])).toEqual([[2, 'starts_at']]);
    expect(counts(await kept(who, 'technicians', row('contact=9')))).toEqual([1, 0, 1, 0, 0]);
    expect(await stock()).toEqual([{ part: 'contact', quantity: 9 }]);
    expect(counts(await kept(who, 'technicians', row('')))).toEqual([1, 0, 1, 0, 0]);
    expect(await stock()).toEqual([]);
  });
});

describe('past checks', () => {
  it('are appended once under ids made from their keys, never altered, and corrected by a further one', async () => {
    const who = await aHouse();
    for (const kind of ['clients', 'sites', 'systems', 'zones', 'devices', 'batteries'] as const) await kept(who, kind, sampleCsv(kind));
    const header = ['key', 'subject_kind', 'subject', 'check_kind', 'done_on', 'verdict', 'reason', 'readings', 'corrects'];
    const row = ['K-1', 'battery', 'B-5001', 'battery-on-load', '2026-03-04', 'pass', '', 'voltsOn=12.1; capacityPct=97', ''];
    expect(counts(await kept(who, 'checks', csv([header, row])))).toEqual([1, 1, 0, 0, 0]);
    expect(counts(await kept(who, 'checks', csv([header, row])))).toEqual([1, 0, 0, 1, 0]);
    const altered = await preview(who, 'checks', csv([header, row.map((cell) => (cell === 'pass' ? 'marginal' : cell))]));
    expect(altered.problems[0]).toMatchObject({ row: 2, column: 'key', problem: expect.stringMatching(/never altered/) });
    const correction = ['K-2', 'battery', 'B-5001', 'battery-on-load', '2026-03-04', 'fail', 'misread', 'capacityPct=47', 'K-1'];
    const bad = [['K-3', 'battery', 'B-404', 'battery-on-load', '2026-03-04', 'pass', '', '', ''], ['K-4', 'battery', 'B-5001', 'batery-on-load', '2026-03-04', 'pass', '', '', ''],
      ['K-5', 'battery', 'B-5001', 'battery-on-load', '2027-03-02', 'pass', '', '', ''], ['K-6', 'battery', 'B-5001', 'battery-on-load', '2026-03-04', 'fail', '', '', ''],
      ['K-7', 'battery', 'B-5001', 'battery-on-load', '2026-03-04', 'pass', '', 'voltsOn=999', '']];
    const run = await kept(who, 'checks', csv([header, correction, ...bad]));
    expect(counts(run)).toEqual([6, 1, 0, 0, 5]);
    expect(run.problems.map((one) => [one.row, one.column])).toEqual([[3, 'subject'], [4, 'check_kind'], [5, 'done_on'], [6, 'reason'], [7, 'readings']]);
    await test.database.inCompany({ companyId: who.companyId, actorId: null }, async (tx) => {
      const checks = await tx.db.check.findMany({ orderBy: { verdict: 'desc' }, include: { readings: true } });
      expect(checks.map((one) => [one.verdict, one.evidence, one.source, one.performedAt.toISOString(), one.readings.length])).toEqual([
        ['pass', 'D', 'import', '2026-03-04T11:00:00.000Z', 2], ['fail', 'D', 'import', '2026-03-04T11:00:00.000Z', 1]]);
      expect(checks[1]!.correctsId).toBe(checks[0]!.id);
      expect((await tx.db.outboxJob.findMany({ where: { job: 'fleet-refresh' } })).length).toBeGreaterThan(0);
    });
  });
});

describe('the fleet as files', () => {
  it('each kind comes out as it went in', async () => {
    const who = await aHouse();
    const kinds = IMPORT_KIND_NAMES.filter((kind) => kind !== 'checks' && !LIST_KINDS.includes(kind));
    for (const kind of kinds) await kept(who, kind, sampleCsv(kind));
    for (const kind of kinds) {
      const out = await exported(who, kind);
      expect(out.split('\r\n')[0]).toBe(importKind(kind).columns.map((one) => one.name).join(','));
      const run = await kept(who, kind, out);
      expect([kind, run.problems, ...counts(run)]).toEqual([kind, [], 1, 0, 0, 1, 0]);
    }
    expect(await exported(who, 'technicians')).toContain('Mon-Fri 08:00-16:30 break 30,fire; intrusion,no');
  });
});
