import { CheckBody, type CheckRecorded } from '@bellround/contracts';
import { aCompany, aDevice, anId, aPath, aSite, aSystem, aTechnician, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { listDeficiencies } from '../deficiencies/list-deficiencies.js';
import { showDeficiency } from '../deficiencies/show-deficiency.js';
import { createPerform, type Perform, type Who } from '../perform.js';
import { openVisit } from './open-visit.js';
import { recordCheck } from './record-check.js';
import { recordChecks } from './record-checks.js';
import { showVisit } from './show-visit.js';

// Scenario 13 inside a visit: what all sensors of a receiver share is the receiver's, told once.
const clock = { now: new Date('2027-03-01T09:00:00Z') };
const DROPS = [13, 14, 15, 13.5, 14.2];
let test: TestDatabase;
let perform: Perform;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());

/** Five sensors read at -70 dBm over -100 dBm in September, a sixth apart, and a started visit. */
async function aWorld(receivers: number) {
  clock.now = new Date('2027-03-01T09:00:00Z');
  const companyId = anId();
  const ids = { siteId: anId(), systemId: anId(), technicianId: anId(), visitId: anId(), moduleId: anId(), nextVisitId: anId() };
  const sensors = [...DROPS, 2].map(() => anId());
  const tess = await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: ids.siteId });
    await aSystem(tx, companyId, { id: ids.systemId, siteId: ids.siteId });
    await aPath(tx, companyId, { systemId: ids.systemId });
    for (let n = 0; n < receivers; n += 1) await aDevice(tx, companyId, { id: n === 0 ? ids.moduleId : anId(), systemId: ids.systemId, kind: 'radio-module', link: 'wired', label: 'Receiver, stairs', room: null });
    for (const [n, id] of sensors.entries()) {
      await aDevice(tx, companyId, { id, systemId: ids.systemId, kind: 'motion', link: 'wireless', label: `Sensor ${n + 1}` });
      await tx.db.check.create({ data: { companyId, id: anId(), bodyDigest: 'x', siteId: ids.siteId, systemId: ids.systemId, subjectKind: 'device', subjectId: id, checkKind: 'wireless-margin', performedOn: day('2026-09-01'), performedAt: new Date('2026-09-01T10:00:00Z'), recordedAt: new Date('2026-09-01T10:00:00Z'),
        verdict: 'pass', reason: 'read', evidence: 'A', source: 'field', readings: { create: [{ key: 'levelDbm', number: -70 }, { key: 'noiseDbm', number: -100 }] } } });
    }
    await aTechnician(tx, companyId, { id: ids.technicianId, name: 'Tess' });
    await tx.db.visit.create({ data: { companyId, id: ids.visitId, siteId: ids.siteId, kind: 'urgent', state: 'published', title: 'Yearly', serviceMin: 60, day: day('2027-03-01'), technicianId: ids.technicianId, createdAt: clock.now } });
    return aUser(tx, companyId, { role: 'technician', name: 'Tess', technicianId: ids.technicianId });
  });
  const who: Who = { companyId, userId: tess.id, role: 'technician', name: 'Tess', technicianId: ids.technicianId };
  await perform(openVisit, who, { visitId: ids.visitId, id: anId() });
  const body = (subjectId: string, readings: Record<string, number>, checkKind = 'wireless-margin') => CheckBody.parse({ id: anId(), checkKind, subjectKind: 'device', subjectId, readings });
  const fallen = (n: number) => body(sensors[n]!, { levelDbm: -70, noiseDbm: -100 + (DROPS[n] ?? 2) });
  const send = (check: CheckBody): Promise<CheckRecorded> => { clock.now = new Date(clock.now.getTime() + 60_000); return perform(recordCheck, who, { visitId: ids.visitId, ...check }); };
  const open = async () => (await perform(listDeficiencies, who, { limit: 50, offset: 0, state: 'open' })).rows;
  return { ...ids, companyId, who, sensors, body, fallen, send, open };
}

describe('[DEF-9] scenario 13: five sensors of one receiver dropping 13 to 15 dB together', () => {
  it('read one after another: the first two are told apart, the third makes it the receiver’s; one deficiency stays open, of the receiver', async () => {
    const world = await aWorld(1);
    const early = [await world.send(world.fallen(0)), await world.send(world.fallen(1))];
    expect(early.map((one) => one.deficiencies.map((two) => two.title))).toEqual([['Wireless link margin: Sensor 1: step change'], ['Wireless link margin: Sensor 2: step change']]);
    for (const n of [2, 3, 4, 5]) await world.send(world.fallen(n));
    const [one, ...others] = await world.open();
    expect(others).toEqual([]);
    expect(one).toMatchObject({ subjectId: world.moduleId, checkKind: 'receiver-noise/receiver-drop', title: 'Noise at the radio receiver: Receiver, stairs: margins fell together' });
    const { facts } = await perform(showDeficiency, world.who, { deficiencyId: one!.id });
    expect(facts.map((fact) => fact.kind).sort()).toEqual(['raised', 'seen-again', 'seen-again', 'seen-again', 'seen-again']);
    expect(facts.at(-1)!.words).toMatch(/Margin fell by 14\.2 dB .*\(noise rose\).* 4 others on this receiver fell with it: look at the receiver or its noise/);
    // What was raised on the first two is closed into it, and its history stays.
    const first = await perform(showDeficiency, world.who, { deficiencyId: early[0]!.deficiencies[0]!.id });
    expect(first.deficiency.state).toBe('closed');
    expect(first.facts.map((fact) => [fact.kind, fact.words])).toEqual([['raised', expect.stringContaining('Margin fell by 13 dB')], ['joined', expect.stringContaining('Receiver, stairs')]]);
    // The visit's screen has that one and no other, and says it of each sensor that is looked at.
    const view = await perform(showVisit, world.who, { visitId: world.visitId });
    expect(view.deficiencies.filter((row) => row.state === 'open').map((row) => row.title)).toEqual([one!.title]);
    expect(view.checkFacts[world.sensors[5]!]!.radio!.neighbourDropsDb!.toSorted((a, b) => a - b)).toEqual([13, 13.5, 14, 14.2, 15]);
    expect(view.toDo.map((item) => [item.checkKind, item.subjectId])).toContainEqual(['receiver-noise', world.moduleId]);
    // Closed by a good reading of the noise at the receiver, and by nothing else.
    expect((await world.send(world.body(world.sensors[0]!, { levelDbm: -70, noiseDbm: -100 }))).closedDeficiencyIds).toEqual([]);
    expect((await world.send(world.body(world.moduleId, { noiseDbm: -100 }, 'receiver-noise'))).closedDeficiencyIds).toEqual([one!.id]);
  });

  it('sent at once after hours without a network: one finding from the start', async () => {
    const world = await aWorld(1);
    const { answers } = await perform(recordChecks, world.who, { visitId: world.visitId, checks: [0, 1, 2, 3, 4, 5].map(world.fallen) });
    expect(answers.map((answer) => answer.recorded?.check.verdict)).toEqual(['marginal', 'marginal', 'marginal', 'marginal', 'marginal', 'pass']);
    expect((await world.open()).map((row) => row.checkKind)).toEqual(['receiver-noise/receiver-drop']);
    expect(answers.slice(0, 5).map((answer) => answer.recorded!.deficiencies.length)).toEqual([1, 1, 1, 1, 1]);
  });

  it('which receiver hears them is not known: it stands on one of them, still one', async () => {
    const world = await aWorld(2);
    for (const n of [0, 1, 2, 3, 4]) await world.send(world.fallen(n));
    expect((await world.open()).map((row) => [row.checkKind, row.subjectId])).toEqual([['wireless-margin/receiver-drop', world.sensors[2]]]);
  });

  it('two alone, or drops that are not alike, stay findings of their own', async () => {
    const world = await aWorld(1);
    await world.send(world.fallen(0));
    await world.send(world.fallen(1));
    await world.send(world.body(world.sensors[2]!, { levelDbm: -70, noiseDbm: -93 }));
    expect((await world.open()).map((row) => row.checkKind)).toEqual(['wireless-margin/step-change', 'wireless-margin/step-change', 'wireless-margin/step-change']);
  });
});

describe('[DEF-3] a step change stays until the margin is good', () => {
  it('read again as low as it fell to: the next reading is no step, and nothing is mended; a good one closes it', async () => {
    const world = await aWorld(1);
    const low = { levelDbm: -70, noiseDbm: -86 };
    const [raised] = (await world.send(world.body(world.sensors[0]!, low))).deficiencies;
    expect(raised!.title).toBe('Wireless link margin: Sensor 1: step change');
    const again = await world.send(world.body(world.sensors[0]!, low));
    expect([again.check.verdict, again.closedDeficiencyIds]).toEqual(['marginal', []]);
    // A visit later its own low reading is the last one: no step is found, and the margin is what it was.
    await test.database.inCompany({ companyId: world.companyId, actorId: null }, async (tx) => {
      await tx.db.visit.create({ data: { companyId: world.companyId, id: world.nextVisitId, siteId: world.siteId, kind: 'urgent', state: 'published', title: 'Next', serviceMin: 60, day: day('2027-09-01'), technicianId: world.technicianId, createdAt: clock.now } });
    });
    clock.now = new Date('2027-09-01T09:00:00Z');
    await perform(openVisit, world.who, { visitId: world.nextVisitId, id: anId() });
    const next = (readings: Record<string, number>) => { clock.now = new Date(clock.now.getTime() + 60_000); return perform(recordCheck, world.who, { visitId: world.nextVisitId, ...world.body(world.sensors[0]!, readings) }); };
    const stays = await next(low);
    expect([stays.check.verdict, stays.deficiencies, stays.closedDeficiencyIds]).toEqual(['marginal', [], []]);
    expect((await world.open()).map((row) => row.id)).toEqual([raised!.id]);
    const good = await next({ levelDbm: -70, noiseDbm: -100 });
    expect([good.check.verdict, good.closedDeficiencyIds]).toEqual(['pass', [raised!.id]]);
  });
});
