import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, anId, aTechnician, cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { createPerform, type Perform, type Who } from '../perform.js';
import { addAbsence } from './add-absence.js';
import { editTechnician } from './edit-technician.js';
import { keepLicence } from './keep-licence.js';
import { listTechnicians } from './list-technicians.js';
import { removeAbsence } from './remove-absence.js';
import { showTechnician } from './show-technician.js';

const [A, B] = [anId(), anId()];
const who: Who = { companyId: A, userId: null, name: 'Dana', role: 'dispatcher', technicianId: null };
const other: Who = { ...who, companyId: B };
let test: TestDatabase;
let perform: Perform;
let technicianId: string;
let now = new Date('2027-03-12T22:30:00Z');

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, { now: () => now, newId: anId, sha256: (text) => createHash('sha256').update(text).digest('hex'), seed: () => 1 });
  await test.database.inCompany({ companyId: B, actorId: null }, (tx) => aCompany(tx, B));
  technicianId = await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => { await aCompany(tx, A); return (await aTechnician(tx, A, { name: 'Mirel' })).id; });
});
afterAll(() => test.drop());

describe('technicians', () => {
  it('a licence is valid through its last day by the technician\'s own calendar; without one nobody can tell', async () => {
    const kept = await perform(keepLicence, who, { technicianId, id: anId(), kind: 'fire', number: null, body: null, validFrom: null, validTo: '2027-03-12' });
    expect(kept.licences).toMatchObject([{ kind: 'fire', valid: 'valid', daysLeft: 0 }]);
    now = new Date('2027-03-12T23:30:00Z'); // half past midnight of the 13th in Madrid
    expect((await perform(showTechnician, who, { technicianId })).licences).toMatchObject([{ valid: 'ended', daysLeft: -1 }]);
    const renewed = await perform(keepLicence, who, { technicianId, id: anId(), kind: 'fire', number: 'L-2', body: null, validFrom: '2027-03-20', validTo: '2029-03-12' });
    expect(renewed.licences).toMatchObject([{ number: 'L-2', valid: 'not-yet' }]);
    expect((await perform(keepLicence, who, { technicianId, id: anId(), kind: 'work-at-height', number: null, body: null, validFrom: null, validTo: null })).licences[1]).toMatchObject({ valid: 'cant-tell', daysLeft: null });
  });

  it('absences are added once and taken away; skills are edited from what was shown', async () => {
    const away = { technicianId, id: anId(), fromDay: '2027-03-15', toDay: '2027-03-19', reason: 'leave' };
    const added = await perform(addAbsence, who, away);
    expect(added.absences).toEqual([{ id: away.id, fromDay: '2027-03-15', toDay: '2027-03-19', reason: 'leave' }]);
    expect(await perform(addAbsence, who, away)).toEqual(added);
    await expect(perform(addAbsence, who, { ...away, toDay: '2027-03-20' })).rejects.toMatchObject({ problem: 'IdReused' });
    await expect(perform(removeAbsence, other, { technicianId, absenceId: away.id })).rejects.toMatchObject({ problem: 'NotFound' });
    expect((await perform(removeAbsence, who, { technicianId, absenceId: away.id })).absences).toEqual([]);
    const edit = { technicianId, version: added.version, skills: ['intrusion', 'fire', 'fire'], shifts: [{ weekday: 1, from: '07:00', to: '15:00', breakMin: 30 }], pairOnly: true, maxOvertimeMin: 0 };
    expect(await perform(editTechnician, who, edit)).toMatchObject({ skills: ['fire', 'intrusion'], shifts: edit.shifts, pairOnly: true });
    await expect(perform(editTechnician, who, edit)).rejects.toMatchObject({ problem: 'Stale' });
  });

  it('are listed by name or skill, for their own company only', async () => {
    expect((await perform(listTechnicians, who, { search: 'fire', limit: 10, offset: 0 })).rows).toMatchObject([{ name: 'Mirel' }]);
    expect((await perform(listTechnicians, other, { limit: 10, offset: 0 })).total).toBe(0);
    await expect(perform(showTechnician, other, { technicianId })).rejects.toMatchObject({ problem: 'NotFound', detail: 'There is no technician by that id.' });
  });
});
