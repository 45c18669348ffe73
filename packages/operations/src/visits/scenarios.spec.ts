import { CheckBody } from '@bellround/contracts';
import { aBattery, aCompany, aDevice, anAccount, anId, aSite, aSystem, aTechnician, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { applyProgramme } from '../programmes/apply-programme.js';
import { saveProgramme } from '../programmes/save-programme.js';
import { siteStanding } from '../standing/site-standing.js';
import { closeHold } from './close-hold.js';
import { createVisit } from './create-visit.js';
import { myRound } from './my-round.js';
import { openHold } from './open-hold.js';
import { openVisit } from './open-visit.js';
import { putBackDone } from './put-back-done.js';
import { recordCheck } from './record-check.js';
import { recordChecks } from './record-checks.js';
import { showVisit } from './show-visit.js';
import { stopVisit } from './stop-visit.js';

// Sentences of scenarios 7, 12 and 17 that only the acts can show, in their own numbers.
const clock = { now: new Date('2027-03-01T09:00:00Z') };
const at = (time: string) => { clock.now = new Date(time); };
let test: TestDatabase;
let perform: Perform;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());

const rule = { key: 'points', title: 'Points acted', subject: 'device', applies: {}, cadence: { kind: 'fixed-month', everyMonths: 12, dueMonth: 2, dueDay: 'month-end', early: { months: 1 }, late: { days: 7 } }, basis: 'commissioning', checkKinds: ['detector-actuation'], meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B', minutes: 5, skills: [], licences: [], by: 'technician', remotely: false, sounds: false, mandated: true, reminderStagesDays: [], source: { clause: 'example', provenance: 'company rule' } };

async function aWorld(devices: number, over: { rule?: object; systemKind?: string; deviceKind?: string } = {}) {
  at('2027-03-01T09:00:00Z');
  const companyId = anId();
  const ids = { siteId: anId(), systemId: anId(), technicianId: anId() };
  const points = Array.from({ length: devices }, () => anId());
  const inside = <T>(act: (tx: Parameters<Parameters<TestDatabase['database']['inCompany']>[1]>[0]) => Promise<T>) => test.database.inCompany({ companyId, actorId: null }, act);
  const made = await inside(async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: ids.siteId });
    const account = await anAccount(tx, companyId, { siteId: ids.siteId, number: '4711' });
    await aSystem(tx, companyId, { id: ids.systemId, siteId: ids.siteId, accountId: account.id, installedOn: day('2026-02-15'), kind: over.systemKind ?? 'intrusion' });
    for (const [n, id] of points.entries()) await aDevice(tx, companyId, { id, systemId: ids.systemId, kind: over.deviceKind ?? 'contact', link: 'wired', installedOn: day('2026-02-15'), label: `Point ${String(n + 1).padStart(2, '0')}` });
    await aTechnician(tx, companyId, { id: ids.technicianId, name: 'Mirel' });
    return { accountId: account.id, owner: await aUser(tx, companyId, { role: 'owner', name: 'Ann' }), tess: await aUser(tx, companyId, { role: 'technician', name: 'Mirel', technicianId: ids.technicianId }) };
  });
  const owner: Who = { companyId, userId: made.owner.id, role: 'owner', name: 'Ann', technicianId: null };
  const tess: Who = { companyId, userId: made.tess.id, role: 'technician', name: 'Mirel', technicianId: ids.technicianId };
  const programmeId = anId();
  await perform(saveProgramme, owner, { id: programmeId, basedOn: null, dryRun: false, body: { key: 'yearly', title: 'Yearly', regime: { kind: 'company', name: 'Example world', edition: '' }, systemKinds: ['intrusion', 'fire'], caution: 'Example.', source: 'company rule', checkedOn: null, rules: [{ ...rule, ...over.rule }] } });
  await perform.bulk(applyProgramme, owner, { programmeId, systems: {}, from: '2027-01-01', dryRun: false });
  const duties = await inside((tx) => tx.db.duty.findMany({ where: { companyId } }));
  const dutyIds = points.map((id) => duties.find((duty) => duty.subjectId === id)!.id);
  const visit = (onDay: string) => perform(createVisit, owner, { id: anId(), siteId: ids.siteId, kind: 'programme', pick: 'chosen', dutyIds, deficiencyIds: [], persons: 1, day: onDay, technicianId: ids.technicianId });
  return { ...ids, companyId, accountId: made.accountId, points, dutyIds, owner, tess, inside, visit };
}
const problemOf = async (promise: Promise<unknown>) => (await promise.then(() => null, (error: unknown) => error) as { problem?: string; detail?: string } | null) ?? {};

describe('scenario 7: licence, re-checked at the start', () => {
  it('the rule changed after booking: booked without a licence asked, refused at the start with the licence\'s reason', async () => {
    const world = await aWorld(1, { systemKind: 'fire', deviceKind: 'smoke', rule: { checkKinds: ['smoke-functional'] } });
    await world.inside((tx) => tx.db.licence.create({ data: { companyId: world.companyId, id: anId(), technicianId: world.technicianId, kind: 'fire-licence', validFrom: day('2025-01-01'), validTo: day('2027-03-12') } }));
    const booked = await world.visit('2027-03-15');
    expect(booked.state).toBe('published');
    await world.inside((tx) => tx.db.duty.updateMany({ where: { companyId: world.companyId }, data: { licences: ['fire-licence'] } }));
    at('2027-03-15T09:00:00Z');
    expect(await problemOf(perform(openVisit, world.tess, { visitId: booked.id, id: anId() }))).toMatchObject({ problem: 'NotLicensed', detail: expect.stringContaining('last valid day 2027-03-12') });
  });
});

describe('scenario 12: battery trend and undated', () => {
  it('capacity 100, 97, 92, 86 %: the next visit in March 2027 has the replacement on its list; one first seen 2024-05-02 without a date is treated as due', async () => {
    const world = await aWorld(1);
    const [measured, undated, young] = [anId(), anId(), anId()];
    await world.inside(async (tx) => {
      await aBattery(tx, world.companyId, { id: measured, systemId: world.systemId, label: 'Standby battery', ratedMah: 17_000, nominalMv: 12_000, madeOn: day('2023-01-10') });
      await aBattery(tx, world.companyId, { id: undated, systemId: world.systemId, label: 'Second battery', ratedMah: 7000, nominalMv: 12_000, madeOn: null, madeOnState: 'unreadable', firstSeenOn: day('2024-05-02') });
      await aBattery(tx, world.companyId, { id: young, systemId: world.systemId, label: 'Third battery', madeOn: day('2026-06-01') });
      for (const [on, pct] of [['2023-03-10', 100], ['2024-03-12', 97], ['2025-03-11', 92], ['2026-03-09', 86]] as const) {
        const id = anId();
        await tx.db.check.create({ data: { companyId: world.companyId, id, bodyDigest: id, siteId: world.siteId, systemId: world.systemId, subjectKind: 'battery', subjectId: measured, checkKind: 'battery-on-load', performedOn: day(on), performedAt: new Date(`${on}T10:00:00Z`), recordedAt: new Date(`${on}T11:00:00Z`), verdict: 'pass', reason: 'x', evidence: 'B', source: 'field', readings: { create: { key: 'capacityPct', unit: '%', number: pct } } } });
      }
    });
    const visit = await world.visit('2027-03-08');
    const needs = async () => (await perform(myRound, world.tess, { from: '2027-03-08', days: 1 })).days[0]!.stops.find((stop) => stop.id === visit.id)!.needs;
    expect(await needs()).toEqual([
      expect.stringMatching(/^12 V 7 Ah battery for Second battery: .*at least 2 y 10 m by 2027-03-08, made date unknown/),
      '12 V 17 Ah battery for Standby battery: forecast below 80 % between 2027-03-07 and 2027-08-12',
    ]);
    await perform(openVisit, world.tess, { visitId: visit.id, id: anId() });
    await perform(openHold, world.tess, { visitId: visit.id, id: anId(), accountId: world.accountId, parts: [], stationReference: 'W-1', operatorName: 'Vera', untilAt: '2027-03-01T12:00:00.000Z' });
    const load = (subjectId: string, readings: Record<string, string | number>) => perform(recordCheck, world.tess, { visitId: visit.id, ...CheckBody.parse({ id: anId(), checkKind: 'battery-on-load', subjectKind: 'battery', subjectId, readings }) });
    expect((await load(undated, { capacityPct: 95 })).check.judgement.notes?.join()).toContain('at least 2 y 9 m by 2027-03-01, made date unknown');
    expect(await problemOf(load(undated, { capacityPct: 95, madeOn: '2027-03-02' }))).toMatchObject({ problem: 'BadInput', detail: expect.stringContaining('after today') });
    expect(await problemOf(load(undated, { capacityPct: 95, madeOn: '2024-06-01' }))).toMatchObject({ problem: 'BadInput', detail: expect.stringContaining('before the date of make') });
  });
});

describe('scenario 17: stopped half-way', () => {
  it('30 items, 22 done, occupant leaves 16:00, window closes in 6 days: nothing proven, 8 left, about 44 min, a follow-on of exactly those inside the window; on-test ended and put-back empty', async () => {
    const world = await aWorld(30);
    await world.inside((tx) => tx.db.duty.updateMany({ where: { companyId: world.companyId, id: { in: world.dutyIds.filter((_, n) => n % 2 === 1) } }, data: { minutes: 6 } }));
    const { id: visitId } = await world.visit('2027-03-01');
    at('2027-03-01T12:00:00Z');
    await perform(openVisit, world.tess, { visitId, id: anId() });
    const hold = await perform(openHold, world.tess, { visitId, id: anId(), accountId: world.accountId, parts: [], stationReference: 'W-1', operatorName: 'Vera', untilAt: '2027-03-01T15:30:00.000Z' });
    const checks = world.points.slice(0, 22).map((subjectId) => CheckBody.parse({ id: anId(), checkKind: 'detector-actuation', subjectKind: 'device', subjectId, readings: { seenAtPanel: true, rightZone: true, rightText: true }, alsoOut: ['keys of the office'] }));
    expect((await perform(recordChecks, world.tess, { visitId, checks })).answers.every((answer) => answer.recorded?.check.verdict === 'pass')).toBe(true);

    at('2027-03-01T15:00:00Z'); // 16:00 at the site
    const stop = { visitId, id: anId(), remainderId: anId(), reason: 'occupant leaves at 16:00' };
    expect((await problemOf(perform(stopVisit, world.tess, stop))).problem).toBe('HoldOpen');
    await perform(closeHold, world.tess, { holdId: hold.id, id: anId(), confirmedBy: 'Vera', signalsReceived: 22 });
    expect((await problemOf(perform(stopVisit, world.tess, stop))).problem).toBe('StillOut');
    for (const item of (await perform(showVisit, world.tess, { visitId })).putBack) await perform(putBackDone, world.tess, { putBackId: item.id, id: anId() });
    const { owed, remainder, visit } = await perform(stopVisit, world.tess, stop);

    expect([visit.state, owed.duties.length, owed.minutes]).toEqual(['stopped', 8, 44]);
    expect(owed.duties.map((duty) => duty.id).sort()).toEqual(world.dutyIds.slice(22).sort());
    expect(new Set(owed.duties.map((duty) => duty.lapses))).toEqual(new Set(['2027-03-07']));
    expect(remainder).toMatchObject({ state: 'wanted', serviceMin: 44, parentId: visitId });
    const activity = await world.inside((tx) => tx.db.activity.findFirstOrThrow({ where: { companyId: world.companyId, act: 'stop-visit' } }));
    expect(activity.summary).toContain('8 left, about 44 min');
    const standing = async () => (await perform(siteStanding, world.owner, { siteId: world.siteId })).standing;
    expect(await standing()).not.toBe('proven');

    // The rest within the 14 days: each duty is dated by its own last item, the site is proven then and not before.
    at('2027-03-06T09:00:00Z');
    await perform(openVisit, world.tess, { visitId: stop.remainderId, id: anId() });
    await perform(openHold, world.tess, { visitId: stop.remainderId, id: anId(), accountId: world.accountId, parts: [], stationReference: 'W-2', operatorName: 'Vera', untilAt: '2027-03-06T12:00:00.000Z' });
    const rest = world.points.slice(22).map((subjectId) => CheckBody.parse({ id: anId(), checkKind: 'detector-actuation', subjectKind: 'device', subjectId, readings: { seenAtPanel: true, rightZone: true, rightText: true } }));
    await perform(recordChecks, world.tess, { visitId: stop.remainderId, checks: rest.slice(0, 7) });
    expect(await standing()).not.toBe('proven');
    await perform(recordChecks, world.tess, { visitId: stop.remainderId, checks: rest.slice(7) });
    expect(await standing()).toBe('proven');
  });
});
