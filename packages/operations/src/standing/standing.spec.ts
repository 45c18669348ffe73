import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, anAccount, anId, aSite, aSystem, cloneDatabase, day, EPOCH, type TestDatabase } from '@bellround/database/testing';
import { createPerform, type Perform, type Who } from '../perform.js';
import { renewStanding } from '../renew-standing.js';
import { saveProgramme } from '../programmes/save-programme.js';
import { applyProgramme } from '../programmes/apply-programme.js';
import { showDuty } from '../programmes/show-duty.js';
import { checkBehind } from './check-behind.js';
import { exportOnTime } from './export-on-time.js';
import { exportOverdue } from './export-overdue.js';
import { exportStanding } from './export-standing.js';
import { lateWindows } from './late-windows.js';
import { listOverdue } from './list-overdue.js';
import { listStanding } from './list-standing.js';
import { onTime } from './on-time.js';
import { refreshSiteStanding } from './refresh-site-standing.js';
import { siteStanding } from './site-standing.js';
import { windowBehind } from './window-behind.js';

const clock = { now: new Date('2027-03-01T09:00:00Z') };
let test: TestDatabase;
let perform: Perform;
const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, { now: () => clock.now, newId: anId, sha256, seed: () => 1 });
});
afterAll(() => test.drop());

async function aWorld(): Promise<Who> {
  const companyId = anId();
  await test.database.inCompany({ companyId, actorId: null }, (tx) => aCompany(tx, companyId));
  return { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
}
const inside = <T>(who: Who, act: Parameters<TestDatabase['database']['inCompany']>[1]) => test.database.inCompany({ companyId: who.companyId, actorId: null }, act) as Promise<T>;

const DUE_MARCH = { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } };
async function aProgramme(who: Who, key: string, cadence: object, over: object = {}): Promise<string> {
  const id = anId();
  await perform(saveProgramme, who, { id, basedOn: null, dryRun: false, body: {
    key, title: `Rule ${key}`, regime: { kind: 'company', name: 'Example world', edition: '' }, systemKinds: ['intrusion', 'fire'], caution: 'Example.', source: 'company rule', checkedOn: null,
    rules: [{ key: 'the-rule', title: `Duty ${key}`, subject: 'system', applies: {}, cadence, basis: 'none', checkKinds: ['visual-inspection'], meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B',
      minutes: 30, skills: [], licences: [], by: 'technician', remotely: false, sounds: false, mandated: true, reminderStagesDays: [30], source: { clause: 'example', provenance: 'company rule' }, ...over }],
  } });
  return id;
}
async function aCheckOn(who: Who, siteId: string, systemId: string, on: string, over: object = {}): Promise<string> {
  const id = anId();
  await inside(who, (tx) => tx.db.check.create({ data: { companyId: who.companyId, id, bodyDigest: id, siteId, systemId, subjectKind: 'system', subjectId: systemId, checkKind: 'visual-inspection', performedOn: day(on),
    performedAt: new Date(`${on}T10:00:00Z`), recordedAt: new Date(`${on}T10:05:00Z`), verdict: 'pass', computedVerdict: 'pass', reason: 'all seen', evidence: 'B', source: 'field', ...over } }));
  return id;
}
async function aSiteWithSystem(who: Who, name = 'Ostrel primary school') {
  const siteId = anId();
  const systemId = anId();
  await inside(who, async (tx) => { await aSite(tx, who.companyId, { id: siteId, name }); await aSystem(tx, who.companyId, { id: systemId, siteId }); });
  return { siteId, systemId };
}
const theDuty = async (who: Who, siteId: string) => (await perform(siteStanding, who, { siteId })).duties[0]!;

describe('scenario 1: the due month does not drift', () => {
  it.each([['2027-05-06', 'late', 6], ['2027-02-03', 'on-time', 0]] as const)('completed %s: %s by %i days, next window 2028-02-01..04-30', async (done, outcome, lateDays) => {
    clock.now = new Date('2027-05-10T09:00:00Z');
    const who = await aWorld();
    const { siteId, systemId } = await aSiteWithSystem(who);
    await aCheckOn(who, siteId, systemId, '2026-03-12');
    const checkId = await aCheckOn(who, siteId, systemId, done);
    await perform.bulk(applyProgramme, who, { programmeId: await aProgramme(who, 'due-march', DUE_MARCH), systems: {}, from: '2026-06-01', dryRun: false });
    const duty = await theDuty(who, siteId);
    expect(duty.windows.map(({ opens, lapses, outcome: ended, lateDays: days, metBy }) => [opens, lapses, ended, days, metBy])).toEqual([
      ['2027-02-01', '2027-04-30', outcome, lateDays, checkId], ['2028-02-01', '2028-04-30', null, 0, null]]);
    expect(duty.standing).toBe('proven');
    // As of the last day in time it stood late (past its due month) or proven already; the day after, lapsed or proven.
    const asOf = async (day: string) => (await perform(listStanding, who, { asOf: day, limit: 10, offset: 0, strips: 'yes', broken: 'no' })).rows[0]!.standing;
    expect(await asOf('2027-04-30')).toBe(outcome === 'late' ? 'late' : 'proven');
    expect(await asOf('2027-05-01')).toBe(outcome === 'late' ? 'lapsed' : 'proven');
    expect(await asOf('2027-03-15')).toBe(outcome === 'late' ? 'open' : 'proven');
    const behind = await perform(windowBehind, who, { dutyId: duty.id, n: 0 });
    expect(behind.checks.find((check) => check.checkId === checkId)).toMatchObject({ credited: true, metWindow: 0, words: expect.stringContaining(outcome === 'late' ? '6 days late' : 'in time') });
    expect(behind.attribution?.by ?? null).toBe(outcome === 'late' ? 'ours' : null);
    expect((await perform(checkBehind, who, { checkId })).credits).toMatchObject([{ dutyId: duty.id, met: true, outcome, lateDays }]);
  });
});

describe('scenario 2: month ends', () => {
  it('last good 2026-08-31, 4/6/7 months: opens 2026-12-31, nominal 2027-02-28, closes 2027-03-31', async () => {
    clock.now = new Date('2027-03-01T09:00:00Z');
    const who = await aWorld();
    const { siteId, systemId } = await aSiteWithSystem(who);
    await aCheckOn(who, siteId, systemId, '2026-08-31');
    await perform.bulk(applyProgramme, who, { programmeId: await aProgramme(who, 'half-year', { kind: 'since-last', min: { months: 4 }, nominal: { months: 6 }, max: { months: 7 }, holdDay: 31 }), systems: {}, from: '2026-09-01', dryRun: false });
    expect((await theDuty(who, siteId)).now).toMatchObject({ opens: '2026-12-31', due: '2027-02-28', lapses: '2027-03-31' });
    // The next cycle counts from the held 31st again, not from the 28th.
    await aCheckOn(who, siteId, systemId, '2027-02-28');
    await perform(refreshSiteStanding, who, { siteId });
    expect((await theDuty(who, siteId)).now).toMatchObject({ opens: '2027-06-30', due: '2027-08-31', lapses: '2027-09-30' });
  });
  it('basis 2028-02-29 + 12 months = 2029-02-28', async () => {
    clock.now = new Date('2028-03-01T09:00:00Z');
    const who = await aWorld();
    const { siteId, systemId } = await aSiteWithSystem(who);
    await aCheckOn(who, siteId, systemId, '2028-02-29');
    await perform.bulk(applyProgramme, who, { programmeId: await aProgramme(who, 'yearly', { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 15 } }), systems: {}, from: '2028-01-01', dryRun: false });
    expect((await theDuty(who, siteId)).now).toMatchObject({ due: '2029-02-28' });
  });
});

describe('scenario 15: three lists', () => {
  it('384 in time read 93.2 % of 412, beside 96.7 % of 397; 15 named as untested', async () => {
    clock.now = new Date('2027-03-01T09:00:00Z');
    const who = await aWorld();
    const { companyId } = who;
    const stationId = anId();
    const sites = Array.from({ length: 400 }, (_, n) => ({ siteId: anId(), systemId: anId(), accountId: anId(), number: `A${1000 + n}` }));
    const listed = [...sites.slice(0, 397).map((site) => site.number), ...Array.from({ length: 15 }, (_, n) => `Z${n + 10}`)];
    await inside(who, async (tx) => {
      const clientId = anId();
      await tx.db.client.create({ data: { companyId, id: clientId, externalKey: 'C', name: 'Town', createdAt: EPOCH } });
      await tx.db.station.create({ data: { companyId, id: stationId, externalKey: 'W', name: 'Stonepier Watch Room' } });
      await tx.db.site.createMany({ data: sites.map(({ siteId, number }) => ({ companyId, id: siteId, externalKey: number, clientId, name: `Site ${number}`, address: 'x', timeZone: 'Europe/Madrid', occupancy: 'shop', accessHours: [], createdAt: EPOCH })) });
      await tx.db.account.createMany({ data: sites.map(({ siteId, accountId, number }) => ({ companyId, id: accountId, stationId, siteId, number, status: 'live', createdAt: EPOCH })) });
      await tx.db.system.createMany({ data: sites.map(({ siteId, systemId, accountId, number }) => ({ companyId, id: systemId, externalKey: number, siteId, accountId, kind: 'intrusion', name: 'Intrusion', createdAt: EPOCH })) });
      const checks = (some: typeof sites, on: string) => some.map(({ siteId, systemId }) => ({ companyId, id: anId(), bodyDigest: 'x', siteId, systemId, subjectKind: 'system', subjectId: systemId, checkKind: 'visual-inspection', performedOn: day(on),
        performedAt: new Date(`${on}T10:00:00Z`), recordedAt: new Date(`${on}T10:00:00Z`), verdict: 'pass', reason: '', evidence: 'B', source: 'import' }));
      await tx.db.check.createMany({ data: [...checks(sites, '2026-01-20'), ...checks(sites.slice(0, 384), '2027-01-20'), ...checks(sites.slice(397), '2027-01-20')] });
      const listId = anId();
      await tx.db.listImport.create({ data: { companyId, id: listId, kind: 'station', stationId, listedOn: day('2027-02-28'), fileName: 'list.csv', digest: 'x', importedAt: EPOCH, importedBy: anId() } });
      await tx.db.listEntry.createMany({ data: listed.map((accountNumber, row) => ({ companyId, listId, row: row + 2, accountNumber, name: `Premises ${accountNumber}` })) });
    });
    const applied = await perform.bulk(applyProgramme, who, { programmeId: await aProgramme(who, 'due-january', { ...DUE_MARCH, dueMonth: 1 }), systems: {}, from: '2026-06-01', dryRun: false });
    expect(applied).toMatchObject({ systems: 400, standingReady: false });
    expect(await inside(who, (tx) => tx.db.outboxJob.count({ where: { job: 'fleet-refresh' } }))).toBe(1);
    const { windowsWritten: written } = await renewStanding(perform, who, { sitesPerStretch: 150 });
    expect(written).toBeGreaterThan(400);
    expect(await renewStanding(perform, who)).toMatchObject({ duties: 400, dutiesWritten: 0, windowsWritten: 0, creditsWritten: 0 });

    const figures = await perform(onTime, who, { months: 12 });
    expect(figures.stationListOn).toBe('2027-02-28');
    expect(figures.liveAccounts).toBe(412);
    expect(figures.whole).toMatchObject({ onTime: 384, missed: 13, untested: 15, honestOf: 412, flatteringOf: 397 });
    expect((figures.whole.honest! * 100).toFixed(1)).toBe('93.2');
    expect((figures.whole.flattering! * 100).toFixed(1)).toBe('96.7');
    expect(figures.untested.map((one) => one.account)).toEqual(Array.from({ length: 15 }, (_, n) => `Z${n + 10}`));
    expect(figures.months.find((month) => month.month === '2027-02')).toMatchObject({ windows: { onTime: 387, missed: 13 }, accounts: { onTime: 384, untested: 15 } });
    expect((await perform(exportOnTime, who, { months: 12 })).csv).toContain('93.2,96.7');
    const list = await perform(listStanding, who, { limit: 20, offset: 0, strips: 'yes', broken: 'no' });
    expect(list.counts).toMatchObject({ sites: 400, lapsed: 13, proven: 387 });
    expect(list.rows.slice(0, 13).every((row) => row.standing === 'lapsed' && row.lanes.length === 1)).toBe(true);
    expect((await perform(listStanding, who, { standing: 'lapsed', limit: 5, offset: 10, strips: 'no', broken: 'no' }))).toMatchObject({ total: 13, rows: { length: 3 } });
    expect((await perform(listOverdue, who, { limit: 5, offset: 0 })).total).toBe(13);
  }, 120_000);
});

describe('scenario 19: no access', () => {
  const tries = [['2027-03-02T09:10:00Z', 'at-door', true], ['2027-03-09T16:30:00Z', 'at-door', true], ['2027-03-25T09:00:00Z', 'letter', false], ['2027-04-24T07:00:00Z', 'at-door', true]] as const;
  it.each([['three proven attempts and a letter', tries, 'customer', 'customer (3 attempts, letter)'],
    ['one unproven attempt', [['2027-03-02T09:10:00Z', 'at-door', false]] as const, 'ours', 'ours (1 attempt, 0 with position and picture; 2 are needed)']])('%s: attributed to %s', async (_, made, by, words) => {
    clock.now = new Date('2027-05-10T09:00:00Z');
    const who = await aWorld();
    const { siteId, systemId } = await aSiteWithSystem(who);
    await aCheckOn(who, siteId, systemId, '2026-03-12');
    await perform.bulk(applyProgramme, who, { programmeId: await aProgramme(who, 'due-march', DUE_MARCH), systems: {}, from: '2026-06-01', dryRun: false });
    await inside(who, (tx) => tx.db.attempt.createMany({ data: made.map(([at, how, proven]) => ({ companyId: who.companyId, id: anId(), bodyDigest: 'x', siteId, how, outcome: 'no-answer', at: new Date(at), recordedAt: new Date(at), byId: anId(),
      lat: proven ? 40 : null, lon: proven ? -3 : null, photoId: proven ? anId() : null, words: 'nobody', preventableBy: 'customer' })) }));
    const { rows } = await perform(lateWindows, who, { months: 12, limit: 10, offset: 0 });
    expect(rows).toMatchObject([{ outcome: 'missed', lapses: '2027-04-30', attribution: { by, words } }]);
    // Late in truth, whoever could have prevented it; both figures stand on the owner's page.
    const figures = await perform(onTime, who, { months: 3 });
    expect(figures.months.find((month) => month.month === '2027-04')?.windows).toMatchObject({ onTime: 0, missed: 1 });
    expect(figures.preventableBy.find((one) => one.by === by)?.windows).toBe(1);
  });
});

describe('what is recorded decides', () => {
  it('a failed, excused or quick-look check meets nothing and says why; a correction counts in the place of what it corrects', async () => {
    clock.now = new Date('2026-06-01T09:00:00Z');
    const who = await aWorld();
    const { siteId, systemId } = await aSiteWithSystem(who);
    await aCheckOn(who, siteId, systemId, '2026-03-12');
    await perform.bulk(applyProgramme, who, { programmeId: await aProgramme(who, 'due-march', DUE_MARCH), systems: {}, from: '2026-06-01', dryRun: false });
    clock.now = new Date('2027-04-10T09:00:00Z');
    await aCheckOn(who, siteId, systemId, '2027-03-01', { verdict: 'fail' });
    await aCheckOn(who, siteId, systemId, '2027-03-02', { verdict: 'excused', excuseCode: 'cover-open' });
    await aCheckOn(who, siteId, systemId, '2027-03-03', { evidence: 'D' });
    await perform(refreshSiteStanding, who, { siteId });
    const duty = await theDuty(who, siteId);
    expect(duty.standing).toBe('late');
    expect((await perform(showDuty, who, { dutyId: duty.id })).checks.map((check) => check.words)).toEqual([
      expect.stringMatching(/evidence D is below/), expect.stringMatching(/excused/), expect.stringMatching(/failed/), expect.stringMatching(/before this duty began/)]);
    const good = await aCheckOn(who, siteId, systemId, '2027-03-20');
    await perform(refreshSiteStanding, who, { siteId });
    expect((await theDuty(who, siteId)).standing).toBe('proven');
    await aCheckOn(who, siteId, systemId, '2027-03-20', { verdict: 'fail', correctsId: good, recordedAt: new Date('2027-04-05T10:00:00Z') });
    await perform(refreshSiteStanding, who, { siteId });
    expect((await theDuty(who, siteId)).standing).toBe('late');
    // What was known on 30 March: the correction of 5 April is not looked at.
    expect((await perform(siteStanding, who, { siteId, knownOn: '2027-03-30' })).standing).toBe('proven');
    expect((await perform(siteStanding, who, { siteId, knownOn: '2027-04-06' })).standing).toBe('late');
    expect((await perform(checkBehind, who, { checkId: good })).corrections).toHaveLength(1);
  });

  it('a suspended site owes nothing while it is suspended; a site without a programme cannot be told; a calendar window turns by itself', async () => {
    clock.now = new Date('2027-03-01T09:00:00Z');
    const who = await aWorld();
    const { siteId, systemId } = await aSiteWithSystem(who, 'Lapsed farm');
    await aSiteWithSystem(who, 'Nobody knows');
    await perform.bulk(applyProgramme, who, { programmeId: await aProgramme(who, 'monthly', { kind: 'once-per', period: 'month', minGapDays: 0 }), systems: { siteIds: [siteId] }, from: '2027-01-05', dryRun: false });
    await aCheckOn(who, siteId, systemId, '2027-01-20');
    await perform(refreshSiteStanding, who, { siteId });
    expect((await perform(listStanding, who, { limit: 10, offset: 0, strips: 'yes', broken: 'no' })).rows.map((row) => [row.name, row.standing, row.duties])).toEqual([['Lapsed farm', 'lapsed', 1], ['Nobody knows', 'cant-tell', 0]]);
    // On 1 April the next window opens without any new fact: only this site is looked at.
    clock.now = new Date('2027-04-01T09:00:00Z');
    expect(await renewStanding(perform, who, { how: 'turned' })).toMatchObject({ sites: 1, duties: 1, dutiesWritten: 1 });
    expect(await renewStanding(perform, who, { how: 'turned' })).toMatchObject({ sites: 0 });
    await inside(who, (tx) => tx.db.siteBlackout.create({ data: { companyId: who.companyId, id: anId(), siteId, kind: 'suspended', fromDay: day('2027-03-15'), toDay: day('2027-06-30'), reason: 'closed for works', authority: 'Mrs Oake, owner', enteredAt: EPOCH } }));
    await perform(refreshSiteStanding, who, { siteId });
    expect((await perform(listStanding, who, { asOf: '2027-04-20', limit: 10, offset: 0, strips: 'yes', broken: 'no' })).counts).toMatchObject({ notOwed: 1, cantTell: 1, sites: 2 });
    expect(await perform(siteStanding, who, { siteId, asOf: '2027-04-20' })).toMatchObject({ standing: 'not-owed', pauses: [{ by: 'Mrs Oake, owner' }] });
    expect((await perform(listStanding, who, { asOf: '2027-03-10', limit: 10, offset: 0, strips: 'yes', broken: 'no' })).counts).toMatchObject({ lapsed: 1 });
  });

  it('exports neutralise what a spreadsheet would run, and follow the filters', async () => {
    clock.now = new Date('2027-05-10T09:00:00Z');
    const who = await aWorld();
    const { siteId } = await aSiteWithSystem(who, '=HYPERLINK("x")');
    await aSiteWithSystem(who, 'Vexley mill');
    await perform.bulk(applyProgramme, who, { programmeId: await aProgramme(who, 'due-march', DUE_MARCH), systems: { siteIds: [siteId] }, from: '2026-06-01', dryRun: false });
    const { csv } = await perform(exportStanding, who, {});
    expect(csv).toContain(`"'=HYPERLINK(""x"")"`);
    expect(csv.trim().split('\r\n')).toHaveLength(3);
    expect((await perform(exportStanding, who, { search: 'vexley' })).csv.trim().split('\r\n')).toHaveLength(2);
    expect((await perform(exportOverdue, who, {})).csv).toContain(`'=HYPERLINK`);
  });

  it('no other company sees any of it', async () => {
    const who = await aWorld();
    const { siteId, systemId } = await aSiteWithSystem(who);
    const checkId = await aCheckOn(who, siteId, systemId, '2027-01-20');
    const stranger = await aWorld();
    for (const ask of [() => perform(siteStanding, stranger, { siteId }), () => perform(checkBehind, stranger, { checkId }), () => perform(windowBehind, stranger, { dutyId: anId(), n: 0 })]) {
      await expect(ask()).rejects.toMatchObject({ problem: 'NotFound' });
    }
    expect((await perform(listStanding, stranger, { limit: 10, offset: 0, strips: 'yes', broken: 'no' })).counts.sites).toBe(0);
    expect(await perform(refreshSiteStanding, stranger, { siteId })).toMatchObject({ sites: 0, windowsWritten: 0 });
    await inside(who, (tx) => anAccount(tx, who.companyId, { siteId }));
    expect((await perform(onTime, stranger, { months: 12 })).liveAccounts).toBe(0);
    expect((await perform(onTime, who, { months: 12 }))).toMatchObject({ liveAccounts: 1, stationListOn: null, untested: [{ why: expect.stringContaining('no programme') }] });
  });
});
