import { aCompany, aDevice, anId, aPath, aSite, aSystem, aUser, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { PickShown } from '@bellround/contracts';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPerform, type Perform, type Who } from '../perform.js';
import { applyProgramme } from '../programmes/apply-programme.js';
import { saveProgramme } from '../programmes/save-programme.js';
import { createVisit } from './create-visit.js';
import { showPick } from './show-pick.js';
import { showVisit } from './show-visit.js';

let test: TestDatabase;
let perform: Perform;
let owner: Who;
const companyId = anId();
const [siteId, emptyId, systemId, contact, motion] = [anId(), anId(), anId(), anId(), anId()];
const rule = (key: string, checkKinds: string[]) => ({ key: key.replaceAll(' ', '-'), title: key, subject: 'device' as const, applies: {}, cadence: { kind: 'fixed-month' as const, everyMonths: 12, dueMonth: 2, dueDay: 'month-end' as const, early: { months: 1 }, late: { days: 31 } }, basis: 'commissioning' as const, checkKinds, meets: 'any' as const, completeWithinDays: 14, credits: 'working' as const, minEvidence: 'B' as const, minutes: 5, skills: [], licences: [], by: 'technician' as const, remotely: false, sounds: false, mandated: true, reminderStagesDays: [], source: { clause: 'example', provenance: 'company rule' } });

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt({ now: new Date('2027-03-01T09:00:00Z') }));
  const user = await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aSite(tx, companyId, { id: siteId });
    await aSite(tx, companyId, { id: emptyId });
    await aSystem(tx, companyId, { id: systemId, siteId, installedOn: day('2026-02-15') });
    await aPath(tx, companyId, { systemId });
    await aDevice(tx, companyId, { id: contact, systemId, kind: 'contact', link: 'wireless', label: 'Back door', room: null, installedOn: day('2026-02-15') });
    await aDevice(tx, companyId, { id: motion, systemId, kind: 'motion', link: 'wired', label: 'Hall', room: null, installedOn: day('2026-02-15') });
    return aUser(tx, companyId, { role: 'owner', name: 'Ann' });
  });
  owner = { companyId, userId: user.id, role: 'owner', name: 'Ann', technicianId: null };
  const programmeId = anId();
  const body = { key: 'yearly', title: 'Yearly', regime: { kind: 'company' as const, name: 'Example world', edition: '' }, systemKinds: ['intrusion' as const], caution: 'Example.', source: 'company rule', checkedOn: null, rules: [rule('acts', ['detector-actuation']), rule('acts or link', ['detector-actuation', 'wireless-margin'])] };
  await perform(saveProgramme, owner, { id: programmeId, basedOn: null, dryRun: false, body });
  await perform.bulk(applyProgramme, owner, { programmeId, systems: {}, from: '2027-01-01', dryRun: false });
});
afterAll(() => test.drop());

describe('[ACC-51] [ACC-52] the least checks for a pick of a site’s owed duties', () => {
  it('all that is owed: one check on each device meets both of its duties, nothing stays owed', async () => {
    const shown = await perform(showPick, owner, { siteId });
    expect(PickShown.parse(shown)).toEqual(shown);
    expect(shown.owed).toHaveLength(4);
    expect(shown.owed.every((one) => one.isPicked && one.isMet && one.lapses !== null)).toBe(true);
    expect(shown.checks.map((one) => [one.subjectName, one.checkKind, one.meets]).toSorted()).toEqual([['Back door', 'detector-actuation', 2], ['Hall', 'detector-actuation', 2]]);
    expect([shown.minutes, shown.isLeast, shown.unmet]).toEqual([shown.checks.reduce((sum, one) => sum + one.minutes, 0), true, []]);
  });

  it('one duty picked: its least check, what else that meets by the way, and what stays owed', async () => {
    const { owed } = await perform(showPick, owner, { siteId });
    const link = owed.find((one) => one.title === 'acts or link' && one.subjectName === 'Back door')!;
    const shown = await perform(showPick, owner, { siteId, dutyIds: [link.dutyId] });
    const [check] = shown.checks;
    expect(shown.checks).toHaveLength(1);
    // Whichever of the two takes less time; only an actuation would meet the other duty of the door too.
    expect(shown.owed.filter((one) => one.isMet).map((one) => one.title).toSorted()).toEqual(check!.checkKind === 'detector-actuation' ? ['acts', 'acts or link'] : ['acts or link']);
    expect(shown.owed.filter((one) => one.isPicked).map((one) => one.dutyId)).toEqual([link.dutyId]);
    const none = await perform(showPick, owner, { siteId, dutyIds: [] });
    expect([none.checks, none.minutes, none.owed.filter((one) => one.isMet)]).toEqual([[], 0, []]);
  });

  it('a visit made of the pick asks for just those checks and putting back', async () => {
    const { owed, checks } = await perform(showPick, owner, { siteId });
    const made = await perform(createVisit, owner, { id: anId(), siteId, kind: 'programme', pick: 'chosen', dutyIds: owed.map((one) => one.dutyId), deficiencyIds: [], persons: 1 });
    const { toDo } = await perform(showVisit, owner, { visitId: made.id });
    expect(toDo.map((one) => `${one.checkKind} ${one.subjectId}`).filter((one) => !one.startsWith('restore')).toSorted()).toEqual(checks.map((one) => `${one.checkKind} ${one.subjectId}`).toSorted());
  });

  it('a site that owes nothing; another company’s site does not exist', async () => {
    expect(await perform(showPick, owner, { siteId: emptyId })).toMatchObject({ owed: [], checks: [], minutes: 0 });
    await expect(perform(showPick, { ...owner, companyId: anId() }, { siteId })).rejects.toThrow(/NotFound/);
  });
});
