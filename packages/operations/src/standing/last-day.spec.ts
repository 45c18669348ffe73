import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accessLines, capacityDemand, dueReminders, dueWindows, dutiesOwedOn, dutiesToPlan, lapsingDuties, overdueLines, overduePage, plannedProofs, squeezeLines, standingPage, unprovenSites, windowsOn, lapsedSites, type Tx } from '@bellround/database';
import { aCompany, anId, aSite, aSystem, aWindow, cloneDatabase, day, EPOCH, type TestDatabase } from '@bellround/database/testing';

// [REC-46] One duty whose window governs, and which is owed, to 9 March 2027; another that lapsed on the 4th; one that nobody can tell of.
const LAST = '2027-03-09';
const AFTER = '2027-03-10';
const companyId = anId();
let test: TestDatabase;
const duty: Record<'open' | 'lapsed' | 'untold', string> = { open: anId(), lapsed: anId(), untold: anId() };
const site: Record<'open' | 'lapsed' | 'untold', string> = { open: anId(), lapsed: anId(), untold: anId() };
const inside = <T>(ask: (tx: Tx) => Promise<T>) => test.database.inCompany({ companyId, actorId: null }, ask);

beforeAll(async () => {
  test = await cloneDatabase();
  await inside(async (tx) => {
    await aCompany(tx, companyId);
    const programme = await tx.db.programme.create({ data: { companyId, id: anId(), key: 'p', version: 1, title: 'P', body: {}, createdAt: EPOCH } });
    for (const [name, lapses] of [['open', '2027-03-20'], ['lapsed', '2027-03-04'], ['untold', '2027-03-20']] as const) {
      await aSite(tx, companyId, { id: site[name], name });
      await tx.db.contact.create({ data: { companyId, id: anId(), siteId: site[name], name: 'Keyholder', roles: ['permits-entry'], email: 'key@example.com', validFrom: day('2026-01-01'), validTo: day(LAST) } });
      const system = await aSystem(tx, companyId, { siteId: site[name] });
      const application = await tx.db.programmeApplication.create({ data: { companyId, id: anId(), programmeId: programme.id, systemId: system.id, validFrom: day('2026-01-01'), appliedAt: EPOCH } });
      await tx.db.duty.create({ data: { companyId, id: duty[name], applicationId: application.id, siteId: site[name], systemId: system.id, subjectKind: 'system', subjectId: system.id, ruleKey: 'annual', title: name, regime: 'company', mandated: true,
        cadence: { kind: 'since-last', min: { months: 10 }, nominal: { months: 12 }, max: { months: 14 } }, checkKinds: ['x'], minutes: 30, skills: [], licences: [], validFrom: day('2026-01-01'), validTo: day(LAST) } });
      await aWindow(tx, { dutyId: duty[name], siteId: site[name], opens: '2027-02-01', due: '2027-03-04', lapses, governsFrom: '2026-01-01', governsTo: LAST, carried: name === 'untold' ? 'cant-tell' : 'proven' });
    }
  });
});
afterAll(() => test.drop());

const QUESTIONS: [string, (tx: Tx, on: string) => Promise<number>][] = [
  ['standing', async (tx, on) => (await standingPage(tx, on, { limit: 10, offset: 0 })).rows.reduce((sum, row) => sum + row.duties, 0)],
  ['what is overdue', async (tx, on) => (await overduePage(tx, on, { limit: 10, offset: 0 })).length],
  ['what cannot be told', async (tx, on) => (await unprovenSites(tx, on, 10)).length],
  ['reminders', async (tx, on) => (await dueReminders(tx, on, [30])).length],
  ['whom to ask for access', async (tx, on) => (await accessLines(tx, [site.open], on)).filter((line) => line.name === 'Keyholder').length],
  ['the weekly letter of what is overdue', async (tx, on) => (await overdueLines(tx, on)).length],
  ['the week to plan', async (tx, on) => (await dutiesToPlan(tx, on, on, on)).length],
  ['what is about to lapse', async (tx, on) => (await lapsingDuties(tx, on, '2027-03-31', 10)).length],
  ['what a squeeze must hold', async (tx, on) => (await squeezeLines(tx, on, on, '2027-03-31')).length],
  ['sites past holding', (tx, on) => lapsedSites(tx, on)],
  ['hours owed', async (tx, on) => (await capacityDemand(tx, on, '2027-03-08')).length],
  ['the calendar of what is due', async (tx, on) => (await dueWindows(tx, null, on, '2027-12-31', 10)).length],
  ['a visit: the window of a duty', async (tx, on) => (await windowsOn(tx, Object.values(duty), on)).length],
  ['a visit: what the site owes', async (tx, on) => (await dutiesOwedOn(tx, site.open, on)).length],
];

describe('[REC-46] the last day counts, the day after does not', () => {
  it.each(QUESTIONS)('%s', async (_, ask) => {
    const [last, after] = await inside(async (tx) => [await ask(tx, LAST), await ask(tx, AFTER)]);
    expect([last > 0, after]).toEqual([true, 0]);
  });

  it('exposure: the next proof that is due', async () => {
    const ask = (on: string) => inside((tx) => plannedProofs(tx, site.untold, on, 5));
    await inside((tx) => tx.sql(`update duty_timeline set due = '2027-03-15', packed[2] = day_number('2027-03-15') where duty_id = $1::uuid`, [duty.untold]));
    expect([(await ask(LAST)).map((one) => one.on), await ask(AFTER)]).toEqual([['2027-03-15'], []]);
  });
});
