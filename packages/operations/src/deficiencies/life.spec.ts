import { CheckBody, PhotoOfCheck, PhotoOfDeficiency } from '@bellround/contracts';
import { aCompany, aDevice, anId, aPath, aSite, aSystem, aTechnician, aUser, cloneDatabase, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { verifyBundle } from '@bellround/proof';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { exportBundle } from '../proof/export-bundle.js';
import { siteReport } from '../reports/site-report.js';
import { createVisit } from '../visits/create-visit.js';
import { openVisit } from '../visits/open-visit.js';
import { photoOfCheck } from '../visits/photo-of-check.js';
import { recordCheck } from '../visits/record-check.js';
import { uploadAttachment } from '../visits/upload-attachment.js';
import { acceptDeficiency } from './accept-deficiency.js';
import { interimMeasure } from './interim-measure.js';
import { listDeficiencies } from './list-deficiencies.js';
import { photoOfDeficiency } from './photo-of-deficiency.js';
import { showDeficiency } from './show-deficiency.js';
import { toldOf } from './told-of.js';
import { watchDeficiencies } from './watch-deficiencies.js';

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

interface World { companyId: string; owner: Who; tess: Who; house: Who; siteId: string; visitId: string; panelId: string; sensorId: string }

/** A fire system with a smoke detector and an intrusion system with a wireless sensor at a site that no station listens to. */
async function aWorld(settings: object = {}): Promise<World> {
  const ids = { companyId: anId(), siteId: anId(), panelId: anId(), sensorId: anId(), tessId: anId(), visitId: anId() };
  const users = await test.database.inCompany({ companyId: ids.companyId, actorId: null }, async (tx) => {
    await aCompany(tx, ids.companyId, { settings });
    await aSite(tx, ids.companyId, { id: ids.siteId });
    const fire = await aSystem(tx, ids.companyId, { siteId: ids.siteId, kind: 'fire', name: 'Fire' });
    const intrusion = await aSystem(tx, ids.companyId, { siteId: ids.siteId });
    await aDevice(tx, ids.companyId, { id: ids.panelId, systemId: fire.id, kind: 'smoke', link: 'wired', label: 'Stair smoke' });
    await aDevice(tx, ids.companyId, { id: ids.sensorId, systemId: intrusion.id, kind: 'motion', link: 'wireless', label: 'Hall motion' });
    await aPath(tx, ids.companyId, { systemId: intrusion.id });
    await aTechnician(tx, ids.companyId, { id: ids.tessId });
    return [await aUser(tx, ids.companyId, { role: 'owner', name: 'Ann', email: `${ids.siteId}@ann.example` }), await aUser(tx, ids.companyId, { role: 'technician', name: 'Tess', technicianId: ids.tessId })];
  });
  const who = (n: number, role: Who['role'], name: string, technicianId: string | null): Who => ({ companyId: ids.companyId, userId: users[n]!.id, role, name, technicianId });
  const world = { ...ids, owner: who(0, 'owner', 'Ann', null), tess: who(1, 'technician', 'Tess', ids.tessId), house: { companyId: ids.companyId, userId: null, role: 'house' as const, name: 'the house', technicianId: null } };
  await perform(createVisit, world.owner, { id: ids.visitId, siteId: ids.siteId, kind: 'urgent', pick: 'chosen', dutyIds: [], deficiencyIds: [], persons: 1, day: '2027-03-01', technicianId: ids.tessId });
  await perform(openVisit, world.tess, { visitId: ids.visitId, id: anId() });
  return world;
}
const record = (world: World, over: object) => perform(recordCheck, world.tess, { visitId: world.visitId, ...CheckBody.parse({ id: anId(), subjectKind: 'device', ...over }) });
const margin = (world: World, levelDbm: number) => record(world, { checkKind: 'wireless-margin', subjectId: world.sensorId, readings: { levelDbm, noiseDbm: -100 } });
/** A smoke detector that does not act: an impairment of a fire system. */
const smoke = (world: World) => record(world, { checkKind: 'smoke-functional', subjectId: world.panelId, readings: { alarmAtPanel: false, rightText: false } });
const show = (world: World, deficiencyId: string) => perform(showDeficiency, world.owner, { deficiencyId });
const kinds = async (world: World, id: string) => (await show(world, id)).facts.map((fact) => fact.kind);
const problemOf = async (promise: Promise<unknown>) => (await promise.then(() => null, (error: unknown) => error) as { problem?: string } | null)?.problem;
const messages = (world: World) => test.database.inCompany({ companyId: world.companyId, actorId: null }, (tx) => tx.db.message.findMany({ where: { companyId: world.companyId, kind: 'deficiency-watch' }, orderBy: { id: 'asc' } }));

describe('[DEF-6] a measure that protects the site meanwhile', () => {
  const measure = { words: 'patrol every hour, written down', by: 'R. Tallow', untilAt: '2027-03-01T18:00:00.000Z' };

  it('says what, by whom and until when, after its caution; a further one takes its place; sent twice it is one', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    const ask = { deficiencyId: id, id: anId(), ...measure };
    const given = await perform(interimMeasure, world.tess, ask);
    expect(given.deficiency.interim).toEqual({ factId: ask.id, ...measure, over: false });
    expect(given.cautions.at(-1)).toContain('does not mend anything');
    expect(await perform(interimMeasure, world.tess, ask)).toEqual(given);
    expect(await problemOf(perform(interimMeasure, world.tess, { ...ask, words: 'something else' }))).toBe('IdReused');
    at('2027-03-01T09:30:00Z');
    await perform(interimMeasure, world.tess, { ...ask, id: anId(), by: 'M. Oriel' });
    expect((await show(world, id)).deficiency.interim).toMatchObject({ by: 'M. Oriel' });
    expect(await kinds(world, id)).toEqual(['raised', 'interim', 'interim']);
  });

  it('ends after now and within 31 days; a closed deficiency takes none, and one that was reopened has none', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    const ask = { deficiencyId: id, ...measure };
    expect(await problemOf(perform(interimMeasure, world.tess, { ...ask, id: anId(), untilAt: '2027-03-01T09:00:00.000Z' }))).toBe('BadInput');
    expect(await problemOf(perform(interimMeasure, world.tess, { ...ask, id: anId(), untilAt: '2027-04-02T09:00:00.000Z' }))).toBe('BadInput');
    await perform(interimMeasure, world.tess, { ...ask, id: anId() });
    at('2027-03-01T10:00:00Z');
    await margin(world, -60);
    expect((await show(world, id)).deficiency.interim).toBeNull();
    expect(await problemOf(perform(interimMeasure, world.tess, { ...ask, id: anId() }))).toBe('WrongState');
    at('2027-03-01T11:00:00Z');
    await margin(world, -95);
    expect((await show(world, id)).deficiency).toMatchObject({ state: 'open', interim: null });
    at('2027-03-02T09:00:00Z');
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ interims: 0 });
  });

  it('[DEF-8] over while it is still broken: a fact, one message to each who must act, once; renewed and over again, told again; mended, nobody is told', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    await perform(interimMeasure, world.tess, { deficiencyId: id, id: anId(), ...measure });
    at('2027-03-01T17:59:00Z');
    expect(await perform(watchDeficiencies, world.house, {})).toEqual({ interims: 0, clocks: 0, deferrals: 0 });
    at('2027-03-01T18:00:00Z');
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ interims: 1 });
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ interims: 0 });
    expect((await show(world, id)).deficiency.interim).toMatchObject({ over: true });
    const [told, ...more] = await messages(world);
    expect([told!.toName, more]).toEqual(['Ann', []]);
    expect(told!.body.indexOf('People may not be warned')).toBeLessThan(told!.body.indexOf('patrol every hour'));
    await perform(interimMeasure, world.tess, { deficiencyId: id, id: anId(), ...measure, untilAt: '2027-03-01T20:00:00.000Z' });
    at('2027-03-01T20:05:00Z');
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ interims: 1 });
    await perform(interimMeasure, world.tess, { deficiencyId: id, id: anId(), ...measure, untilAt: '2027-03-01T22:00:00.000Z' });
    at('2027-03-01T21:00:00Z');
    await margin(world, -60);
    at('2027-03-01T23:00:00Z');
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ interims: 0 });
    expect(await kinds(world, id)).toEqual(['raised', 'interim', 'interim-over', 'interim', 'interim-over', 'interim', 'retest-passed']);
    const other = await aWorld();
    expect(await problemOf(perform(interimMeasure, other.tess, { deficiencyId: id, id: anId(), ...measure, untilAt: '2027-03-02T22:00:00.000Z' }))).toBe('NotFound');
  });
});

describe('[DEF-6] the clock of a fire system that is impaired', () => {
  it('runs four hours from the finding, or as long as the company says; the authority told in time ends it; a weaker deficiency and another system have none', async () => {
    const world = await aWorld();
    const { id } = (await smoke(world)).deficiencies[0]!;
    const weak = (await margin(world, -95)).deficiencies[0]!;
    const { deficiency, cautions } = await show(world, id);
    expect(deficiency).toMatchObject({ severity: 'impairment', dueOn: '2027-03-02', clock: { tellBy: '2027-03-01T13:00:00.000Z', toldAt: null, over: false } });
    expect(cautions[0]).toContain('People may not be warned');
    expect((await show(world, weak.id)).deficiency.clock).toBeNull();
    at('2027-03-01T10:00:00Z');
    await perform(toldOf, world.tess, { deficiencyId: id, id: anId(), to: 'Fire prevention office', capacity: 'authority', how: 'call', words: 'stair smoke does not act' });
    at('2027-03-01T14:00:00Z');
    expect((await show(world, id)).deficiency.clock).toMatchObject({ toldAt: '2027-03-01T10:00:00.000Z', over: false });
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ clocks: 0 });
    const slow = await aWorld({ impairmentTellHours: 8 });
    at('2027-03-01T14:00:00Z');
    expect((await show(slow, (await smoke(slow)).deficiencies[0]!.id)).deficiency.clock!.tellBy).toBe('2027-03-01T22:00:00.000Z');
  });

  it('[DEF-8] run out, and nobody but the occupant told: said once, cautions first', async () => {
    const world = await aWorld();
    const { id } = (await smoke(world)).deficiencies[0]!;
    await perform(toldOf, world.tess, { deficiencyId: id, id: anId(), to: 'R. Tallow', capacity: 'occupant', how: 'in-person', words: 'the stair is not watched' });
    at('2027-03-01T12:59:59Z');
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ clocks: 0 });
    at('2027-03-01T13:00:00Z');
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ clocks: 1 });
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ clocks: 0 });
    expect((await show(world, id)).deficiency.clock).toMatchObject({ over: true });
    expect((await messages(world)).map((message) => message.subject)).toEqual(['Has the authority been told? Ostrel primary school']);
  });
});

describe('[DEF-3] a deferral by a named owner', () => {
  it('[DEF-8] its end passes: open again with a fact that names who gave it, owners are told, and it is counted as overdue when its day is past', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    await perform(acceptDeficiency, world.owner, { deficiencyId: id, id: anId(), acceptedBy: 'R. Tallow', words: 'room is empty until the summer', until: '2027-06-30' });
    at('2027-06-30T21:30:00Z'); // 23:30 of its last day at the site
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ deferrals: 0 });
    at('2027-06-30T22:30:00Z');
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ deferrals: 1 });
    expect(await perform(watchDeficiencies, world.house, {})).toMatchObject({ deferrals: 0 });
    const { deficiency, facts } = await show(world, id);
    expect(deficiency).toMatchObject({ state: 'open', acceptedUntil: null, overdue: true });
    expect(facts.at(-1)).toMatchObject({ kind: 'acceptance-over', byName: null });
    expect(facts.at(-1)!.words).toContain('R. Tallow gave until 2027-06-30');
    expect((await perform(listDeficiencies, world.owner, { limit: 5, offset: 0, state: 'open', overdue: 'true' })).total).toBe(1);
    const bundle = await perform(exportBundle, world.owner, { siteId: world.siteId, ledgerKey: '11'.repeat(32) });
    expect(verifyBundle(bundle, { expectedPublicKey: bundle.publicKey })).toMatchObject({ ok: true });
  });
});

describe('[DEF-7] pictures', () => {
  const aPicture = async (world: World) => { const id = anId(); await perform(uploadAttachment, world.tess, { id, digest: `${id}`, mime: 'image/jpeg', bytes: 10 }); return id; };

  it('of a deficiency: shown with who and when, place only when wanted, in the report; sent twice it is one; one that was not uploaded is not there', async () => {
    const world = await aWorld();
    const { id } = (await margin(world, -95)).deficiencies[0]!;
    const attachmentId = await aPicture(world);
    const ask = PhotoOfDeficiency.parse({ deficiencyId: id, id: anId(), attachmentId, words: 'new steel cupboard', place: { lat: 40.1, lon: -3.2 } });
    const seen = await perform(photoOfDeficiency, world.tess, ask);
    expect(await perform(photoOfDeficiency, world.tess, ask)).toEqual(seen);
    expect(seen.photos).toEqual([{ factId: ask.id, attachmentId, words: 'new steel cupboard', at: '2027-03-01T09:00:00.000Z', byName: 'Tess', place: { lat: 40.1, lon: -3.2 } }]);
    expect(seen.deficiency.photos).toBe(1);
    const plain = await perform(photoOfDeficiency, world.tess, PhotoOfDeficiency.parse({ deficiencyId: id, id: anId(), attachmentId: await aPicture(world) }));
    expect(plain.photos[1]!.place).toBeNull();
    expect(await problemOf(perform(photoOfDeficiency, world.tess, { ...ask, id: anId(), attachmentId: anId() }))).toBe('NotFound');
    const report = await perform(siteReport, world.owner, { siteId: world.siteId, months: 24 });
    expect(report.deficiencies[0]!.photos.map((photo) => photo.words)).toEqual(['new steel cupboard', '']);
    const other = await aWorld();
    expect(await problemOf(perform(photoOfDeficiency, other.tess, { ...ask, id: anId() }))).toBe('NotFound');
    expect(await problemOf(perform(photoOfDeficiency, world.tess, { ...ask, id: anId(), attachmentId: await aPicture(other) }))).toBe('NotFound');
  });

  it('of a check, taken without a network: it stands on what that check raised, five hours later and sent three times', async () => {
    const world = await aWorld();
    const check = await margin(world, -95);
    const attachmentId = await aPicture(world);
    at('2027-03-01T14:00:00Z');
    const ask = PhotoOfCheck.parse({ checkId: check.check.id, id: anId(), attachmentId, words: 'cracked', deviceClockAt: '2027-03-01T09:01:00Z', deviceClockNow: '2027-03-01T14:00:00Z' });
    const [first, ...again] = [await perform(photoOfCheck, world.tess, ask), await perform(photoOfCheck, world.tess, { ...ask, deviceClockNow: '2027-03-01T14:00:00Z' }), await perform(photoOfCheck, world.tess, ask)];
    expect(first.deficiencyIds).toEqual(check.deficiencies.map((one) => one.id).sort());
    expect(again).toEqual([first, first]);
    const { photos } = await show(world, check.deficiencies[0]!.id);
    expect(photos).toMatchObject([{ attachmentId, words: 'cracked', at: '2027-03-01T09:01:00.000Z' }]);
    const good = await margin(world, -60);
    expect(await perform(photoOfCheck, world.tess, PhotoOfCheck.parse({ checkId: good.check.id, id: anId(), attachmentId }))).toEqual({ deficiencyIds: [] });
    expect(await problemOf(perform(photoOfCheck, world.tess, { ...ask, id: anId(), checkId: anId() }))).toBe('NotFound');
  });
});
