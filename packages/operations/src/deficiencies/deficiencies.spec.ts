import { CheckBody } from '@bellround/contracts';
import { verifyBundle } from '@bellround/proof';
import { aCompany, aDevice, anId, aPath, aSite, aSystem, aTechnician, aUser, cloneDatabase, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { exportBundle } from '../proof/export-bundle.js';
import { ledgerState } from '../proof/ledger-state.js';
import { createVisit } from '../visits/create-visit.js';
import { openVisit } from '../visits/open-visit.js';
import { recordCheck } from '../visits/record-check.js';
import { acceptDeficiency } from './accept-deficiency.js';
import { listDeficiencies } from './list-deficiencies.js';
import { partsNeeded } from './parts-needed.js';
import { planRetest } from './plan-retest.js';
import { regradeDeficiency } from './regrade-deficiency.js';
import { showDeficiency } from './show-deficiency.js';
import { toldOf } from './told-of.js';

const clock = { now: new Date('2027-03-01T09:00:00Z') };
const LEDGER_KEY = '11'.repeat(32);
let test: TestDatabase;
let perform: Perform;

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());
beforeEach(() => { clock.now = new Date('2027-03-01T09:00:00Z'); });

interface World { companyId: string; owner: Who; tess: Who; tessId: string; siteId: string; systemId: string; sensorId: string; visitId: string }

/** A site that no station listens to (so no hold is needed) with one wireless sensor, and a started visit. */
async function aWorld(settings: object = {}): Promise<World> {
  const ids = { companyId: anId(), siteId: anId(), systemId: anId(), sensorId: anId(), tessId: anId(), visitId: anId() };
  const users = await test.database.inCompany({ companyId: ids.companyId, actorId: null }, async (tx) => {
    await aCompany(tx, ids.companyId, { settings });
    await aSite(tx, ids.companyId, { id: ids.siteId });
    await aSystem(tx, ids.companyId, { id: ids.systemId, siteId: ids.siteId });
    await aDevice(tx, ids.companyId, { id: ids.sensorId, systemId: ids.systemId, kind: 'motion', link: 'wireless', label: 'Hall motion' });
    await aPath(tx, ids.companyId, { systemId: ids.systemId });
    await aTechnician(tx, ids.companyId, { id: ids.tessId });
    return [await aUser(tx, ids.companyId, { role: 'owner', name: 'Ann' }), await aUser(tx, ids.companyId, { role: 'technician', name: 'Tess', technicianId: ids.tessId })];
  });
  const owner: Who = { companyId: ids.companyId, userId: users[0]!.id, role: 'owner', name: 'Ann', technicianId: null };
  const tess: Who = { companyId: ids.companyId, userId: users[1]!.id, role: 'technician', name: 'Tess', technicianId: ids.tessId };
  const world = { ...ids, owner, tess };
  await aVisit(world, ids.visitId);
  return world;
}
async function aVisit(world: Pick<World, 'owner' | 'tess' | 'siteId' | 'tessId'>, id = anId()): Promise<string> {
  await perform(createVisit, world.owner, { id, siteId: world.siteId, kind: 'urgent', pick: 'chosen', dutyIds: [], deficiencyIds: [], persons: 1, day: '2027-03-01', technicianId: world.tessId });
  await perform(openVisit, world.tess, { visitId: id, id: anId() });
  return id;
}
/** A margin check: noise is -100 dBm, so a level of -95 fails by 5 dB and -60 is good. */
const margin = (world: World, levelDbm: number, over: object = {}) => perform(recordCheck, world.tess, { visitId: world.visitId, ...CheckBody.parse({ id: anId(), checkKind: 'wireless-margin', subjectKind: 'device', subjectId: world.sensorId, readings: { levelDbm, noiseDbm: -100 }, ...over }) });
const problemOf = async (promise: Promise<unknown>) => (await promise.then(() => null, (error: unknown) => error) as { problem?: string } | null)?.problem;
const later = (minutes: number) => { clock.now = new Date(clock.now.getTime() + minutes * 60_000); };
const listed = (world: World, over: object = {}) => perform(listDeficiencies, world.owner, { limit: 50, offset: 0, state: 'open' as const, ...over });

describe('[DEF-1] a failure raises one deficiency and its history never goes', () => {
  it('raised, seen again, closed by a later passing check of the same kind and subject, reopened by a later failure', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    later(5);
    expect((await margin(world, -96)).deficiencies).toMatchObject([{ id, how: 'seen-again' }]);
    expect((await listed(world)).total).toBe(1);
    later(5);
    expect((await margin(world, -60)).closedDeficiencyIds).toEqual([id]);
    expect((await listed(world)).total).toBe(0);
    later(60);
    expect((await margin(world, -97)).deficiencies).toMatchObject([{ id, how: 'reopened' }]);
    const { deficiency, facts } = await perform(showDeficiency, world.owner, { deficiencyId: id });
    expect(deficiency).toMatchObject({ state: 'open', closedByCheckId: null, closedAt: null });
    expect(facts.map((fact) => fact.kind)).toEqual(['raised', 'seen-again', 'retest-passed', 'reopened']);
  });

  it('a pass on another subject, a check not tried and one done before the failure close nothing', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    const twin = anId();
    await test.database.inCompany({ companyId: world.companyId, actorId: null }, (tx) => aDevice(tx, world.companyId, { id: twin, systemId: world.systemId, kind: 'motion', link: 'wireless', label: 'Study motion' }));
    later(5);
    expect((await margin(world, -60, { subjectId: twin })).closedDeficiencyIds).toEqual([]);
    expect((await margin(world, -60, { outcome: 'not-done', readings: {}, reason: 'ladder not safe' })).closedDeficiencyIds).toEqual([]);
    expect((await perform(showDeficiency, world.owner, { deficiencyId: id })).deficiency.state).toBe('open');
    // A check done before the failure, delivered after it, is no retest of it.
    expect((await margin(world, -60, { deviceClockAt: '2027-03-01T08:00:00Z' })).closedDeficiencyIds).toEqual([]);
  });

  it('arrived out of order: the retest is here before the failure it answers, so the failure is closed as it comes', async () => {
    const world = await aWorld();
    later(60);
    await margin(world, -60, { deviceClockAt: '2027-03-01T09:40:00Z' });
    const late = await margin(world, -95, { deviceClockAt: '2027-03-01T09:20:00Z' });
    const { deficiency, facts } = await perform(showDeficiency, world.owner, { deficiencyId: late.deficiencies[0]!.id });
    expect([deficiency.state, facts.map((fact) => fact.kind)]).toEqual(['closed', ['raised', 'retest-passed']]);
  });

  it('two failures at once raise one deficiency', async () => {
    const world = await aWorld();
    await Promise.all([margin(world, -95), margin(world, -96)]);
    expect((await listed(world)).total).toBe(1);
  });
});

describe('[DEF-2] severity and due day', () => {
  it('by what is impaired, with days of the house or of the company, each saying so', async () => {
    const world = await aWorld();
    const raised = (await margin(world, -95)).deficiencies[0]!;
    expect(raised).toMatchObject({ severity: 'non-critical', dueOn: '2027-03-31' });
    expect((await perform(showDeficiency, world.owner, { deficiencyId: raised.id })).dueRule).toBe('non-critical: 30 days (company rule, as delivered)');
    const strict = await aWorld({ deficiencyDueDays: { 'non-critical': 10 } });
    expect((await margin(strict, -95)).deficiencies[0]!.dueOn).toBe('2027-03-11');
  });

  it('regraded with a reason, due counted anew from the day it was raised; sent twice it is one fact', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    const ask = { deficiencyId: id, id: anId(), severity: 'critical' as const, reason: 'only detector of the room' };
    const graded = await perform(regradeDeficiency, world.owner, ask);
    expect(graded.deficiency).toMatchObject({ severity: 'critical', dueOn: '2027-03-08' });
    expect(await perform(regradeDeficiency, world.owner, ask)).toEqual(graded);
    expect(await problemOf(perform(regradeDeficiency, world.owner, { ...ask, reason: 'another reason' }))).toBe('IdReused');
  });
});

describe('[DEF-4] accepted by name until a day', () => {
  it('leaves the open list, comes back when the day has passed, and a passing retest still closes it', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    const ask = { deficiencyId: id, id: anId(), acceptedBy: 'R. Tallow', words: 'room is empty until the summer', until: '2027-06-30' };
    expect(await problemOf(perform(acceptDeficiency, world.owner, { ...ask, until: '2027-03-01' }))).toBe('BadInput');
    expect((await perform(acceptDeficiency, world.owner, ask)).deficiency.state).toBe('accepted');
    expect((await listed(world)).total).toBe(0);
    expect((await listed(world, { state: 'accepted' })).total).toBe(1);
    clock.now = new Date('2027-07-01T09:00:00Z');
    const back = await listed(world, { overdue: 'true' });
    expect([back.total, back.rows[0]!.state, back.rows[0]!.overdue]).toEqual([1, 'open', true]);
    expect((await margin(world, -60)).closedDeficiencyIds).toEqual([id]);
    expect(await problemOf(perform(acceptDeficiency, world.owner, { ...ask, id: anId(), until: '2027-12-31' }))).toBe('WrongState');
  });
});

describe('working on them', () => {
  it('told and parts are facts; a retest visit holds several of one site and no deficiency waits for two', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    await perform(toldOf, world.tess, { deficiencyId: id, id: anId(), to: 'R. Tallow', capacity: 'occupant', how: 'in-person', words: 'the hall is not watched' });
    await perform(partsNeeded, world.tess, { deficiencyId: id, id: anId(), words: 'repeater 868 MHz', state: 'needed' });
    const visit = { id: anId(), deficiencyIds: [id], day: '2027-03-02', technicianId: world.tessId };
    const planned = await perform(planRetest, world.owner, visit);
    expect(await perform(planRetest, world.owner, visit)).toEqual(planned);
    expect(await problemOf(perform(planRetest, world.owner, { ...visit, id: anId() }))).toBe('WrongState');
    const view = await perform(showDeficiency, world.owner, { deficiencyId: id });
    expect(view.deficiency.visitId).toBe(visit.id);
    expect(view.facts.map((fact) => fact.kind)).toEqual(['raised', 'told', 'parts', 'retest-planned']);
  });

  it('another company\'s is not found by any act; its list is empty; search and summary count', async () => {
    const world = await aWorld();
    const other = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    expect(await problemOf(perform(showDeficiency, other.owner, { deficiencyId: id }))).toBe('NotFound');
    expect(await problemOf(perform(toldOf, other.owner, { deficiencyId: id, id: anId(), to: 'X Y', capacity: '', how: 'call', words: 'told' }))).toBe('NotFound');
    expect(await problemOf(perform(planRetest, other.owner, { id: anId(), deficiencyIds: [id] }))).toBe('NotFound');
    expect((await listed(other)).total).toBe(0);
    expect((await listed(world, { search: 'ostrel' })).total).toBe(1);
    expect((await listed(world, { search: 'nowhere' })).total).toBe(0);
    expect((await listed(world)).summary.find((one) => one.severity === 'non-critical')).toEqual({ severity: 'non-critical', open: 1, overdue: 0, oldestDays: 0 });
  });
});

describe('the ledger', () => {
  it('holds every record once, in order, and its bundle verifies; another company gets nothing of it', async () => {
    const world = await aWorld();
    await Promise.all([-95, -96, -60, -61].map((level) => margin(world, level)));
    const bundle = await perform(exportBundle, world.owner, { siteId: world.siteId, ledgerKey: LEDGER_KEY });
    expect(verifyBundle(bundle, { expectedPublicKey: bundle.publicKey })).toMatchObject({ ok: true, records: bundle.records.length, treeSize: bundle.records.length });
    expect(bundle.records.filter(({ record }) => (record as { record: string }).record === 'check')).toHaveLength(4);
    const state = await perform(ledgerState, world.owner, { ledgerKey: LEDGER_KEY });
    expect(state).toMatchObject({ size: bundle.head.treeSize, rootHash: bundle.head.rootHash, publicKey: bundle.publicKey });
    const altered = structuredClone(bundle);
    (altered.records[0]!.record as { id: string }).id = anId();
    expect(verifyBundle(altered).ok).toBe(false);
    const other = await aWorld();
    expect(await problemOf(perform(exportBundle, other.owner, { siteId: world.siteId, ledgerKey: LEDGER_KEY }))).toBe('NotFound');
  });

  it('one check by its id, and days that leave it out', async () => {
    const world = await aWorld();
    const { check } = await margin(world, -60);
    const one = await perform(exportBundle, world.owner, { checkIds: [check.id], ledgerKey: LEDGER_KEY });
    expect(one.records).toHaveLength(1);
    expect(verifyBundle(one)).toMatchObject({ ok: true });
    expect(await problemOf(perform(exportBundle, world.owner, { siteId: world.siteId, from: '2026-01-01', to: '2026-12-31', ledgerKey: LEDGER_KEY }))).toBe('NotFound');
  });
});
