import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, aDevice, anId, aSite, aSystem, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { createPerform, type Perform, type Who } from '../perform.js';
import { adoptProgramme } from './adopt-programme.js';
import { applyProgramme } from './apply-programme.js';
import { libraryProgrammes } from './library-programmes.js';
import { listProgrammes } from './list-programmes.js';
import { programmeSystems } from './programme-systems.js';
import { retireProgramme } from './retire-programme.js';
import { saveProgramme } from './save-programme.js';
import { showDuty } from './show-duty.js';
import { showProgramme } from './show-programme.js';
import { updateLaidProgrammes } from './update-laid-programmes.js';

const A = anId();
const B = anId();
const who: Who = { companyId: A, userId: null, name: 'Ann', role: 'owner', technicianId: null };
const stranger: Who = { ...who, companyId: B };
const clock = { now: new Date('2027-03-01T09:00:00Z') };
let test: TestDatabase;
let perform: Perform;
const siteId = anId();
const fire = anId();
const intrusion = anId();
const smoke = anId();

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  for (const id of [A, B]) await test.database.inCompany({ companyId: id, actorId: null }, (tx) => aCompany(tx, id));
  await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aUser(tx, A, { role: 'owner' });
    await aSite(tx, A, { id: siteId });
    await aSystem(tx, A, { id: fire, siteId, kind: 'fire', name: 'Fire', installedOn: day('2026-06-01') });
    await aSystem(tx, A, { id: intrusion, siteId, kind: 'intrusion', installedOn: null });
    await aDevice(tx, A, { id: smoke, systemId: fire, kind: 'smoke', link: 'wired', label: 'Hall smoke', installedOn: day('2026-06-01') });
  });
});
afterAll(() => test.drop());

const rule = (key: string, over: object = {}) => ({
  key, title: `Rule ${key}`, subject: 'system', applies: {}, cadence: { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 15 } }, basis: 'commissioning',
  checkKinds: ['visual-inspection'], meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B', minutes: 30, skills: ['fire'], licences: [], by: 'technician', remotely: false, sounds: false,
  mandated: true, reminderStagesDays: [30], source: { clause: 'company practice', provenance: 'company rule' }, ...over,
});
const body = (rules: object[], over: object = {}) => ({
  key: 'house-fire', title: 'House fire rule', regime: { kind: 'company', name: 'House rule', edition: '1' }, systemKinds: ['fire'], caution: 'Ours.', source: 'company rule', checkedOn: null, rules, ...over,
});

describe('the library', () => {
  it('shows every programme with its caution and where each rule comes from, and what is adopted', async () => {
    const { rows, caution } = await perform(libraryProgrammes, who, {});
    expect(rows.length).toBeGreaterThan(6);
    for (const programme of rows) {
      expect(programme.caution).toContain(caution);
      expect(programme.rules.every((one) => one.clause !== '' && one.provenance !== '')).toBe(true);
    }
    expect(rows.every((programme) => programme.adoptedId === null)).toBe(true);
    const id = anId();
    expect(await perform(adoptProgramme, who, { id, libraryKey: rows[0]!.key })).toMatchObject({ id, version: 1 });
    expect((await perform(adoptProgramme, who, { id: anId(), libraryKey: rows[0]!.key })).id).toBe(id);
    expect((await perform(libraryProgrammes, who, {})).rows[0]!.adoptedId).toBe(id);
    expect((await perform(libraryProgrammes, stranger, {})).rows[0]!.adoptedId).toBeNull();
    await expect(perform(adoptProgramme, who, { id, libraryKey: rows[1]!.key })).rejects.toMatchObject({ problem: 'IdReused' });
    await expect(perform(adoptProgramme, who, { id: anId(), libraryKey: 'nowhere' })).rejects.toMatchObject({ problem: 'NotFound' });
  });
});

describe('a programme of the company', () => {
  const first = anId();
  const second = anId();
  it('is refused with the path of each part that is wrong, and nothing is kept', async () => {
    const wrong = perform(saveProgramme, who, { id: anId(), body: body([rule('a', { minutes: -1 })]), basedOn: null, dryRun: false });
    await expect(wrong).rejects.toMatchObject({ problem: 'BadInput', more: { errors: [{ path: 'body.rules.0.minutes' }] } });
    // Checks that the catalogue does not have, or that are done on another subject, could never meet the duty.
    const unmet = (checkKinds: string[]) => perform(saveProgramme, who, { id: anId(), body: body([rule('a'), rule('b', { checkKinds })]), basedOn: null, dryRun: true });
    await expect(unmet(['no-such-check'])).rejects.toMatchObject({ problem: 'BadInput', more: { errors: [{ path: 'body.rules.1.checkKinds', message: expect.stringContaining('no check of the catalogue') }] } });
    await expect(unmet(['smoke-functional'])).rejects.toMatchObject({ more: { errors: [{ message: expect.stringContaining('done on a device') }] } });
    expect((await perform(listProgrammes, who, { search: 'house', allVersions: true })).rows).toEqual([]);
  });

  it('is saved in versions that are never edited; the caution of the library always stands', async () => {
    const saved = await perform(saveProgramme, who, { id: first, body: body([rule('yearly'), rule('smoke', { subject: 'device', applies: { deviceKinds: ['smoke'] }, checkKinds: ['smoke-functional'] })]), basedOn: null, dryRun: false });
    expect(saved).toMatchObject({ version: 1, changes: null });
    expect((await perform(showProgramme, who, { programmeId: first })).caution).toMatch(/Local codes.*prevail/);
    await expect(perform(showProgramme, stranger, { programmeId: first })).rejects.toMatchObject({ problem: 'NotFound' });
  });

  it('a dry run counts and writes nothing', async () => {
    const dry = await perform.bulk(applyProgramme, who, { programmeId: first, systems: {}, from: '2027-01-01', dryRun: true });
    expect(dry).toMatchObject({ dryRun: true, systems: 1, sites: 1, duties: { added: 2, moved: 0, removed: 0, kept: 0, cantTell: 0 }, skipped: 1 });
    expect(dry.skippedSystems[0]).toMatchObject({ systemId: intrusion, reason: expect.stringContaining('kind intrusion') });
    expect((await perform(programmeSystems, who, { programmeId: first, limit: 10, offset: 0 })).total).toBe(0);
  });

  it('laid on, it gives duties with windows at once; laid on again it changes nothing; another company reaches nothing', async () => {
    const done = await perform.bulk(applyProgramme, who, { programmeId: first, systems: {}, from: '2027-01-01', dryRun: false });
    expect(done).toMatchObject({ systems: 1, standingReady: true, duties: { added: 2 } });
    const again = await perform.bulk(applyProgramme, who, { programmeId: first, systems: {}, from: '2027-02-01', dryRun: false });
    expect(again).toMatchObject({ systems: 0, duties: { added: 0 }, skipped: 2 });
    await expect(perform.bulk(applyProgramme, stranger, { programmeId: first, systems: {}, from: '2027-01-01', dryRun: false })).rejects.toMatchObject({ problem: 'NotFound' });
    const { rows } = await perform(programmeSystems, who, { programmeId: first, limit: 10, offset: 0, search: 'ostrel' });
    expect(rows).toMatchObject([{ systemId: fire, version: 1, validFrom: '2027-01-01', validTo: null, duties: 2 }]);
    const windows = await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.sql<{ opens: string }>('select opens::text from duty_window'));
    expect(windows.map((window) => window.opens)).toEqual(['2027-03-01', '2027-03-01']);
  });

  it('takes in what was fitted since, and ends what was removed', async () => {
    const added = anId();
    await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
      await aDevice(tx, A, { id: added, systemId: fire, kind: 'smoke', link: 'wired', label: 'Loft smoke', installedOn: day('2027-02-10') });
      await tx.db.device.update({ where: { companyId_id: { companyId: A, id: smoke } }, data: { removedOn: day('2027-02-10') } });
    });
    const counted = await perform.bulk(applyProgramme, who, { programmeId: first, systems: { systemIds: [fire] }, from: '2027-02-10', dryRun: true });
    expect(counted).toMatchObject({ systems: 1, duties: { added: 1, removed: 1, kept: 1 } });
    clock.now = new Date('2027-02-10T09:00:00Z');
    // As after an import: every laid programme at once, and a second run finds nothing to do.
    expect(await perform.bulk(updateLaidProgrammes, who, {})).toEqual({ programmes: 1, added: 1, removed: 1 });
    expect(await perform.bulk(updateLaidProgrammes, who, {})).toEqual({ programmes: 1, added: 0, removed: 0 });
    expect(await perform.bulk(updateLaidProgrammes, stranger, {})).toEqual({ programmes: 0, added: 0, removed: 0 });
    clock.now = new Date('2027-03-01T09:00:00Z');
  });

  it('a new version shows its difference, moves the duties whose cadence changed, and the old one keeps its past', async () => {
    const changed = body([rule('yearly', { cadence: { kind: 'since-last', min: { months: 4 }, nominal: { months: 6 }, max: { months: 8 } } }), rule('extra', { cadence: { kind: 'once-per', period: 'month', minGapDays: 0 } })]);
    const dry = await perform(saveProgramme, who, { id: second, body: changed, basedOn: first, dryRun: true });
    expect(dry).toMatchObject({ version: 2, dryRun: true, changes: { added: ['Rule extra'], removed: ['Rule smoke'], moves: ['yearly'] } });
    await expect(perform(saveProgramme, who, { id: second, body: changed, basedOn: null, dryRun: false })).rejects.toMatchObject({ problem: 'Stale' });
    await perform(saveProgramme, who, { id: second, body: changed, basedOn: first, dryRun: false });
    expect((await perform(saveProgramme, who, { id: second, body: changed, basedOn: first, dryRun: false })).version).toBe(2);
    // What the change does to the fleet, rule by rule, before it is applied; the dry run writes nothing.
    const counted = await perform.bulk(applyProgramme, who, { programmeId: second, systems: { laidOnly: true }, from: '2027-03-01', dryRun: true });
    expect(counted).toMatchObject({ systems: 1, skipped: 0, duties: { added: 1, moved: 1, removed: 1, kept: 0 } });
    expect(Object.fromEntries(counted.byRule.map((one) => [one.ruleKey, [one.added, one.moved, one.removed, one.kept]]))).toEqual({ extra: [1, 0, 0, 0], yearly: [0, 1, 0, 0], smoke: [0, 0, 1, 0] });
    expect((await perform(programmeSystems, who, { programmeId: second, limit: 10, offset: 0 })).total).toBe(0);
    const applied = await perform.bulk(applyProgramme, who, { programmeId: second, systems: {}, from: '2027-03-01', dryRun: false });
    expect(applied).toMatchObject({ systems: 1, skipped: 1, duties: { added: 1, moved: 1, removed: 1, kept: 0 } });
    const duties = await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.duty.findMany({ where: { ruleKey: 'yearly' }, orderBy: { validFrom: 'asc' } }));
    expect(duties.map((duty) => [duty.validFrom.toISOString().slice(0, 10), duty.validTo?.toISOString().slice(0, 10) ?? null])).toEqual([['2027-01-01', '2027-02-28'], ['2027-03-01', null]]);
    const shown = await perform(showDuty, who, { dutyId: duties[1]!.id });
    expect(shown).toMatchObject({ programmeVersion: 2, caution: expect.stringMatching(/prevail/), clause: 'company practice' });
    expect(shown.windows.length).toBe(1);
    await expect(perform(showDuty, stranger, { dutyId: duties[1]!.id })).rejects.toMatchObject({ problem: 'NotFound' });
  });

  it('retired after a day, it owes nothing from then on and its history stays', async () => {
    const dry = await perform.bulk(retireProgramme, who, { programmeId: second, systems: {}, lastDay: '2027-03-31', dryRun: true });
    expect(dry).toMatchObject({ systems: 1, duties: { added: 0, moved: 0, removed: 2, kept: 0 }, dryRun: true, bare: 1, bareSystems: [{ systemId: fire }] });
    expect(dry.byRule.reduce((sum, one) => sum + one.removed, 0)).toBe(2);
    // Another programme on the same system stays: then nothing is left bare.
    const other = anId();
    await perform(saveProgramme, who, { id: other, body: body([rule('other')], { key: 'other-fire' }), basedOn: null, dryRun: false });
    await perform.bulk(applyProgramme, who, { programmeId: other, systems: {}, from: '2027-02-01', dryRun: false });
    expect(await perform.bulk(retireProgramme, who, { programmeId: second, systems: {}, lastDay: '2027-03-31', dryRun: true })).toMatchObject({ duties: { removed: 2, kept: 1 }, bare: 0, bareSystems: [] });
    await perform.bulk(retireProgramme, who, { programmeId: second, systems: {}, lastDay: '2027-03-31', dryRun: false });
    const windows = await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.sql<{ governsTo: string | null }>(`select w.governs_to::text as "governsTo" from duty_window w join duty d on d.id = w.duty_id where d.valid_to = date '2027-03-31'`));
    expect(windows.length).toBeGreaterThan(0);
    expect(windows.every((window) => window.governsTo !== null && window.governsTo <= '2027-03-31')).toBe(true);
    expect((await perform.bulk(retireProgramme, who, { programmeId: second, systems: {}, lastDay: '2027-03-31', dryRun: false })).systems).toBe(0);
  });
});
