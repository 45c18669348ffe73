import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aBattery, aCompany, aDevice, anAccount, anId, aPath, aSite, aSystem, cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { createPerform, type Perform, type Who } from '../perform.js';
import { addBlackout } from './add-blackout.js';
import { editSite } from './edit-site.js';
import { keepContact } from './keep-contact.js';
import { listSites } from './list-sites.js';
import { removeBlackout } from './remove-blackout.js';
import { showSite } from './show-site.js';

const [A, B] = [anId(), anId()];
const who: Who = { companyId: A, userId: null, name: 'Dana', role: 'dispatcher', technicianId: null };
const other: Who = { ...who, companyId: B };
let test: TestDatabase;
let perform: Perform;
let siteId: string;

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, { now: () => new Date('2027-03-01T09:00:00Z'), newId: anId, sha256: (text) => createHash('sha256').update(text).digest('hex'), seed: () => 1 });
  await test.database.inCompany({ companyId: B, actorId: null }, (tx) => aCompany(tx, B));
  await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    siteId = (await aSite(tx, A, { name: 'Ostrel primary school' })).id;
    const system = await aSystem(tx, A, { siteId });
    await aDevice(tx, A, { systemId: system.id });
    await aBattery(tx, A, { systemId: system.id });
    await aPath(tx, A, { systemId: system.id });
    await anAccount(tx, A, { siteId, number: '700123' });
    await aSite(tx, A, { name: 'Vexley yard', occupancy: 'warehouse', lat: null, lon: null });
  });
});
afterAll(() => test.drop());

describe('sites', () => {
  it('are found by name, client and account number, with the count of all', async () => {
    const all = await perform(listSites, who, { limit: 1, offset: 0 });
    expect([all.total, all.rows.length]).toEqual([2, 1]);
    expect((await perform(listSites, who, { search: '700123', limit: 10, offset: 0 })).rows).toMatchObject([{ name: 'Ostrel primary school', systems: ['intrusion'], accounts: ['700123'], placed: true }]);
    expect((await perform(listSites, who, { search: 'vexLEY', limit: 10, offset: 0 })).rows).toMatchObject([{ placed: false }]);
  });

  it('one site carries all that is installed there; another company\'s is not found', async () => {
    const site = await perform(showSite, who, { siteId });
    expect(site).toMatchObject({ client: { name: 'Ostrel school board' }, accounts: [{ number: '700123' }], systems: [{ devices: [{ label: 'Hall motion' }], batteries: [{ ratedMah: 7000, madeOn: '2023-11-01' }], paths: [{ technology: 'cellular' }] }] });
    for (const act of [() => perform(showSite, other, { siteId }), () => perform(showSite, who, { siteId: anId() })]) await expect(act()).rejects.toMatchObject({ problem: 'NotFound', detail: 'There is no site by that id.' });
  });

  it('an edit names what it was made from; the second of two is refused', async () => {
    const site = await perform(showSite, who, { siteId });
    expect(site.environment).toBeNull();
    const edit = { siteId, version: site.version, environment: 'harsh' as const, accessHours: [{ weekday: 1, from: '08:00', to: '12:00' }], noiseHours: null, accessNotes: 'Ring twice', notes: null };
    const changed = await perform(editSite, who, edit);
    expect(changed).toMatchObject({ accessHours: [{ weekday: 1, from: '08:00', to: '12:00' }], accessNotes: 'Ring twice', environment: 'harsh' });
    const { environment: _, ...rest } = edit;
    expect(await perform(editSite, who, { ...rest, version: changed.version })).toEqual(changed);
    await expect(perform(editSite, who, edit)).rejects.toMatchObject({ problem: 'Stale' });
    await expect(perform(editSite, other, { ...edit, version: changed.version })).rejects.toMatchObject({ problem: 'NotFound' });
  });

  it('closed days are added once, and taken away; people of the site are kept', async () => {
    const days = { siteId, id: anId(), kind: 'noise' as const, fromDay: '2027-03-22', toDay: '2027-04-02', reason: 'exams', authority: 'the school' };
    const added = await perform(addBlackout, who, days);
    expect(added.blackouts).toEqual([{ id: days.id, kind: 'noise', fromDay: '2027-03-22', toDay: '2027-04-02', reason: 'exams', authority: 'the school' }]);
    expect(await perform(addBlackout, who, days)).toEqual(added);
    await expect(perform(addBlackout, who, { ...days, reason: 'other' })).rejects.toMatchObject({ problem: 'IdReused' });
    await expect(perform(removeBlackout, other, { siteId, blackoutId: days.id })).rejects.toMatchObject({ problem: 'NotFound' });
    expect((await perform(removeBlackout, who, { siteId, blackoutId: days.id })).blackouts).toEqual([]);
    const person = { siteId, id: anId(), name: 'Ines', roles: ['permits-entry' as const], email: null, phone: '1', language: null, validFrom: '2027-01-01', validTo: null };
    await perform(keepContact, who, person);
    expect((await perform(keepContact, who, { ...person, phone: '2' })).contacts).toMatchObject([{ name: 'Ines', phone: '2' }]);
  });
});
