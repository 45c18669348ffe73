import { CheckBody, RecordAttempt, type CreateVisit } from '@bellround/contracts';
import { aBattery, aCompany, aDevice, anAccount, anId, aPath, aSite, aSystem, aTechnician, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { requirePicture } from '../pictures.js';
import { applyProgramme } from '../programmes/apply-programme.js';
import { saveProgramme } from '../programmes/save-programme.js';
import { closeHold } from './close-hold.js';
import { closeVisit } from './close-visit.js';
import { correctCheck } from './correct-check.js';
import { createVisit } from './create-visit.js';
import { extendHold } from './extend-hold.js';
import { handOver } from './hand-over.js';
import { liveProof } from './live-proof.js';
import { myRound } from './my-round.js';
import { openHold } from './open-hold.js';
import { openVisit } from './open-visit.js';
import { putBackDone } from './put-back-done.js';
import { readAttachment } from './read-attachment.js';
import { recordAttempt } from './record-attempt.js';
import { recordCheck } from './record-check.js';
import { recordChecks } from './record-checks.js';
import { showVisit } from './show-visit.js';
import { stopVisit } from './stop-visit.js';
import { uploadAttachment } from './upload-attachment.js';

const clock = { now: new Date('2027-03-01T09:00:00Z') };
const at = (time: string) => { clock.now = new Date(time); };
let test: TestDatabase;
let perform: Perform;

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());
beforeEach(() => at('2027-03-01T09:00:00Z'));

interface World { companyId: string; owner: Who; tess: Who; jonas: Who; tessId: string; siteId: string; systemId: string; accountId: string; devices: string[]; batteryId: string; pathId: string; dutyIds: string[] }

/** A school with an intrusion system: contacts by number, a battery, a cellular path, one account; every contact owes a yearly actuation. */
async function aWorld(contacts = 4, over: { systemKind?: string; rule?: object } = {}): Promise<World> {
  const companyId = anId();
  const ids = { siteId: anId(), systemId: anId(), tessId: anId(), jonasId: anId(), batteryId: anId(), pathId: anId() };
  const devices = Array.from({ length: contacts }, () => anId());
  const made = await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: ids.siteId });
    const account = await anAccount(tx, companyId, { siteId: ids.siteId, number: '4711' });
    await aSystem(tx, companyId, { id: ids.systemId, siteId: ids.siteId, accountId: account.id, kind: over.systemKind ?? 'intrusion', standbyMa: 450, alarmMa: 1900, standbyHours: 24, alarmMin: 30 });
    for (const [n, id] of devices.entries()) await aDevice(tx, companyId, { id, systemId: ids.systemId, kind: over.systemKind === 'fire' ? 'smoke' : 'contact', label: `Point ${n + 1}`, room: n % 2 ? 'Hall' : 'Study' });
    await aBattery(tx, companyId, { id: ids.batteryId, systemId: ids.systemId, ratedMah: 17_000, madeOn: day('2025-06-01') });
    await aPath(tx, companyId, { id: ids.pathId, systemId: ids.systemId, registered: true });
    await aTechnician(tx, companyId, { id: ids.tessId, name: 'Tess' });
    await aTechnician(tx, companyId, { id: ids.jonasId, name: 'Jonas' });
    const users = [await aUser(tx, companyId, { role: 'owner', name: 'Ann' }), await aUser(tx, companyId, { role: 'technician', name: 'Tess', technicianId: ids.tessId }), await aUser(tx, companyId, { role: 'technician', name: 'Jonas', technicianId: ids.jonasId })];
    return { accountId: account.id, users: users.map((user) => user.id) };
  });
  const who = (n: number, role: Who['role'], name: string, technicianId: string | null): Who => ({ companyId, userId: made.users[n]!, role, name, technicianId });
  const owner = who(0, 'owner', 'Ann', null);
  const programmeId = anId();
  const kind = over.systemKind === 'fire' ? 'smoke-functional' : 'detector-actuation';
  await perform(saveProgramme, owner, { id: programmeId, basedOn: null, dryRun: false, body: {
    key: 'yearly', title: 'Yearly', regime: { kind: 'company', name: 'Example world', edition: '' }, systemKinds: ['intrusion', 'fire'], caution: 'Example.', source: 'company rule', checkedOn: null,
    rules: [{ key: 'points', title: 'Points acted', subject: 'device', applies: {}, cadence: { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } }, basis: 'none', checkKinds: [kind], meets: 'any', completeWithinDays: 14,
      credits: 'working', minEvidence: 'B', minutes: 5, skills: [], licences: [], by: 'technician', remotely: false, sounds: false, mandated: true, reminderStagesDays: [], source: { clause: 'example', provenance: 'company rule' }, ...over.rule }],
  } });
  await perform.bulk(applyProgramme, owner, { programmeId, systems: {}, from: '2027-01-01', dryRun: false });
  const duties = await inside(owner, (tx) => tx.db.duty.findMany({ where: { companyId }, orderBy: { id: 'asc' } })) as { id: string; subjectId: string }[];
  return { companyId, owner, tess: who(1, 'technician', 'Tess', ids.tessId), jonas: who(2, 'technician', 'Jonas', ids.jonasId), accountId: made.accountId, devices, ...ids, dutyIds: devices.map((id) => duties.find((duty) => duty.subjectId === id)!.id) };
}
const inside = (who: Who, act: Parameters<TestDatabase['database']['inCompany']>[1]) => test.database.inCompany({ companyId: who.companyId, actorId: null }, act);

const visitOf = (world: World, over: Partial<CreateVisit> = {}) => perform(createVisit, world.owner, { id: anId(), siteId: world.siteId, kind: 'programme', pick: 'chosen', dutyIds: world.dutyIds, deficiencyIds: [], persons: 1, day: '2027-03-01', technicianId: world.tessId, ...over });
async function aStartedVisit(world: World, over: Partial<CreateVisit> = {}): Promise<string> {
  const { id } = await visitOf(world, over);
  await perform(openVisit, world.tess, { visitId: id, id: anId() });
  return id;
}
const aHold = (world: World, visitId: string, untilAt: string, over: object = {}) => perform(openHold, world.tess, { visitId, id: anId(), accountId: world.accountId, parts: [], stationReference: 'W-88', operatorName: 'Vera', untilAt, ...over });
let actuation: Record<string, boolean | number | string> | null = null;
/** Good readings of an actuation, as the catalogue asks for them. */
async function goodReadings(world: World, visitId: string): Promise<Record<string, boolean | number | string>> {
  if (actuation) return actuation;
  const view = await perform(showVisit, world.tess, { visitId });
  const definition = view.definitions.find((one) => one.key === 'detector-actuation')!;
  actuation = Object.fromEntries(definition.readings.filter((reading) => reading.required).map((reading) => [reading.key, reading.kind === 'yes-no' ? true : reading.kind === 'number' ? Math.max(reading.min ?? 1, 1) : reading.choices?.[0]?.code ?? 'x']));
  return actuation;
}
async function acted(world: World, visitId: string, device: number, over: Partial<CheckBody> = {}): Promise<CheckBody> {
  return CheckBody.parse({ id: anId(), checkKind: 'detector-actuation', subjectKind: 'device', subjectId: world.devices[device], readings: await goodReadings(world, visitId), ...over });
}
async function failed(world: World, visitId: string, device: number, over: Partial<CheckBody> = {}): Promise<CheckBody> {
  const readings = await goodReadings(world, visitId);
  const flag = Object.keys(readings).find((key) => readings[key] === true)!;
  return acted(world, visitId, device, { readings: { ...readings, [flag]: false }, ...over });
}
const refusal = async (promise: Promise<unknown>) => { const error = await promise.then(() => null, (caught: unknown) => caught); expect(error).toMatchObject({ name: 'Refusal' }); return error as { problem: string; detail: string; more: { data?: Record<string, unknown> } }; };
const send = (world: World, who: Who, visitId: string, body: CheckBody) => perform(recordCheck, who, { visitId, ...body });

describe('[VIS-3] recording one check', () => {
  it('judges, credits the duty, adds to put-back and ledger, and answers the same to the same id and body, at once and after closing', async () => {
    const world = await aWorld(1);
    const visitId = await aStartedVisit(world);
    await aHold(world, visitId, '2027-03-01T12:00:00Z');
    const body = await acted(world, visitId, 0);
    const [first, twin] = await Promise.all([send(world, world.tess, visitId, body), send(world, world.tess, visitId, body)]);
    expect(first).toEqual(twin);
    expect(first.check.verdict).toBe('pass');
    expect(first.creditedDutyIds).toEqual(world.dutyIds);
    const counted = await inside(world.owner, (tx) => tx.db.check.count({ where: { companyId: world.companyId } }));
    expect(counted).toBe(1);
    const leaves = await inside(world.owner, (tx) => tx.db.ledgerLeaf.count({ where: { companyId: world.companyId, recordId: body.id } }));
    expect(leaves).toBe(1);
    await finish(world, visitId);
    expect(await send(world, world.tess, visitId, body)).toEqual(first);
    expect((await refusal(send(world, world.tess, visitId, { ...body, notes: 'other words' }))).problem).toBe('IdReused');
  });

  it('refuses a closed visit, another company\'s visit and a subject of another site', async () => {
    const world = await aWorld(1);
    const other = await aWorld(1);
    const visitId = await aStartedVisit(world);
    expect((await refusal(send(other, other.tess, visitId, await acted(world, visitId, 0)))).problem).toBe('NotFound');
    expect((await refusal(send(world, world.tess, visitId, await acted(other, visitId, 0)))).problem).toBe('BadInput');
    await aHold(world, visitId, '2027-03-01T12:00:00Z');
    await finish(world, visitId);
    at('2027-03-01T10:00:00Z');
    expect((await refusal(send(world, world.tess, visitId, await acted(world, visitId, 0)))).problem).toBe('VisitClosed');
  });

  it('[VIS-6] overrules downward freely, upward only with a reason, and keeps both; not tried needs its reason', async () => {
    const world = await aWorld(2);
    const visitId = await aStartedVisit(world);
    await aHold(world, visitId, '2027-03-01T12:00:00Z');
    const down = await send(world, world.tess, visitId, await acted(world, visitId, 0, { overrule: { to: 'fail', reason: '' } }));
    expect([down.check.verdict, down.check.computedVerdict]).toEqual(['fail', 'pass']);
    expect((await refusal(send(world, world.tess, visitId, await failed(world, visitId, 1, { overrule: { to: 'pass', reason: 'ok' } })))).problem).toBe('BadInput');
    const up = await send(world, world.tess, visitId, await failed(world, visitId, 1, { overrule: { to: 'pass', reason: 'the panel text is cut by its display' } }));
    expect([up.check.verdict, up.check.computedVerdict, up.check.overruleReason]).toEqual(['pass', 'fail', 'the panel text is cut by its display']);
    expect((await refusal(send(world, world.tess, visitId, await acted(world, visitId, 1, { outcome: 'not-done', reason: '' })))).problem).toBe('BadInput');
    expect((await send(world, world.tess, visitId, await acted(world, visitId, 1, { outcome: 'not-done', readings: {}, reason: 'ladder not safe' }))).check.verdict).toBe('not-done');
  });

  it('corrects by a further check; both stay, only the correction counts, and nobody corrects a colleague\'s finding away', async () => {
    const world = await aWorld(1);
    const visitId = await aStartedVisit(world);
    await aHold(world, visitId, '2027-03-01T12:00:00Z');
    const wrong = await send(world, world.tess, visitId, await failed(world, visitId, 0));
    expect(wrong.deficiencies).toHaveLength(1);
    const right = await acted(world, visitId, 0);
    expect((await refusal(perform(correctCheck, world.jonas, { ...right, checkId: wrong.check.id, why: 'typed into the wrong row' }))).problem).toBe('NotAllowed');
    const corrected = await perform(correctCheck, world.tess, { ...right, checkId: wrong.check.id, why: 'typed into the wrong row' });
    expect(corrected.check.correctsId).toBe(wrong.check.id);
    expect(corrected.creditedDutyIds).toEqual(world.dutyIds);
    expect(corrected.closedDeficiencyIds).toEqual([wrong.deficiencies[0]!.id]);
    expect((await perform(showVisit, world.tess, { visitId })).checks).toHaveLength(2);
  });
});

/** Puts back, closes the hold, proves live, closes. */
async function finish(world: World, visitId: string): Promise<void> {
  const view = await perform(showVisit, world.tess, { visitId });
  for (const item of view.putBack) if (item.putBackAt === null) await perform(putBackDone, world.tess, { putBackId: item.id, id: anId() });
  for (const hold of view.holds) if (hold.closedAt === null) await perform(closeHold, world.tess, { holdId: hold.id, id: anId(), confirmedBy: 'Vera', signalsReceived: 3 });
  if (view.holds.length > 0) await perform(liveProof, world.tess, { visitId, id: anId(), accountId: world.accountId, signal: 'front door opened', confirmedBy: 'Vera' });
  await perform(closeVisit, world.tess, { visitId, id: anId(), signedBy: 'M. Oriel', notSignedBecause: null });
}

describe('scenario 7: licence and instrument', () => {
  it('a licence is looked at on the day of the visit, at booking and again at the start', async () => {
    const world = await aWorld(1, { systemKind: 'fire', rule: { licences: ['fire-licence'], by: 'licensed' } });
    await inside(world.owner, (tx) => tx.db.licence.create({ data: { companyId: world.companyId, id: anId(), technicianId: world.tessId, kind: 'fire-licence', validFrom: day('2025-01-01'), validTo: day('2027-03-12') } }));
    expect((await visitOf(world, { day: '2027-03-12' })).state).toBe('published');
    const late = await refusal(visitOf(world, { day: '2027-03-15' }));
    expect(late.problem).toBe('NotLicensed');
    expect(late.detail).toContain('2027-03-12');
    const { id } = await visitOf(world, { day: '2027-03-12' });
    at('2027-03-12T22:30:00Z'); // 23:30 at the site: the last valid day
    await perform(openVisit, world.tess, { visitId: id, id: anId() });
    const other = await visitOf(world, { day: '2027-03-12' });
    at('2027-03-12T23:30:00Z'); // 00:30 of the 13th at the site, still the 12th in UTC
    expect((await refusal(perform(openVisit, world.tess, { visitId: other.id, id: anId() }))).problem).toBe('NotLicensed');
  });

  it('a meter whose calibration has ended: reading stored, not reliable, not proven, and the visit goes on', async () => {
    const world = await aWorld(1);
    const instrumentId = anId();
    const sounder = anId();
    await inside(world.owner, async (tx) => {
      await tx.db.instrument.create({ data: { companyId: world.companyId, id: instrumentId, kind: 'sound-meter', serial: 'SM-1', calibratedTo: day('2027-02-28') } });
      await aDevice(tx, world.companyId, { id: sounder, systemId: world.systemId, kind: 'sounder', label: 'Sounder', link: 'wired' });
    });
    const visitId = await aStartedVisit(world);
    await aHold(world, visitId, '2027-03-01T12:00:00Z');
    const done = await send(world, world.tess, visitId, CheckBody.parse({ id: anId(), checkKind: 'sounder-level', subjectKind: 'device', subjectId: sounder, instrumentId, readings: { levelDb: 88, distanceM: 3, ambientDb: 45 } }));
    expect(done.check).toMatchObject({ verdict: 'not-done', computedVerdict: 'pass', evidence: 'D' });
    expect(done.check.reason).toContain('2027-02-28');
    expect(done.check.readings.find((reading) => reading.key === 'levelDb')).toMatchObject({ value: 88, reliable: false, instrumentId });
    expect((await send(world, world.tess, visitId, await acted(world, visitId, 0))).check.verdict).toBe('pass');
  });
});

describe('scenario 8: left on test', () => {
  it('finish is refused and shows which parts; a step after the hold has ended is interrupted; a second hold is refused', async () => {
    const world = await aWorld(2);
    at('2027-03-01T09:10:00Z');
    const visitId = await aStartedVisit(world);
    expect((await refusal(send(world, world.tess, visitId, await acted(world, visitId, 0)))).detail).toMatch(/live - will dispatch/);
    const hold = await aHold(world, visitId, '2027-03-01T11:10:00Z', { parts: ['intrusion', 'fire'] });
    expect((await refusal(aHold(world, visitId, '2027-03-01T12:00:00Z'))).problem).toBe('HoldOpen');
    at('2027-03-01T10:42:00Z');
    await send(world, world.tess, visitId, await acted(world, visitId, 0));
    const early = await refusal(perform(closeVisit, world.tess, { visitId, id: anId(), signedBy: 'M. Oriel', notSignedBecause: null }));
    expect(early.problem).toBe('HoldOpen');
    expect(early.detail).toContain('intrusion, fire');
    expect(early.more.data).toMatchObject({ holdsOpen: [{ id: hold.id }] });
    at('2027-03-01T11:12:00Z');
    const live = await refusal(send(world, world.tess, visitId, await acted(world, visitId, 1)));
    expect(live.problem).toBe('HoldRequired');
    expect(live.detail).toContain('ended at 2027-03-01T11:10:00.000Z');
    expect((await refusal(perform(extendHold, world.tess, { holdId: hold.id, id: anId(), untilAt: '2027-03-01T12:00:00Z', operatorName: 'Vera' }))).problem).toBe('WrongState');
    // Not tried is always sayable, and what was done inside the hold and is only sent now is kept.
    expect((await send(world, world.tess, visitId, await acted(world, visitId, 1, { outcome: 'not-done', readings: {}, reason: 'hold ended' }))).check.verdict).toBe('not-done');
    const kept = await send(world, world.tess, visitId, await acted(world, visitId, 1, { deviceClockAt: '2027-03-01T11:05:00Z', deviceClockNow: '2027-03-01T11:12:00Z' }));
    expect(kept.check.performedAt).toBe('2027-03-01T11:05:00.000Z');
  });

  it('a hold on one part does not cover another; an extension keeps the earlier end on record; a signal while on test proves nothing', async () => {
    const world = await aWorld(1);
    const visitId = await aStartedVisit(world);
    const hold = await aHold(world, visitId, '2027-03-01T10:00:00Z', { parts: ['fire'] });
    expect((await refusal(send(world, world.tess, visitId, await acted(world, visitId, 0)))).problem).toBe('HoldRequired');
    const factId = anId();
    const longer = await perform(extendHold, world.tess, { holdId: hold.id, id: factId, untilAt: '2027-03-01T11:00:00Z', operatorName: 'Vera' });
    expect(longer.untilAt).toBe('2027-03-01T11:00:00.000Z');
    expect(await perform(extendHold, world.tess, { holdId: hold.id, id: factId, untilAt: '2027-03-01T11:00:00Z', operatorName: 'Vera' })).toEqual(longer);
    expect((await refusal(perform(liveProof, world.tess, { visitId, id: anId(), accountId: world.accountId, signal: 'door', confirmedBy: 'Vera' }))).problem).toBe('HoldOpen');
    await perform(closeHold, world.tess, { holdId: hold.id, id: anId(), confirmedBy: 'Vera', signalsReceived: 0 });
    const noLive = await refusal(perform(closeVisit, world.tess, { visitId, id: anId(), signedBy: 'M. Oriel', notSignedBecause: null }));
    expect([noLive.problem, noLive.more.data?.liveProofMissing]).toEqual(['StillOwed', true]);
    await finish(world, visitId);
  });

  it('what a check took out of normal must be back or handed over by name', async () => {
    const world = await aWorld(1);
    const visitId = await aStartedVisit(world);
    await aHold(world, visitId, '2027-03-01T12:00:00Z');
    const battery = await send(world, world.tess, visitId, CheckBody.parse({ id: anId(), checkKind: 'battery-on-load', subjectKind: 'battery', subjectId: world.batteryId, readings: { capacityPct: 83 } }));
    expect(battery.check).toMatchObject({ verdict: 'fail', marginUnit: 'Ah' });
    expect(battery.check.reason).toContain('14.69');
    expect(battery.putBack.map((item) => item.what)).toEqual(['cover open', 'mains off']);
    const hold = (await perform(showVisit, world.tess, { visitId })).holds[0]!;
    await perform(closeHold, world.tess, { holdId: hold.id, id: anId(), confirmedBy: 'Vera', signalsReceived: 2 });
    await perform(liveProof, world.tess, { visitId, id: anId(), accountId: world.accountId, signal: 'door', confirmedBy: 'Vera' });
    expect((await refusal(perform(closeVisit, world.tess, { visitId, id: anId(), signedBy: 'M. Oriel', notSignedBecause: null }))).problem).toBe('StillOut');
    await perform(putBackDone, world.tess, { putBackId: battery.putBack[0]!.id, id: anId() });
    await perform(handOver, world.tess, { putBackId: battery.putBack[1]!.id, id: anId(), to: 'R. Tallow', reason: 'electrician returns at noon' });
    const closed = await perform(closeVisit, world.tess, { visitId, id: anId(), signedBy: null, notSignedBecause: 'nobody on site' });
    expect(closed.visit.state).toBe('closed');
    expect(closed.owed.duties).toHaveLength(1);
  });

  it('excused for this visit blocks the close until it is done again', async () => {
    const world = await aWorld(1);
    const visitId = await aStartedVisit(world);
    await aHold(world, visitId, '2027-03-01T12:00:00Z');
    const tamper = (over: object) => CheckBody.parse({ id: anId(), checkKind: 'enclosure-tamper', subjectKind: 'system', subjectId: world.systemId, readings: { reported: false, restored: false }, ...over });
    expect((await refusal(send(world, world.tess, visitId, tamper({ outcome: 'excused', excuseCode: 'no-such' })))).detail).toContain('cover-open');
    expect((await send(world, world.tess, visitId, tamper({ outcome: 'excused', excuseCode: 'cover-open' }))).check.verdict).toBe('excused');
    await expect(finish(world, visitId)).rejects.toMatchObject({ problem: 'StillOwed' });
    await aHold(world, visitId, '2027-03-01T12:00:00Z');
    at('2027-03-01T09:20:00Z');
    await send(world, world.tess, visitId, tamper({ readings: { reported: true, restored: true } }));
    at('2027-03-01T09:30:00Z');
    await finish(world, visitId);
  });
});

describe('scenario 17: stopped half-way', () => {
  it('30 items, 22 done: the remainder is exactly the 8 left with their minutes, and nothing may stay on test', async () => {
    const world = await aWorld(30);
    const visitId = await aStartedVisit(world);
    const hold = await aHold(world, visitId, '2027-03-01T16:00:00Z');
    const checks = await Promise.all(Array.from({ length: 22 }, (_, n) => acted(world, visitId, n)));
    await perform(recordChecks, world.tess, { visitId, checks });
    const ask = { visitId, id: anId(), remainderId: anId(), reason: 'occupant leaves at 16:00' };
    expect((await refusal(perform(stopVisit, world.tess, ask))).problem).toBe('HoldOpen');
    await perform(closeHold, world.tess, { holdId: hold.id, id: anId(), confirmedBy: 'Vera', signalsReceived: 22 });
    for (const item of (await perform(showVisit, world.tess, { visitId })).putBack) await perform(putBackDone, world.tess, { putBackId: item.id, id: anId() });
    const stopped = await perform(stopVisit, world.tess, ask);
    expect(stopped.visit.state).toBe('stopped');
    expect(stopped.remainder).toMatchObject({ id: ask.remainderId, kind: 'remainder', parentId: visitId, serviceMin: 40, state: 'wanted' });
    expect(stopped.owed.duties.map((duty) => duty.id).sort()).toEqual(world.dutyIds.slice(22).sort());
    expect(stopped.owed.duties.every((duty) => duty.lapses === '2027-04-30')).toBe(true);
    expect(await perform(stopVisit, world.tess, ask)).toEqual(stopped);
    const rest = await perform(showVisit, world.tess, { visitId: ask.remainderId });
    expect(rest.duties.map((duty) => duty.subjectId).sort()).toEqual(world.devices.slice(22).sort());
    expect(rest.toDo.map((item) => item.checkKind).at(-1)).toBe('restore-normal');
  });
});

describe('scenario 19: no access', () => {
  it('an attempt at the door with its evidence turns the visit to no access; sent twice it is one', async () => {
    const world = await aWorld(1);
    const visit = await visitOf(world);
    const photo = new Uint8Array([0xff, 0xd8, 0xff, 0xda, 0, 2, 1, 2, 0xff, 0xd9]);
    const photoId = anId();
    const faultOf = (content: Uint8Array) => { try { return requirePicture(content); } catch (error) { return (error as { problem: string }).problem; } };
    expect(faultOf(new TextEncoder().encode('<svg onload="x">'))).toBe('BadInput');
    expect(faultOf(new Uint8Array([0xff, 0xd8, 0xff, 0xe1, 0, 4, 7, 7, ...photo.slice(2)]))).toBe('BadInput');
    expect(faultOf(new Uint8Array(2 * 1024 * 1024 + 1))).toBe('TooLarge');
    const upload = { id: photoId, digest: 'd1', mime: requirePicture(photo), bytes: photo.length };
    expect((await perform(uploadAttachment, world.tess, upload)).mime).toBe('image/jpeg');
    expect((await refusal(perform(uploadAttachment, world.tess, { ...upload, digest: 'd2' }))).problem).toBe('IdReused');
    const other = await aWorld(1);
    expect((await refusal(perform(readAttachment, other.tess, { attachmentId: photoId }))).problem).toBe('NotFound');
    const attempt = RecordAttempt.parse({ siteId: world.siteId, id: anId(), visitId: visit.id, how: 'at-door', outcome: 'no-answer', lat: 40.1, lon: -3.2, waitedMin: 15, photoId, words: 'card left in the letter box', preventableBy: 'customer' });
    const first = await perform(recordAttempt, world.tess, attempt);
    expect(first.visit?.state).toBe('no-access');
    expect(await perform(recordAttempt, world.tess, attempt)).toEqual(first);
    expect((await refusal(perform(recordAttempt, world.tess, { ...attempt, words: 'other words' }))).problem).toBe('IdReused');
    expect(await inside(world.owner, (tx) => tx.db.attempt.count({ where: { companyId: world.companyId } }))).toBe(1);
  });
});

describe('scenario 21: offline and twice', () => {
  it('64 results sent three times are 64; one refused check loses none of the others; raw phone clock kept, order sane', async () => {
    const world = await aWorld(32);
    const visitId = await aStartedVisit(world);
    await aHold(world, visitId, '2027-03-01T18:00:00Z');
    at('2027-03-01T14:00:00Z');
    // The phone is two hours slow: it says 12:00 now.
    const done = (n: number) => ({ deviceClockAt: new Date(Date.parse('2027-03-01T07:30:00Z') + n * 60_000).toISOString(), deviceClockNow: '2027-03-01T12:00:00Z' });
    const checks = [...await Promise.all(Array.from({ length: 32 }, (_, n) => acted(world, visitId, n, done(n)))), ...await Promise.all(Array.from({ length: 32 }, (_, n) => acted(world, visitId, n, done(32 + n)))), await acted(world, visitId, 0, { checkKind: 'no-such-check' })];
    const first = await perform(recordChecks, world.tess, { visitId, checks });
    expect(first.answers.filter((answer) => answer.recorded !== null)).toHaveLength(64);
    expect(first.answers.at(-1)).toMatchObject({ recorded: null, problem: { name: 'BadInput' } });
    const resent = checks.map((check) => (check.deviceClockNow ? { ...check, deviceClockNow: '2027-03-01T12:10:00Z' } : check));
    for (let times = 0; times < 2; times++) expect(await perform(recordChecks, world.tess, { visitId, checks: resent })).toEqual(first);
    expect(await inside(world.owner, (tx) => tx.db.check.count({ where: { companyId: world.companyId } }))).toBe(64);
    expect(first.answers[0]!.recorded!.check).toMatchObject({ performedAt: '2027-03-01T09:30:00.000Z', deviceClockAt: '2027-03-01T07:30:00.000Z' });
  });

  it.each([['the failure arrives last', ['tess', 'jonas']], ['the failure arrives first', ['jonas', 'tess']]] as const)('[VIS-9] Tess says good 10:31, Jonas says not good 10:40, %s: both kept, not good until retried', async (_, order) => {
    const world = await aWorld(1);
    const visitId = await aStartedVisit(world);
    await perform(openVisit, world.jonas, { visitId, id: anId() });
    await aHold(world, visitId, '2027-03-01T18:00:00Z');
    at('2027-03-01T12:00:00Z');
    const bodies = { tess: await acted(world, visitId, 0, { deviceClockAt: '2027-03-01T10:31:00Z' }), jonas: await failed(world, visitId, 0, { deviceClockAt: '2027-03-01T10:40:00Z' }) };
    for (const name of order) await send(world, world[name], visitId, bodies[name]);
    const view = await perform(showVisit, world.tess, { visitId });
    expect(view.checks.map((check) => check.verdict)).toEqual(['pass', 'fail']);
    expect(view.owed.duties).toHaveLength(1);
    expect(view.owed.contradicted).toHaveLength(1);
    expect(view.deficiencies.filter((one) => one.state === 'open')).toHaveLength(1);
    at('2027-03-01T12:30:00Z');
    const retry = await send(world, world.tess, visitId, await acted(world, visitId, 0));
    expect(retry.creditedDutyIds).toEqual(world.dutyIds);
    expect(retry.closedDeficiencyIds).toHaveLength(1);
    expect((await perform(showVisit, world.tess, { visitId })).owed).toMatchObject({ duties: [], contradicted: [] });
  });

  it('[VIS-9] a later pass that could not know of a colleague\'s failure does not hide it', async () => {
    const world = await aWorld(1);
    const visitId = await aStartedVisit(world);
    await aHold(world, visitId, '2027-03-01T18:00:00Z');
    at('2027-03-01T12:00:00Z');
    await send(world, world.jonas, visitId, await failed(world, visitId, 0, { deviceClockAt: '2027-03-01T10:31:00Z' }));
    const pass = await send(world, world.tess, visitId, await acted(world, visitId, 0, { deviceClockAt: '2027-03-01T10:40:00Z' }));
    expect([pass.check.verdict, pass.creditedDutyIds, pass.closedDeficiencyIds]).toEqual(['pass', [], []]);
  });

  it('[VIS-7] a second phone delivers after the close what was done before it: kept and counted', async () => {
    const world = await aWorld(1);
    const visitId = await aStartedVisit(world);
    await aHold(world, visitId, '2027-03-01T18:00:00Z');
    await send(world, world.tess, visitId, await acted(world, visitId, 0));
    at('2027-03-01T11:00:00Z');
    await finish(world, visitId);
    at('2027-03-01T12:00:00Z');
    const late = await send(world, world.jonas, visitId, await failed(world, visitId, 0, { deviceClockAt: '2027-03-01T10:40:00Z', deviceClockNow: '2027-03-01T12:00:00Z' }));
    expect(late.deficiencies).toHaveLength(1);
    expect((await perform(showVisit, world.tess, { visitId })).owed.duties).toHaveLength(1);
  });
});

describe('making and finding visits', () => {
  it('the minimum pick takes all that is owed on the day; the round shows it; same id again, other content refused', async () => {
    const world = await aWorld(3);
    const id = anId();
    const ask = { id, siteId: world.siteId, kind: 'programme' as const, pick: 'minimum' as const, dutyIds: [], deficiencyIds: [], persons: 1, day: '2027-03-01', startMin: 600, technicianId: world.tessId };
    const made = await perform(createVisit, world.owner, ask);
    expect(await perform(createVisit, world.owner, ask)).toEqual(made);
    expect((await refusal(perform(createVisit, world.owner, { ...ask, startMin: 660 }))).problem).toBe('IdReused');
    expect((await perform(showVisit, world.tess, { visitId: id })).duties).toHaveLength(3);
    const round = await perform(myRound, world.tess, { days: 2 });
    expect(round.days.map((one) => [one.day, one.stops.map((stop) => stop.id)])).toEqual([['2027-03-01', [id]], ['2027-03-02', []]]);
    const other = await aWorld(1);
    expect((await refusal(perform(createVisit, other.owner, { ...ask, id: anId() }))).problem).toBe('NotFound');
  });
});
