import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, aDevice, anId, aSite, aSystem, aTechnician, aUser, aWindow, cloneDatabase, day, type TestDatabase, toolsAt } from '@bellround/database/testing';
import { checkPlan, solve } from '@bellround/planning';
import {
  agreeDate, computeHere, createPerform, editSiteNeeds, editVisit, handKey, keepKey, keepPermit, keepVan, listLooseEnds, loadWeekProblem, myRound, openVisit, problemToSolve, publishPlan, savePlanningRules, saveWeekPlan, seeRound, stopVisit, showPlanningRules,
  showSiteNeeds, showVan, showWeek, startPlan, wantVisits, type Means, type Perform, type Who,
} from '../index.js';

// What a round needs, from where the company says it to where the plan keeps it: notice, permits, keys, vans, noise hours, prices, slack.

const A = anId();
const WEEK = '2027-03-08';
const NOW = new Date('2027-03-01T09:00:00Z');
const clock = { now: NOW };
const hours = (from: string, to: string, weekdays = [1, 2, 3, 4, 5]) => weekdays.map((weekday) => ({ weekday, from, to }));
let test: TestDatabase;
let perform: Perform;
let means: Means;
let who: Who;
let tess = '';
let olu = '';
const site: Record<string, string> = {};

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  means = { perform, compute: computeHere };
  who = { companyId: A, userId: anId(), name: 'Dispatcher', role: 'dispatcher', technicianId: null };
  await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    await aUser(tx, A, { id: who.userId! });
    tess = (await aTechnician(tx, A, { name: 'Tess', skills: ['intrusion', 'fire'], email: 'tess@quillmere.example' })).id;
    olu = (await aTechnician(tx, A, { name: 'Olu', skills: ['intrusion', 'fire'], email: 'olu@quillmere.example' })).id;
    const programme = await tx.db.programme.create({ data: { companyId: A, id: anId(), key: 'p', version: 1, title: 'p', body: {}, createdAt: NOW } });
    const make = async (name: string, at: number, over: Parameters<typeof aSite>[2] = {}, sounds = false) => {
      site[name] = (await aSite(tx, A, { name, lat: 40 + at * 0.02, lon: -3.02, externalKey: name, ...over })).id;
      const system = await aSystem(tx, A, { siteId: site[name]!, kind: 'fire', externalKey: `Y-${name}` });
      await aDevice(tx, A, { systemId: system.id, kind: 'smoke-detector' });
      const application = await tx.db.programmeApplication.create({ data: { companyId: A, id: anId(), programmeId: programme.id, systemId: system.id, validFrom: day('2026-01-01'), appliedAt: NOW } });
      for (const [rule, minutes, loud] of sounds ? [['silent', 60, false], ['sounders', 40, true]] as const : [['annual', 60, false]] as const) {
        const duty = await tx.db.duty.create({ data: { companyId: A, id: anId(), applicationId: application.id, siteId: site[name]!, systemId: system.id, subjectKind: 'system', subjectId: system.id, ruleKey: rule, title: rule, regime: 'company', mandated: true, sounds: loud,
          cadence: { kind: 'since-last', min: { months: 10 }, nominal: { months: 12 }, max: { months: 14 } }, checkKinds: [rule], minutes, skills: ['fire'], licences: [], validFrom: day('2026-01-01') } });
        await aWindow(tx, { dutyId: duty.id, siteId: site[name]!, opens: '2027-02-01', due: '2027-03-10', lapses: '2027-04-30', governsFrom: '2026-01-01' });
      }
    };
    await make('Plain', 0);
    await make('Notice', 1);
    await make('Permit', 2);
    await make('Key', 3);
    await make('Held key', 4);
    await make('Lift', 5);
    // work from 08:00 to 10:00 only, noise from 18:00 to 19:00 only: they never overlap
    await make('Loud', 6, { accessHours: hours('08:00', '10:00'), noiseHours: hours('16:00', '18:00', [3]) }, true);
    await make('Late noise', 7, { accessHours: hours('08:00', '18:00'), noiseHours: hours('16:00', '18:00') }, true);
  });
});
afterAll(() => test.drop());

async function planned() {
  clock.now = new Date(clock.now.getTime() + 60_000); // which plan is newest is told by the clock
  const planId = anId();
  await perform(startPlan, who, { weekStart: WEEK, planId, seconds: 1, seed: 3 });
  await perform(wantVisits, who, { planId });
  const week = await perform(loadWeekProblem, who, { planId });
  const { problem, told } = problemToSolve(week);
  const plan = solve(problem, { seed: 3, stop: { iterations: 400 } });
  expect(checkPlan(problem, plan)).toEqual([]);
  const head = await perform(saveWeekPlan, who, { planId, plan, unplannable: week.unplannable, told });
  const view = await perform(showWeek, who, { weekStart: WEEK, planId });
  const visitOf = (name: string) => view.visits.find((one) => one.siteId === site[name])!;
  const stopsOf = (name: string) => view.rounds.flatMap((round) => round.stops.filter((stop) => stop.visitId.startsWith(visitOf(name).id)).map((stop) => ({ ...stop, day: round.day, technicianId: round.technicianId })));
  return { head, problem, view, visitOf, stopsOf };
}

describe('what a round needs', () => {
  it('noise hours apart from access hours: silent and sounding part of one visit on two trips, the late ones whole and ending loud', async () => {
    const { stopsOf, visitOf, problem, head } = await planned();
    const parts = stopsOf('Loud');
    expect(parts.map((stop) => stop.visitId.split('#')[1]).sort()).toEqual(['silent', 'sounding']);
    const [silent, sounding] = ['silent', 'sounding'].map((part) => parts.find((stop) => stop.visitId.endsWith(part))!);
    // noise hours outside access hours stand for access too
    expect(silent!.endMin <= 10 * 60 || (silent!.day === '2027-03-10' && silent!.startMin >= 16 * 60)).toBe(true);
    expect(Number(silent!.endMin) - silent!.startMin).toBe(85);
    expect(sounding).toMatchObject({ day: '2027-03-10' });
    expect(sounding!.startMin).toBeGreaterThanOrEqual(16 * 60);
    expect(sounding!.endMin).toBeLessThanOrEqual(18 * 60);
    expect(visitOf('Loud')).toMatchObject({ serviceMin: 125, needs: { split: true, soundMin: 40 } });
    const late = stopsOf('Late noise');
    expect(late).toHaveLength(1);
    expect(late[0]!.endMin - 40).toBeGreaterThanOrEqual(16 * 60);
    expect(problem.visits.filter((one) => one.partOf === visitOf('Loud').id)).toHaveLength(2);
    expect(head.placed).toBe(9);
  });

  it('the parts stay one visit: published, its day is the first part\'s, and each round holds its own part', async () => {
    const { head, stopsOf, visitOf } = await planned();
    await publishPlan(means, who, { planId: head.id, revision: head.revision });
    const first = stopsOf('Loud').sort((a, b) => a.day.localeCompare(b.day) || a.startMin - b.startMin)[0]!;
    const visit = await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.visit.findFirstOrThrow({ where: { id: visitOf('Loud').id } }));
    expect(visit).toMatchObject({ state: 'published', startMin: first.startMin, technicianId: first.technicianId });
    const rounds = await Promise.all([tess, olu].map((technicianId) => perform(myRound, { ...who, technicianId }, { from: WEEK, days: 7, technicianId })));
    const mine = rounds.flatMap((round) => round.days.flatMap((one) => one.stops)).filter((stop) => stop.siteId === site['Loud']);
    expect(mine.map((stop) => stop.part).sort()).toEqual(['silent', 'sounding']);
  });

  it('tells a technician what a publication changed on the round, until it was seen', async () => {
    const asked = { from: WEEK, days: 7 };
    const her = { ...who, technicianId: tess, role: 'technician' as const };
    const before = (await perform(myRound, her, asked)).changes;
    expect(before).toHaveLength(1);
    expect(before[0]).toMatchObject({ byName: 'Dispatcher', first: true });
    expect(before[0]!.lines.every((line) => line.kind === 'came' && line.was === null)).toBe(true);
    expect(await perform(seeRound, her, { publicationIds: [before[0]!.publicationId] })).toEqual({ seen: 1 });
    expect(await perform(seeRound, her, { publicationIds: [before[0]!.publicationId] })).toEqual({ seen: 0 });
    expect((await perform(myRound, her, asked)).changes).toEqual([]);
    // somebody else's round still says it, and a dispatcher sees nothing for her
    expect((await perform(myRound, { ...her, technicianId: olu }, asked)).changes).toHaveLength(1);
    await expect(perform(seeRound, who, { publicationIds: [before[0]!.publicationId] })).rejects.toMatchObject({ problem: 'NotAllowed' });
    await expect(perform(seeRound, her, { publicationIds: [anId()] })).rejects.toMatchObject({ problem: 'NotFound' });
  });

  it('notice: no earlier day than it allows, told with its last day until it is given', async () => {
    const needs = await perform(showSiteNeeds, who, { siteId: site['Notice']! });
    await perform(editSiteNeeds, who, { siteId: site['Notice']!, version: needs.version, noticeDays: 10, equipment: [] });
    await expect(perform(editSiteNeeds, who, { siteId: site['Notice']!, version: needs.version, noticeDays: 3, equipment: [] })).rejects.toMatchObject({ problem: 'Stale' });
    // published for an earlier day before anybody knew that notice is wanted
    expect((await perform(listLooseEnds, who, {})).rows.find((one) => one.kind === 'notice-due')!.words).toContain('that day has passed');
    const { head, stopsOf, visitOf } = await planned();
    const [stop] = stopsOf('Notice');
    expect(stop!.day >= '2027-03-11').toBe(true); // today 1 March and ten days
    await publishPlan(means, who, { planId: head.id, revision: head.revision });
    const due = (await perform(listLooseEnds, who, {})).rows.filter((one) => one.kind === 'notice-due');
    expect(due).toHaveLength(1);
    expect(due[0]).toMatchObject({ siteName: 'Notice', lapsesOn: stop!.day === '2027-03-11' ? '2027-03-01' : '2027-03-02' });
    const visit = visitOf('Notice');
    await perform(editVisit, who, { visitId: visit.id, serviceMin: visit.serviceMin, persons: 1, soundingMin: null, equipment: ['torch'], noticeGivenOn: '2027-02-26' });
    expect((await perform(listLooseEnds, who, {})).rows.filter((one) => one.kind === 'notice-due')).toEqual([]);
    await perform(editVisit, who, { visitId: visit.id, serviceMin: visit.serviceMin, persons: 1, soundingMin: 5, equipment: [], noticeGivenOn: '2027-02-26' });
    const again = await planned();
    expect(again.visitOf('Notice').needs).toMatchObject({ ownEquipment: [], ownSoundMin: 5, noticeGivenOn: '2027-02-26' });
    expect(again.problem.visits.find((one) => one.id === visit.id)!.notice).toEqual({ leadDays: 10, on: '2027-02-26', given: true });
  });

  it('a permit that is not granted keeps the visit out and waits on Loose ends; granted, its days bind', async () => {
    const permit = { siteId: site['Permit']!, id: anId(), name: 'work at height' };
    await perform(keepPermit, who, { ...permit, fromDay: null, toDay: null });
    const out = await planned();
    expect(out.view.unplaced.find((one) => one.visitId === out.visitOf('Permit').id)!.words).toContain('the permit work at height is not granted yet');
    expect((await perform(listLooseEnds, who, {})).rows.find((one) => one.kind === 'permit-due')).toMatchObject({ siteName: 'Permit' });
    await perform(keepPermit, who, { ...permit, fromDay: '2027-03-12', toDay: '2027-03-31' });
    const { stopsOf } = await planned();
    expect(stopsOf('Permit').map((stop) => stop.day)).toEqual(['2027-03-12']);
  });

  it('a key is collected before and returned after, in its holder\'s hours; one in somebody\'s hands sends that person', async () => {
    const key = { kind: 'key' as const, needed: true, lat: 40.1, lon: -3.1, hours: hours('09:00', '15:00'), handMin: 10, broughtBack: true };
    await perform(keepKey, who, { siteId: site['Key']!, id: anId(), label: 'front door', collectAt: 'the porter at 4 Mill Lane', ...key });
    const held = anId();
    await perform(keepKey, who, { siteId: site['Held key']!, id: held, label: 'plant room', collectAt: null, ...key, lat: null, lon: null, hours: null });
    const handed = { keyId: held, id: anId(), holderKind: 'technician' as const, technicianId: olu, holderName: 'Olu' };
    expect((await perform(handKey, who, handed)).keys[0]!.holder).toMatchObject({ kind: 'technician', name: 'Olu' });
    await perform(handKey, who, handed);
    await expect(perform(handKey, who, { ...handed, holderName: 'Tess' })).rejects.toMatchObject({ problem: 'IdReused' });
    const { stopsOf, view } = await planned();
    const errands = stopsOf('Key').sort((a, b) => a.startMin - b.startMin);
    expect(errands.map((stop) => stop.visitId.split('#')[1] ?? 'visit')).toEqual(['collect', 'visit', 'return']);
    expect(new Set(errands.map((stop) => `${stop.technicianId} ${stop.day}`)).size).toBe(1);
    expect(errands[0]!.startMin).toBeGreaterThanOrEqual(9 * 60);
    expect(errands[2]!.endMin).toBeLessThanOrEqual(15 * 60);
    expect(stopsOf('Held key').map((stop) => stop.technicianId)).toEqual([olu]);
    expect(view.unplaced).toEqual([]);
  });

  it('equipment and where the round ends come from the van; slack is kept and told', async () => {
    const needs = await perform(showSiteNeeds, who, { siteId: site['Lift']! });
    await perform(editSiteNeeds, who, { siteId: site['Lift']!, version: needs.version, noticeDays: 0, equipment: ['lift'] });
    const bare = await planned();
    expect(bare.view.unplaced.find((one) => one.visitId === bare.visitOf('Lift').id)!.words).toContain('does not carry lift');
    const rules = await perform(showPlanningRules, who, {});
    await perform(savePlanningRules, who, { version: rules.version, depot: { address: 'Quillmere depot', lat: 40.05, lon: -3.05 }, slack: 90, learnMinutes: true, learnTravel: true });
    const van = await perform(showVan, who, { technicianId: tess });
    await perform(keepVan, who, { technicianId: tess, version: van.version, startsAt: 'depot', endsAt: 'home', equipment: ['lift'], stock: [{ part: '7 Ah battery', quantity: 3 }] });
    const { stopsOf, problem, head } = await planned();
    expect(stopsOf('Lift').map((stop) => stop.technicianId)).toEqual([tess]);
    const hers = problem.technicians.find((one) => one.id === tess)!;
    expect(hers.shifts[0]!.startPlace).not.toBe(hers.home);
    expect(hers.stock).toEqual({ '7 ah battery': 3 });
    expect(head.told.join()).toContain('450 minutes of the week are kept free for breakdowns');
  });

  it('a priced promise is a wish with a price; a hard one narrows the week', async () => {
    const { visitOf } = await planned();
    const visitId = visitOf('Plain').id;
    await perform(agreeDate, who, { visitId, id: anId(), day: '2027-03-12', fromMin: 540, toMin: 600, madeTo: 'the caretaker', words: '', priceMin: 45 });
    const wish = (await planned()).problem.visits.find((one) => one.id === visitId)!;
    expect(wish.promises).toMatchObject([{ day: '2027-03-12', fromMin: 540, toMin: 600, priceMin: 45 }]);
    expect(new Set(wish.windows.map((one) => one.day)).size).toBe(5);
    await perform(agreeDate, who, { visitId, id: anId(), day: '2027-03-12', fromMin: 540, toMin: 600, madeTo: 'the caretaker', words: '', priceMin: null });
    const hard = (await planned()).problem.visits.find((one) => one.id === visitId)!;
    expect(new Set(hard.windows.map((one) => one.day))).toEqual(new Set(['2027-03-12']));
  });

  it('stopped after its silent part: the sounding stop is the remainder\'s, on the round that had it', async () => {
    const { head, stopsOf, visitOf } = await planned();
    await publishPlan(means, who, { planId: head.id, revision: head.revision });
    const visitId = visitOf('Loud').id;
    const [silent, sounding] = stopsOf('Loud').sort((a, b) => a.day.localeCompare(b.day) || a.startMin - b.startMin);
    const technician = { ...who, role: 'technician' as const, technicianId: silent!.technicianId };
    clock.now = new Date(Date.parse(`${silent!.day}T00:00:00Z`) + (silent!.startMin - 60) * 60_000);
    await perform(openVisit, technician, { visitId, id: anId(), technicianId: silent!.technicianId });
    const remainderId = anId();
    const { remainder } = await perform(stopVisit, technician, { visitId, id: anId(), remainderId, reason: 'the sounders wait for the evening' });
    expect(remainder).toMatchObject({ id: remainderId, state: 'published', day: sounding!.day, technicianId: sounding!.technicianId });
    const round = await perform(myRound, { ...technician, technicianId: sounding!.technicianId }, { from: WEEK, days: 7 });
    const mine = round.days.flatMap((one) => one.stops).filter((stop) => stop.siteId === site['Loud'] && stop.id === remainderId);
    expect(mine).toMatchObject([{ startMin: sounding!.startMin, part: '' }]);
    const shown = await perform(showWeek, who, { weekStart: WEEK, planId: head.id });
    expect(shown.rounds.flatMap((one) => one.stops).map((stop) => stop.visitId)).toContain(remainderId);
    expect(JSON.stringify(shown.rounds)).not.toContain(sounding!.visitId);
  });
});
