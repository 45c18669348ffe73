import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, anAccount, anId, aPath, aSite, aSystem, cloneDatabase, day, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { createPerform, type Perform, type Who } from '../perform.js';
import { renewStanding } from '../renew-standing.js';
import { applyProgramme } from '../programmes/apply-programme.js';
import { saveProgramme } from '../programmes/save-programme.js';
import { showDuty } from '../programmes/show-duty.js';
import { addBlackout } from '../fleet/add-blackout.js';
import { removeBlackout } from '../fleet/remove-blackout.js';
import { siteStanding } from '../standing/site-standing.js';
import { addClosedDays } from './add-closed-days.js';
import { chooseHolidays } from './choose-holidays.js';
import { chooseSiteHolidays } from './choose-site-holidays.js';
import { dutiesDue } from './duties-due.js';
import { listHolidayRegions } from './list-holiday-regions.js';
import { planCatchUp } from './plan-catch-up.js';
import { readHistory } from './read-history.js';
import { removeClosedDays } from './remove-closed-days.js';
import { showClosedDays } from './show-closed-days.js';
import { showTogether } from './show-together.js';
import { yearsAhead } from './years-ahead.js';

const clock = { now: new Date('2027-03-01T09:00:00Z') };
let test: TestDatabase;
let perform: Perform;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
});
afterAll(() => test.drop());

async function aWorld(): Promise<Who> {
  const companyId = anId();
  await test.database.inCompany({ companyId, actorId: null }, (tx) => aCompany(tx, companyId, { timeZone: 'Europe/Madrid' }));
  return { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
}
const inside = <T>(who: Who, act: Parameters<TestDatabase['database']['inCompany']>[1]) => test.database.inCompany({ companyId: who.companyId, actorId: null }, act) as Promise<T>;
const hours = (weekdays: number[], from = '08:00', to = '18:00') => weekdays.map((weekday) => ({ weekday, from, to }));

async function aPlace(who: Who, over: Parameters<typeof aSite>[2] = {}) {
  const siteId = anId();
  const systemId = anId();
  await inside(who, async (tx) => {
    await aSite(tx, who.companyId, { id: siteId, timeZone: 'Europe/Madrid', accessHours: hours([1, 2, 3, 4, 5]), ...over });
    await aSystem(tx, who.companyId, { id: systemId, siteId, installedOn: null });
  });
  return { siteId, systemId };
}
async function laid(who: Who, siteId: string, systemId: string, key: string, cadence: object, from: string, lastGood: string | null, rule: object = {}) {
  const id = anId();
  const checkKind = (rule as { checkKinds?: string[] }).checkKinds?.[0] ?? 'visual-inspection';
  if (lastGood) {
    const checkId = anId();
    await inside(who, (tx) => tx.db.check.create({ data: { companyId: who.companyId, id: checkId, bodyDigest: checkId, siteId, systemId, subjectKind: 'system', subjectId: systemId, checkKind, performedOn: day(lastGood),
      performedAt: new Date(`${lastGood}T10:00:00Z`), recordedAt: new Date(`${lastGood}T10:05:00Z`), verdict: 'pass', computedVerdict: 'pass', reason: 'all seen', evidence: 'B', source: 'field' } }));
  }
  await perform(saveProgramme, who, { id, basedOn: null, dryRun: false, body: {
    key: `${key.replaceAll(' ', '-')}-${id.slice(-6)}`, title: `Rule of ${key}`, regime: { kind: 'company', name: key, edition: '' }, systemKinds: ['intrusion', 'fire'], caution: 'Example.', source: 'company rule', checkedOn: null,
    rules: [{ key: 'the-rule', title: 'whole check', subject: 'system', applies: {}, cadence, basis: 'none', checkKinds: [checkKind], meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B',
      minutes: 30, skills: [], licences: [], by: 'technician', remotely: false, sounds: true, mandated: true, reminderStagesDays: [30], source: { clause: 'example', provenance: 'company rule' }, ...rule }],
  } });
  await perform.bulk(applyProgramme, who, { programmeId: id, from, systems: { siteIds: [siteId] }, dryRun: false });
  return id;
}
const ANNUAL = { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 15 } };

describe('scenario 3: three authorities and exams', () => {
  let who: Who;
  let siteId: string;
  beforeAll(async () => {
    who = await aWorld();
    const place = await aPlace(who, { name: 'Ostrel primary school', occupancy: 'school' });
    siteId = place.siteId;
    await laid(who, siteId, place.systemId, 'fire authority', { kind: 'since-last', min: { days: 275 }, nominal: { days: 365 }, max: { days: 365 } }, '2026-12-01', '2026-04-10');
    await laid(who, siteId, place.systemId, 'certification body', { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } }, '2026-12-01', '2026-03-20', { checkKinds: ['indicators-keys'] });
    await laid(who, siteId, place.systemId, 'insurer', { kind: 'once-per', period: 'half-year', minGapDays: 120 }, '2026-12-01', '2026-11-20', { checkKinds: ['mains-supply'] });
  });
  it('without the exams the shared days end at the fire authority\'s lapse and begin at the insurer\'s opening', async () => {
    const shown = await perform(showTogether, who, { siteId, aheadDays: 120 });
    expect(shown.windows.map((one) => [one.regime, one.opens, one.lapses])).toEqual([['fire authority', '2027-03-01', '2027-04-10'], ['certification body', '2027-03-01', '2027-04-30'], ['insurer', '2027-03-20', '2027-06-30']]);
    expect(shown.visits).toHaveLength(1);
    expect([shown.visits[0]!.days[0], shown.visits[0]!.days.at(-1)]).toEqual(['2027-03-22', '2027-04-09']);
    expect(shown.visits[0]!.notBefore.rule).toBe('insurer: whole check opens 20 Mar 2027');
    expect(shown.visits[0]!.notAfter.rule).toBe('fire authority: whole check lapses 10 Apr 2027');
    expect(shown.visits[0]!.minutes).toBe(25 + 90);
    expect(shown.split).toBeNull();
  });
  it('with the exams of all schools: 5 to 9 April only; the silent part from 22 March; each edge named', async () => {
    const id = anId();
    await perform(addClosedDays, who, { id, kind: 'noise', fromDay: '2027-03-22', toDay: '2027-04-02', reason: 'exams', authority: 'school council', occupancy: 'school' });
    const shown = await perform(showTogether, who, { siteId, aheadDays: 120 });
    expect(shown.visits).toHaveLength(1);
    expect(shown.visits[0]!.days).toEqual(['2027-04-05', '2027-04-06', '2027-04-07', '2027-04-08', '2027-04-09']);
    expect(shown.visits[0]).toMatchObject({ best: '2027-04-09', notBefore: { rule: 'no sounders: exams' }, notAfter: { rule: 'fire authority: whole check lapses 10 Apr 2027' } });
    expect(shown.visits[0]!.givenAway).toEqual([expect.objectContaining({ name: 'fire authority: whole check', days: 1 })]);
    expect(shown.split!.silent.days[0]).toBe('2027-03-22');
    expect(shown.split!.sounding.days).toEqual(shown.visits[0]!.days);
    await perform(removeClosedDays, who, { closedDaysId: id });
    expect((await perform(showTogether, who, { siteId, aheadDays: 120 })).split).toBeNull();
  });
  it('public holidays count: on Madrid\'s calendar the two days before Easter fall out', async () => {
    await perform(chooseHolidays, who, { region: 'es-md' });
    const shown = await perform(showTogether, who, { siteId, aheadDays: 120 });
    expect(shown.access.holidays).toBe('Spain, Comunidad de Madrid');
    expect(shown.visits[0]!.days).not.toContain('2027-03-26');
    expect(shown.visits[0]!.days).toHaveLength(13);
    await perform(chooseSiteHolidays, who, { siteId, region: 'none' });
    expect((await perform(showTogether, who, { siteId, aheadDays: 120 })).visits[0]!.days).toHaveLength(15);
    await expect(perform(chooseHolidays, who, { region: 'Spain' })).rejects.toThrow('"Spain" is no country or region');
  });
  it('a site closed until the lapse: the duty no day can meet is named with what a person can do; the pair that needs two visits too', async () => {
    const id = anId();
    await perform(addBlackout, who, { siteId, id, kind: 'closed', fromDay: '2027-03-01', toDay: '2027-04-16', reason: 'rebuilding', authority: 'owner' });
    const shown = await perform(showTogether, who, { siteId, aheadDays: 120 });
    expect(shown.cannotBeMet.map((one) => one.name)).toEqual(['fire authority: whole check']);
    expect(shown.cannotBeMet[0]!.why).toContain('rebuilding');
    expect(shown.cannotBeMet[0]!.waysOut.length).toBeGreaterThan(1);
    await perform(removeBlackout, who, { siteId, blackoutId: id });
    await perform(addBlackout, who, { siteId, id: anId(), kind: 'closed', fromDay: '2027-03-20', toDay: '2027-04-10', reason: 'rebuilding', authority: 'owner' });
    const apart = await perform(showTogether, who, { siteId, aheadDays: 120 });
    expect(apart.visits).toHaveLength(2);
    expect(apart.apart).toMatchObject({ first: 'fire authority: whole check', second: 'insurer: whole check', why: 'both are open from 20 Mar 2027 to 10 Apr 2027, but no day of that can be used' });
  });
  it('nobody else sees the site', async () => {
    const stranger = await aWorld();
    await expect(perform(showTogether, stranger, { siteId, aheadDays: 120 })).rejects.toMatchObject({ problem: 'NotFound' });
    await expect(perform(chooseSiteHolidays, stranger, { siteId, region: null })).rejects.toMatchObject({ problem: 'NotFound' });
    await expect(perform(yearsAhead, stranger, { siteId, years: 2, withinKm: 5, neighbours: 5, travelMinutes: 40, givenAwayMinutes: 0.5 })).rejects.toMatchObject({ problem: 'NotFound' });
    await expect(perform(dutiesDue, stranger, { siteId, days: 30 })).rejects.toMatchObject({ problem: 'NotFound' });
  });
});

describe('what the calendar does to standing', () => {
  it('a due day on a holiday is pulled back at once when the site\'s region changes, and after the background work for all', async () => {
    const who = await aWorld();
    const { siteId, systemId } = await aPlace(who);
    await laid(who, siteId, systemId, 'body', { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 26, early: { days: 20 }, late: { days: 20 } }, '2026-12-01', '2026-03-20');
    const due = async () => (await perform(siteStanding, who, { siteId })).duties[0]!.now!;
    expect(await due()).toMatchObject({ due: '2027-03-26', lapses: '2027-04-15' });
    await perform(chooseSiteHolidays, who, { siteId, region: 'PT' });
    expect(await due()).toMatchObject({ due: '2027-03-25', lapses: '2027-04-15' });
    await perform(chooseSiteHolidays, who, { siteId, region: null });
    await perform(chooseHolidays, who, { region: 'ES-MD' });
    expect(await inside(who, (tx) => tx.db.outboxJob.count({ where: { job: 'fleet-refresh' } }))).toBeGreaterThan(0);
    await renewStanding(perform, who);
    expect(await due()).toMatchObject({ due: '2027-03-24', lapses: '2027-04-15' });
    const blackoutId = anId();
    await perform(addBlackout, who, { siteId, id: blackoutId, kind: 'closed', fromDay: '2027-03-10', toDay: '2027-03-31', reason: 'roadworks', authority: 'town' });
    expect(await due()).toMatchObject({ due: '2027-03-09' });
    await perform(removeBlackout, who, { siteId, blackoutId });
    expect(await due()).toMatchObject({ due: '2027-03-24' });
  });
  it('a rule that owes a check on return: the window opens the day after the suspension and lapses 30 days after it; another goes on', async () => {
    const who = await aWorld();
    const { siteId, systemId } = await aPlace(who, { name: 'Holiday home' });
    await laid(who, siteId, systemId, 'strict', ANNUAL, '2026-12-01', '2026-12-10', { onReturn: 'check' });
    await laid(who, siteId, systemId, 'plain', ANNUAL, '2026-12-01', '2026-12-10', { checkKinds: ['indicators-keys'] });
    await perform(addBlackout, who, { siteId, id: anId(), kind: 'suspended', fromDay: '2027-01-10', toDay: '2027-02-20', reason: 'empty for the winter', authority: 'owner, letter of 5 Jan' });
    const windows = Object.fromEntries((await perform(siteStanding, who, { siteId })).duties.map((duty) => [duty.regime, [duty.now!.opens, duty.now!.lapses]]));
    expect(windows).toEqual({ strict: ['2027-02-21', '2027-03-22'], plain: ['2027-09-10', '2028-03-10'] });
    const suspended = await perform(showTogether, who, { siteId, asOf: '2027-02-01', aheadDays: 400 });
    expect(suspended.suspended).toContain('owner, letter of 5 Jan');
    expect(suspended.visits).toEqual([]);
    const back = await perform(showTogether, who, { siteId, aheadDays: 120 });
    expect(back.visits.map((one) => one.names)).toEqual([['strict: whole check']]);
    expect(back.leftOut.later).toBe(1);
  });
  it('shared days: told with the sites they bind; same id twice is the same; another body is refused', async () => {
    const who = await aWorld();
    await aPlace(who, { occupancy: 'school' });
    await aPlace(who, { occupancy: 'shop' });
    const days = { id: anId(), kind: 'closed' as const, fromDay: '2027-07-01', toDay: '2027-08-31', reason: 'summer break', authority: 'council', occupancy: 'school' as const };
    await perform(addClosedDays, who, days);
    expect((await perform(addClosedDays, who, days)).rows).toEqual([expect.objectContaining({ sites: 1, occupancy: 'school' })]);
    await expect(perform(addClosedDays, who, { ...days, toDay: '2027-09-01' })).rejects.toMatchObject({ problem: 'IdReused' });
    await expect(perform(removeClosedDays, await aWorld(), { closedDaysId: days.id })).rejects.toMatchObject({ problem: 'NotFound' });
    expect((await perform(removeClosedDays, who, { closedDaysId: days.id })).rows).toEqual([]);
    expect((await perform(chooseHolidays, who, { region: 'GB-SCT' })).holidays.length).toBeGreaterThan(5);
    expect(await perform(showClosedDays, who, {})).toMatchObject({ region: 'GB-SCT' });
    expect((await perform(listHolidayRegions, who, {})).rows).toContainEqual({ code: 'PT', words: 'Portugal' });
  });
});

describe('catching up, years ahead, calendar', () => {
  it('can\'t-tell sites by risk under a weekly capacity, with the week it ends; an unscored one first; suspended ones and sites without a programme apart', async () => {
    const who = await aWorld();
    const names = ['Calm', 'Middle', 'Grave', 'Unscored', 'Shut', 'Bare'];
    const ids = new Map<string, string>();
    for (const name of names) {
      const { siteId, systemId } = await aPlace(who, { name });
      ids.set(name, siteId);
      if (name !== 'Bare') await laid(who, siteId, systemId, 'house', ANNUAL, '2027-02-01', null, { minutes: 95 });
    }
    const modelId = anId();
    await inside(who, async (tx) => {
      await tx.db.riskModelVersion.create({ data: { companyId: who.companyId, id: modelId, fittedAt: clock.now, toDay: day('2027-03-01'), model: {} } });
      for (const [name, score] of [['Calm', 3], ['Middle', 20], ['Grave', 70]] as const) await tx.db.siteExposure.create({ data: { companyId: who.companyId, siteId: ids.get(name)!, modelId, scoredOn: day('2027-03-01'), exposureH: 1, exposurePerYearH: 1, score, detail: { reasons: [`${name} battery`] } } });
    });
    await perform(addBlackout, who, { siteId: ids.get('Shut')!, id: anId(), kind: 'suspended', fromDay: '2027-02-10', toDay: null, reason: 'empty', authority: 'owner' });
    const plan = await perform(planCatchUp, who, { weeklyMinutes: 240 });
    expect(plan).toMatchObject({ asOf: '2027-03-01', firstWeek: '2027-03-08', sites: 4, minutes: 480, endsOn: '2027-03-21', withoutProgramme: 1, lapseBefore: 0, tooLong: [] });
    expect(plan.weeks.map((week) => week.visits.map((visit) => visit.siteName))).toEqual([['Unscored', 'Grave'], ['Middle', 'Calm']]);
    expect(plan.weeks[0]!.visits[1]).toMatchObject({ minutes: 120, duties: 1, reasons: ['Grave battery'], lapses: '2028-02-01' });
    expect((await perform(planCatchUp, who, { weeklyMinutes: 100 })).tooLong).toHaveLength(4);
    await expect(perform(planCatchUp, who, { weeklyMinutes: 240, firstWeek: '2027-03-09' })).rejects.toThrow('no Monday');
  });
  it('two neighbouring sites fall together over two years, earlier only, and cost less than each by itself', async () => {
    const who = await aWorld();
    const a = await aPlace(who, { name: 'Corner shop', lat: 40, lon: -3.7 });
    const b = await aPlace(who, { name: 'Bakery', lat: 40.005, lon: -3.7 });
    const far = await aPlace(who, { name: 'Mill', lat: 41, lon: -3.7 });
    for (const [place, lastGood] of [[a, '2026-05-10'], [b, '2026-06-20'], [far, '2026-06-20']] as const) await laid(who, place.siteId, place.systemId, 'house', ANNUAL, '2026-12-01', lastGood);
    const plan = await perform(yearsAhead, who, { siteId: a.siteId, years: 3, withinKm: 3, neighbours: 5, travelMinutes: 40, givenAwayMinutes: 0.5 });
    expect(plan.sites.map((site) => [site.name, site.km, site.duties])).toEqual([['Corner shop', 0, 1], ['Bakery', 0.56, 1]]);
    expect(plan.visits.length).toBeGreaterThan(1);
    expect(plan.visits.every((visit) => visit.sites.length === 2)).toBe(true);
    expect(plan.together.days).toBeLessThan(plan.bySite.days);
    expect(plan.together.minutes).toBeLessThan(plan.bySite.minutes);
    expect(plan.lapsed).toEqual([]);
    const alone = await perform(yearsAhead, who, { siteId: a.siteId, years: 3, withinKm: 3, neighbours: 0, travelMinutes: 40, givenAwayMinutes: 0.5 });
    expect(alone.sites).toHaveLength(1);
    expect(alone.together).toEqual(alone.bySite);
  });
  it('due days of one site or of all, met ones left out', async () => {
    const who = await aWorld();
    const a = await aPlace(who, { name: 'Corner shop' });
    await laid(who, a.siteId, a.systemId, 'house', ANNUAL, '2026-12-01', '2026-05-10');
    const b = await aPlace(who, { name: 'Bakery' });
    await laid(who, b.siteId, b.systemId, 'house', ANNUAL, '2026-12-01', '2026-12-20');
    expect((await perform(dutiesDue, who, { siteId: a.siteId, days: 100 })).rows.map((row) => [row.siteName, row.due, row.lapses])).toEqual([['Corner shop', '2027-05-10', '2027-08-10']]);
    expect((await perform(dutiesDue, who, { days: 100 })).rows).toHaveLength(1);
    expect((await perform(dutiesDue, who, { days: 400 })).rows.map((row) => row.siteName)).toEqual(['Corner shop', 'Bakery']);
  });
});

describe('a share on its duty\'s page', () => {
  it('says how many are needed, which are done, and which come next', async () => {
    const who = await aWorld();
    const { siteId, systemId } = await aPlace(who);
    const heads = Array.from({ length: 8 }, () => anId());
    await inside(who, (tx) => tx.db.device.createMany({ data: heads.map((id, n) => ({ companyId: who.companyId, id, externalKey: `h${n}`, systemId, kind: 'heat', link: 'wired', label: `Heat ${n + 1}`, installedOn: day('2026-01-01'), createdAt: clock.now })) }));
    await laid(who, siteId, systemId, 'share', { kind: 'share', period: 'quarter', numerator: 1, denominator: 4 }, '2027-01-01', null, { applies: { deviceKinds: ['heat'] }, checkKinds: ['heat-functional'] });
    await inside(who, (tx) => tx.db.check.create({ data: { companyId: who.companyId, id: anId(), bodyDigest: 'x', siteId, systemId, subjectKind: 'device', subjectId: heads[2]!, checkKind: 'heat-functional', performedOn: day('2027-02-01'),
      performedAt: new Date('2027-02-01T10:00:00Z'), recordedAt: new Date('2027-02-01T10:05:00Z'), verdict: 'pass', computedVerdict: 'pass', reason: 'works', evidence: 'B', source: 'field' } }));
    const dutyId = (await perform(siteStanding, who, { siteId })).duties[0]!.id;
    const { share } = await perform(showDuty, who, { dutyId });
    expect(share).toMatchObject({ periodFrom: '2027-01-01', periodTo: '2027-03-31', cycleTo: '2027-12-31', needed: 2, units: 8, done: ['Heat 3'] });
    expect(share!.next).toHaveLength(7);
    expect(share!.next).not.toContain('Heat 3');
  });
});

describe('remote duties', () => {
  it('what the station heard proves a path without a visit, on the last day the history speaks of; a silent one fails and closes when it is heard; nothing heard proves nothing', async () => {
    const who = await aWorld();
    const { siteId, systemId } = await aPlace(who);
    const [cell, line] = [anId(), anId()];
    const account = await inside<{ id: string; stationId: string; number: string }>(who, async (tx) => {
      const made = await anAccount(tx, who.companyId, { siteId });
      await tx.db.system.update({ where: { companyId_id: { companyId: who.companyId, id: systemId } }, data: { accountId: made.id } });
      await aPath(tx, who.companyId, { id: cell, systemId, rank: 1, technology: 'cellular', label: 'Cell', testIntervalMin: 1440 });
      await aPath(tx, who.companyId, { id: line, systemId, rank: 2, technology: 'line', label: 'Line', testIntervalMin: 1440 });
      return made;
    });
    const hear = (path: string, from: string, days: number) => inside(who, (tx) => tx.db.stationEvent.createMany({ data: Array.from({ length: days }, (_, n) => {
      const at = new Date(Date.parse(`${from}T02:30:00Z`) + n * 86_400_000);
      return { companyId: who.companyId, id: anId(), stationId: account.stationId, accountNumber: account.number, accountId: account.id, receivedAt: at, code: 'E602', path, kind: 'periodic', raw: `${path} ${n}`, rawDigest: `${path} ${from} ${n}`, source: 'csv', recordedAt: clock.now };
    }) }));
    await laid(who, siteId, systemId, 'remote', { kind: 'once-per', period: 'month', minGapDays: 0 }, '2027-02-10', null, { subject: 'path', checkKinds: ['periodic-signal'], remotely: true, sounds: false, minEvidence: 'A' });
    const standing = async () => Object.fromEntries((await perform(siteStanding, who, { siteId })).duties.map((duty) => [duty.subject, duty.standing]));
    expect((await perform(readHistory, who, { siteId })).rows.map((row) => row.verdict)).toEqual(['cant-tell', 'cant-tell']);
    expect(await standing()).toEqual({ Cell: 'cant-tell', Line: 'cant-tell' });
    await hear('Cell', '2027-02-01', 29);
    await hear('line', '2027-02-01', 20);
    const first = (await perform(readHistory, who, { siteId })).rows;
    expect(first.map((row) => [row.subject, row.verdict])).toEqual([['Cell', 'pass'], ['Line', 'fail']]);
    expect(await standing()).toMatchObject({ Cell: 'proven' });
    const check = await inside<{ performedOn: Date; source: string; evidence: string; visitId: string | null }>(who, (tx) => tx.db.check.findUniqueOrThrow({ where: { companyId_id: { companyId: who.companyId, id: first[0]!.checkId! } } }));
    expect([check.performedOn.toISOString().slice(0, 10), check.source, check.evidence, check.visitId]).toEqual(['2027-03-01', 'remote', 'A', null]);
    const deficiencies = () => inside<{ state: string }[]>(who, (tx) => tx.db.deficiency.findMany({ where: { siteId } }));
    expect((await deficiencies()).map((one) => one.state)).toEqual(['open']);
    expect((await perform(readHistory, who, { siteId })).rows.map((row) => row.checkId)).toEqual([null, null]);
    clock.now = new Date('2027-03-20T09:00:00Z');
    await hear('Cell', '2027-03-02', 19);
    await hear('line', '2027-03-02', 19);
    // The silence before the last reading was told then; from then on the line is heard again, after one more stretch that is too long.
    expect((await perform(readHistory, who, { siteId })).rows.map((row) => row.verdict)).toEqual(['pass', 'fail']);
    clock.now = new Date('2027-03-25T09:00:00Z');
    await hear('Cell', '2027-03-21', 5);
    await hear('line', '2027-03-21', 5);
    expect((await perform(readHistory, who, { siteId })).rows.map((row) => row.verdict)).toEqual(['pass', 'pass']);
    expect((await deficiencies()).map((one) => one.state)).toEqual(['closed']);
    clock.now = new Date('2027-03-28T09:00:00Z');
    expect((await perform(readHistory, who, { siteId })).rows.map((row) => row.verdict)).toEqual(['cant-tell', 'cant-tell']);
    await expect(perform(readHistory, await aWorld(), { siteId })).rejects.toMatchObject({ problem: 'NotFound' });
    clock.now = new Date('2027-03-01T09:00:00Z');
  });
});
