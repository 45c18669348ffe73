import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, anId, aSite, aSystem, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { chooseSiteHolidays } from '../duties/choose-site-holidays.js';
import { showTogether } from '../duties/show-together.js';
import { addBlackout } from '../fleet/add-blackout.js';
import { createPerform, type Perform, type Who } from '../perform.js';
import { applyProgramme } from '../programmes/apply-programme.js';
import { saveProgramme } from '../programmes/save-programme.js';
import { nightlySweep } from './nightly-sweep.js';

// Scenario 19, its second half. Today is the first day of the window.
const clock = { now: new Date('2027-02-01T09:00:00Z') };
const companyId = anId();
const [seasonal, open] = [anId(), anId()];
const who: Who = { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
let test: TestDatabase;
let perform: Perform;

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId, { timeZone: 'Europe/Madrid' });
    for (const [siteId, name] of [[seasonal, 'Tarn Hollow lido'], [open, 'Vexley shop']] as const) {
      const systemId = anId();
      await aSite(tx, companyId, { id: siteId, name, timeZone: 'Europe/Madrid', accessHours: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '08:00', to: '18:00' })) });
      await aSystem(tx, companyId, { id: systemId, siteId, installedOn: null });
      const id = anId();
      await tx.db.check.create({ data: { companyId, id, bodyDigest: id, siteId, systemId, subjectKind: 'system', subjectId: systemId, checkKind: 'visual-inspection', performedOn: day('2026-03-10'), performedAt: new Date('2026-03-10T10:00:00Z'), recordedAt: new Date('2026-03-10T10:00:00Z'), verdict: 'pass', reason: 'seen', evidence: 'B', source: 'field' } });
    }
  });
  await perform(addBlackout, who, { siteId: seasonal, id: anId(), kind: 'season', fromDay: '2026-11-01', toDay: '2027-03-31', reason: 'shut for the winter', authority: 'owner' });
  const programmeId = anId();
  await perform(saveProgramme, who, { id: programmeId, basedOn: null, dryRun: false, body: { key: 'due-march', title: 'Due March', regime: { kind: 'company', name: 'Example world', edition: '' }, systemKinds: ['intrusion', 'fire'], caution: 'Example.', source: 'company rule', checkedOn: null,
    rules: [{ key: 'annual', title: 'Yearly check', subject: 'system', applies: {}, cadence: { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } }, basis: 'none', checkKinds: ['visual-inspection'], meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B',
      minutes: 30, skills: [], licences: [], by: 'technician', remotely: false, sounds: false, mandated: true, reminderStagesDays: [30], source: { clause: 'example', provenance: 'company rule' } }] } });
  await perform.bulk(applyProgramme, who, { programmeId, from: '2026-06-01', systems: {}, dryRun: false });
});
afterAll(() => test.drop());

describe('scenario 19: seasonal, shut 1 Nov to 31 Mar, window 2027-02-01 to 04-30', () => {
  const together = () => perform(showTogether, who, { siteId: seasonal, aheadDays: 120 });
  it('usable 1 to 30 April: 22 weekdays; the limiting rule of each edge is named', async () => {
    const { windows, visits } = await together();
    expect(windows.map((one) => [one.opens, one.lapses])).toEqual([['2027-02-01', '2027-04-30']]);
    expect(visits).toHaveLength(1);
    expect([visits[0]!.days.length, visits[0]!.days[0], visits[0]!.days.at(-1)]).toEqual([22, '2027-04-01', '2027-04-30']);
    expect(visits[0]!.notBefore.rule).toBe('shut for the winter');
    expect(visits[0]!.notAfter.rule).toMatch(/lapses 30 Apr 2027$/);
  });
  it('less the public holidays of the calendar: 23 April where it is one', async () => {
    await perform(chooseSiteHolidays, who, { siteId: seasonal, region: 'ES-CL' });
    const { visits } = await together();
    expect(visits[0]!.days).toHaveLength(21);
    expect(visits[0]!.days).not.toContain('2027-04-23');
  });
  it('[REM-4] a reminder in February, once, with the days that can be used; a site that is open then has none yet', async () => {
    expect(await perform(nightlySweep, who, { day: '2027-02-01' })).toMatchObject({ reminders: 1, messages: 1 });
    for (const night of ['2027-02-02', '2027-02-28']) expect(await perform(nightlySweep, who, { day: night })).toMatchObject({ reminders: 0 });
    const [mail] = await test.database.inCompany({ companyId, actorId: null }, (tx) => tx.db.message.findMany());
    expect(mail!.siteId).toBe(seasonal);
    expect(mail!.body).toContain('because of the closure (shut for the winter) it can only be done from Thu 1 Apr 2027 to Fri 30 Apr 2027');
    // From four weeks before the lapse both are spoken of as usual.
    expect(await perform(nightlySweep, who, { day: '2027-04-02' })).toMatchObject({ reminders: 2 });
  });
});
