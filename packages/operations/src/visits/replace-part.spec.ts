import { aBattery, aCompany, aDevice, anAccount, anId, aSite, aSystem, aTechnician, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { showExposure } from '../exposure/show-exposure.js';
import { showDeficiency } from '../deficiencies/show-deficiency.js';
import { createPerform, type Perform, type Who } from '../perform.js';
import { applyProgramme } from '../programmes/apply-programme.js';
import { saveProgramme } from '../programmes/save-programme.js';
import { closeHold } from './close-hold.js';
import { createVisit } from './create-visit.js';
import { openHold } from './open-hold.js';
import { openVisit } from './open-visit.js';
import { recordCheck } from './record-check.js';
import { replacePart } from './replace-part.js';
import { showVisit } from './show-visit.js';

const clock = { now: new Date('2027-03-01T09:00:00Z') };
const at = (time: string) => { clock.now = new Date(time); };
let test: TestDatabase;
let perform: Perform;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());

const rule = { applies: {}, cadence: { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } }, basis: 'none', meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B', minutes: 15, skills: [], licences: [], by: 'technician', remotely: false, sounds: false, mandated: true, reminderStagesDays: [], source: { clause: 'example', provenance: 'company rule' } };

async function aWorld() {
  const companyId = anId();
  const ids = { siteId: anId(), systemId: anId(), technicianId: anId(), batteryId: anId(), deviceId: anId(), cellId: anId() };
  const made = await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: ids.siteId });
    const account = await anAccount(tx, companyId, { siteId: ids.siteId, number: '4711' });
    await aSystem(tx, companyId, { id: ids.systemId, siteId: ids.siteId, accountId: account.id, kind: 'intrusion' });
    await aBattery(tx, companyId, { id: ids.batteryId, systemId: ids.systemId, label: 'Standby battery', externalKey: 'B-1', madeOn: day('2019-06-01') });
    await aDevice(tx, companyId, { id: ids.deviceId, systemId: ids.systemId, kind: 'contact', link: 'wireless', label: 'Front door' });
    await aBattery(tx, companyId, { id: ids.cellId, systemId: ids.systemId, deviceId: ids.deviceId, label: 'Cell' });
    await aTechnician(tx, companyId, { id: ids.technicianId, name: 'Tess' });
    return { accountId: account.id, tess: await aUser(tx, companyId, { role: 'technician', name: 'Tess', technicianId: ids.technicianId }), owner: await aUser(tx, companyId, { role: 'owner', name: 'Ann' }) };
  });
  const tess: Who = { companyId, userId: made.tess.id, role: 'technician', name: 'Tess', technicianId: ids.technicianId };
  const owner: Who = { companyId, userId: made.owner.id, role: 'owner', name: 'Ann', technicianId: null };
  const programmeId = anId();
  await perform(saveProgramme, owner, { id: programmeId, basedOn: null, dryRun: false, body: {
    key: 'yearly', title: 'Yearly', regime: { kind: 'company', name: 'Example world', edition: '' }, systemKinds: ['intrusion'], caution: 'Example.', source: 'company rule', checkedOn: null,
    rules: [{ ...rule, key: 'battery', title: 'Battery on load', subject: 'battery', checkKinds: ['battery-on-load'] }, { ...rule, key: 'battery-age', title: 'Battery at 5 years', subject: 'battery', checkKinds: ['battery-on-load'], cadence: { kind: 'age', years: 5, early: { months: 6 }, late: { days: 0 } }, basis: 'manufacture' }, { ...rule, key: 'points', title: 'Points acted', subject: 'device', checkKinds: ['detector-actuation'] }],
  } });
  await perform.bulk(applyProgramme, owner, { programmeId, systems: {}, from: '2027-01-01', dryRun: false });
  const inside = <T>(act: (tx: Parameters<Parameters<TestDatabase['database']['inCompany']>[1]>[0]) => Promise<T>) => test.database.inCompany({ companyId, actorId: null }, act);
  const duty = await inside((tx) => tx.db.duty.findFirstOrThrow({ where: { companyId, subjectId: ids.batteryId, ruleKey: 'battery' } }));
  const visit = await perform(createVisit, owner, { id: anId(), siteId: ids.siteId, kind: 'programme', pick: 'chosen', dutyIds: [duty.id], deficiencyIds: [], persons: 1, day: '2027-03-01', technicianId: ids.technicianId });
  await perform(openVisit, tess, { visitId: visit.id, id: anId() });
  const holdId = anId();
  await perform(openHold, tess, { visitId: visit.id, id: holdId, accountId: made.accountId, parts: [], stationReference: 'W-1', operatorName: 'Vera', untilAt: '2027-03-01T12:00:00.000Z' });
  const load = (subjectId: string, capacityPct: number) => perform(recordCheck, tess, { visitId: visit.id, id: anId(), checkKind: 'battery-on-load', subjectKind: 'battery', subjectId, readings: { capacityPct }, instrumentId: null, outcome: 'judged', overrule: null, excuseCode: null, reason: null, notes: null, alsoOut: [], phoneVerdict: null });
  return { ...ids, companyId, tess, owner, visitId: visit.id, holdId, dutyId: duty.id, inside, load };
}

describe('[VIS-13] [VIS-16] replacing a part in the visit', () => {
  it('keeps the old battery’s history, starts the new one’s age and duties, and the deficiency waits for the new one’s proof', async () => {
    at('2027-03-01T09:00:00Z');
    const world = await aWorld();
    const failed = await world.load(world.batteryId, 61);
    const deficiencyId = failed.deficiencies.find((one) => one.title.startsWith('Standby battery on load'))!.id;
    at('2027-03-01T09:20:00Z');
    const input = { visitId: world.visitId, id: anId(), partKind: 'battery' as const, partId: world.batteryId, newId: anId(), reason: '61 % left', serial: null, madeOn: '2026-11-01', madeOnState: 'known' as const, ratedMah: null };
    const { owed } = await perform(replacePart, world.tess, input);
    await perform(replacePart, world.tess, input);
    expect(owed.duties.map((one) => one.title)).toEqual(['Battery on load']);
    expect(owed.duties[0]!.id).not.toBe(world.dutyId);
    const view = await perform(showVisit, world.tess, { visitId: world.visitId });
    expect(view.batteries.map((one) => one.id)).toContain(input.newId);
    expect(view.batteries.map((one) => one.id)).not.toContain(world.batteryId);
    expect(view.checkFacts[input.newId]?.battery).toMatchObject({ madeOn: '2026-11-01', firstSeenOn: '2027-03-01' });
    expect(view.toDo.filter((one) => one.checkKind === 'battery-on-load')).toMatchObject([{ subjectId: input.newId, done: false, retestsDeficiencyIds: expect.arrayContaining([deficiencyId]) }]);
    const left = view.toDo.filter((one) => !one.done);
    const phases = ['open', 'hold', 'hold-sounding', 'sounding', 'restore'];
    expect(left.at(-1)).toMatchObject({ checkKind: 'restore-normal', phase: 'restore' });
    expect(left.map((one) => phases.indexOf(one.phase!))).toEqual(left.map((one) => phases.indexOf(one.phase!)).toSorted((a, b) => a - b));
    expect(view.checks).toMatchObject([{ subjectId: world.batteryId, verdict: 'fail' }]);
    const [old, fresh] = await world.inside(async (tx) => [await tx.db.battery.findFirstOrThrow({ where: { companyId: world.companyId, id: world.batteryId } }), await tx.db.battery.findFirstOrThrow({ where: { companyId: world.companyId, id: input.newId } })]);
    expect(old).toMatchObject({ externalKey: 'B-1', replacedById: input.newId, removedOn: day('2027-03-01'), madeOn: day('2019-06-01') });
    expect(fresh).toMatchObject({ fittedOn: day('2027-03-01'), label: 'Standby battery', ratedMah: old.ratedMah });
    expect((await perform(showDeficiency, world.tess, { deficiencyId })).deficiency).toMatchObject({ state: 'open', subjectId: input.newId });
    at('2027-03-01T09:40:00Z');
    const proven = await world.load(input.newId, 101);
    expect(proven.closedDeficiencyIds).toContain(deficiencyId);
    expect(proven.creditedDutyIds).toEqual([owed.duties[0]!.id]);
    expect((await perform(showDeficiency, world.tess, { deficiencyId })).facts.map((fact) => fact.kind)).toEqual(['raised', 'part-replaced', 'retest-passed']);
    const duties = await world.inside((tx) => tx.db.duty.findMany({ where: { companyId: world.companyId, ruleKey: 'battery', subjectId: { in: [world.batteryId, input.newId] } } }));
    expect(duties.map((one) => [one.subjectId === input.newId, one.validTo === null]).sort()).toEqual([[false, false], [true, true]]);
  });

  it('all four at once: the old one’s history kept, the new one’s age begun, its age-driven duty derived from that age, and the risk priced anew', async () => {
    at('2027-03-01T09:00:00Z');
    const world = await aWorld();
    await world.load(world.batteryId, 61);
    const ageDuty = (subjectId: string) => world.inside((tx) => tx.db.duty.findFirstOrThrow({ where: { companyId: world.companyId, ruleKey: 'battery-age', subjectId }, include: { timeline: true } }));
    const before = { duty: await ageDuty(world.batteryId), exposure: await perform(showExposure, world.owner, { siteId: world.siteId }) };
    expect(before.duty.timeline!.lapses).toEqual(day('2024-06-01'));
    at('2027-03-01T09:20:00Z');
    const newId = anId();
    await perform(replacePart, world.tess, { visitId: world.visitId, id: anId(), partKind: 'battery', partId: world.batteryId, newId, reason: '61 % left', serial: null, madeOn: '2026-11-01', madeOnState: 'known', ratedMah: null });

    // 1. History: dates and the failed check of the old one stand as they were.
    const old = await world.inside((tx) => tx.db.battery.findFirstOrThrow({ where: { companyId: world.companyId, id: world.batteryId } }));
    expect(old).toMatchObject({ madeOn: day('2019-06-01'), removedOn: day('2027-03-01'), replacedById: newId });
    expect(await world.inside((tx) => tx.db.check.count({ where: { companyId: world.companyId, subjectId: world.batteryId, verdict: 'fail' } }))).toBe(1);
    // 2. Age: made four months ago, seen from today.
    const view = await perform(showVisit, world.tess, { visitId: world.visitId });
    expect(view.checkFacts[newId]?.battery).toMatchObject({ madeOn: '2026-11-01', firstSeenOn: '2027-03-01' });
    // 3. The duty by age: the old one ends, the new one is due five years after its own manufacture.
    expect((await ageDuty(world.batteryId)).validTo).toEqual(day('2027-02-28'));
    const fresh = await ageDuty(newId);
    expect([fresh.validTo, fresh.timeline!.opens, fresh.timeline!.lapses]).toEqual([null, day('2031-05-01'), day('2031-11-01')]);
    // 4. Risk: less is expected to go unheard, the new battery takes the old one’s place in the sum, and the house is asked to score the site.
    const exposure = await perform(showExposure, world.owner, { siteId: world.siteId });
    expect(exposure.exposurePerYearH).toBeLessThan(before.exposure.exposurePerYearH);
    const batteries = (one: typeof exposure) => one.components.filter((part) => part.recorded).map((part) => part.componentId);
    expect([batteries(before.exposure).includes(world.batteryId), batteries(exposure).includes(world.batteryId), batteries(exposure).includes(newId)]).toEqual([true, false, true]);
    expect(await world.inside((tx) => tx.db.outboxJob.count({ where: { companyId: world.companyId, job: 'standing-refresh', createdAt: clock.now } }))).toBeGreaterThan(0);
  });

  it('a wireless device takes its cell with it; what is out already, is of another site, or in the future is refused', async () => {
    at('2027-03-01T09:00:00Z');
    const [world, other] = [await aWorld(), await aWorld()];
    const input = { visitId: world.visitId, id: anId(), partKind: 'device' as const, partId: world.deviceId, newId: anId(), reason: 'cracked', serial: 'SN-2', madeOn: null, madeOnState: 'unreadable' as const, ratedMah: null };
    await expect(perform(replacePart, world.tess, { ...input, partId: other.deviceId })).rejects.toMatchObject({ problem: 'NotFound' });
    await expect(perform(replacePart, world.tess, { ...input, madeOn: '2027-03-02', madeOnState: 'known' })).rejects.toMatchObject({ problem: 'BadInput' });
    await perform(replacePart, world.tess, input);
    const view = await perform(showVisit, world.tess, { visitId: world.visitId });
    expect(view.devices).toMatchObject([{ id: input.newId, label: 'Front door', serial: 'SN-2' }]);
    expect(view.batteries.map((one) => one.id)).toEqual([world.batteryId]);
    await expect(perform(replacePart, world.tess, { ...input, id: anId(), newId: anId() })).rejects.toMatchObject({ problem: 'WrongState' });
    await perform(closeHold, world.tess, { holdId: world.holdId, id: anId(), confirmedBy: 'Vera', signalsReceived: 0 });
  });
});
