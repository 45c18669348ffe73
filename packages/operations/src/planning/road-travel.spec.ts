import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { openRoads } from '@bellround/database';
import { aCompany, anId, aSite, aTechnician, aUser, cloneDatabase, day, TableService, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { checkPlan, solve } from '@bellround/planning';
import { askRoads, askWeek, bestPlacesFor, computeHere, copyPlan, createPerform, forgetRoadTimes, loadWeekProblem, madeOf, problemToSolve, publishPlan, savePlanningRules, saveWeekPlan, showPlanningRules, showWeek, startPlan, type Means, type Perform, type Who } from '../index.js';

// Travel by road from the setting to the plan: a table service that answers over HTTP, what is kept of its answers, and what a plan says
// where it did not answer.

const A = anId();
const B = anId();
const WEEK = '2027-03-08';
const clock = { now: new Date('2027-03-01T09:00:00Z') };
let test: TestDatabase;
let perform: Perform;
let means: Means;
let who: Who;
let roads: TableService;

beforeAll(async () => {
  test = await cloneDatabase();
  roads = await TableService.open((from, to) => Math.round(Math.abs(from.lat - to.lat) / 0.02) * 7); // minutes by latitude, 7 a step
  perform = createPerform(test.database, toolsAt(clock));
  means = { perform, compute: computeHere };
  who = { companyId: A, userId: anId(), name: 'Dispatcher', role: 'dispatcher', technicianId: null };
  await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    await aUser(tx, A, { id: who.userId! });
    await aTechnician(tx, A, { name: 'Tess', homeLat: 40, homeLon: -3 });
    for (let n = 1; n <= 5; n++) await aVisit(`Site ${n}`, 40 + n * 0.02);
    async function aVisit(name: string, lat: number) {
      const site = await aSite(tx, A, { name, lat, lon: -3, externalKey: name });
      await tx.db.visit.create({ data: { companyId: A, id: anId(), siteId: site.id, kind: 'urgent', state: 'wanted', title: name, serviceMin: 40, createdAt: clock.now } });
    }
  });
  await test.database.inCompany({ companyId: B, actorId: null }, (tx) => aCompany(tx, B));
});
afterAll(async () => { roads?.close(); await test.drop(); });
afterEach(() => { roads.asked.length = 0; roads.says = () => null; });

const settings = (over: Partial<Parameters<typeof openRoads>[0]> = {}) => ({ ROAD_TABLE_URL: roads.url, ROAD_TABLE_MOST: 100, ROAD_TABLE_TIMEOUT_S: 5, ROAD_TABLE_WAIT_S: 60, ...over });

async function planned(at = settings()) {
  clock.now = new Date(clock.now.getTime() + 60_000);
  const planId = anId();
  await perform(startPlan, who, { weekStart: WEEK, planId, seconds: 1, seed: 3 });
  const roadsMissing = await askRoads(perform, who, planId, openRoads(at));
  const week = await perform(loadWeekProblem, who, { planId, roadsMissing });
  const { problem, told } = problemToSolve(week);
  const plan = solve(problem, { seed: 3, stop: { iterations: 150 } });
  expect(checkPlan(problem, plan)).toEqual([]);
  const head = await perform(saveWeekPlan, who, { planId, ...madeOf(problem, plan, week.parts), unplannable: week.unplannable, told });
  return { planId, head, problem, plan, travel: head.travel! };
}
const inCompany = <T>(act: Parameters<typeof test.database.inCompany<T>>[1], companyId = A) => test.database.inCompany({ companyId, actorId: null }, act);

describe('travel by road', () => {
  it('no service is set: every leg is an estimate, and the plan says so', async () => {
    const { travel, head } = await planned(settings({ ROAD_TABLE_URL: undefined }));
    expect(roads.asked).toHaveLength(0);
    expect(travel).toMatchObject({ percent: 100, trips: 0, why: null });
    expect(travel.legs).toBeGreaterThan(5);
    expect(travel.estimated).toBe(travel.legs);
    expect(head.placed).toBe(5);
  });

  it('a service that does not answer: the plan is made all the same, and says why its legs are estimates', async () => {
    roads.says = () => ({ status: 502, body: 'bad gateway' });
    const { travel } = await planned();
    expect(travel.estimated).toBe(travel.legs);
    expect(travel.why).toBe('the table of road times answered 502 without a table');
    expect(roads.asked).toHaveLength(2); // a second try, and no more questions were there
    const nobody = await planned(settings({ ROAD_TABLE_URL: 'http://127.0.0.1:1/table/v1/driving' }));
    expect(nobody.travel.why).toMatch(/^the table of road times cannot be reached/);
    roads.says = () => ({ status: 400, body: JSON.stringify({ code: 'TooBig', message: 'Too many table coordinates' }) });
    expect((await planned()).travel.why).toBe('the service says TooBig: Too many table coordinates');
  });

  it('a place off the road and a pair without a way are estimated; the rest is by road, each pair asked once', async () => {
    roads.says = (places) => {
      const off = places.findIndex((one) => one.endsWith(',40.100000'));
      return off === -1 ? null : { status: 400, body: JSON.stringify({ code: 'NoSegment', message: `Could not find a matching segment for coordinate ${off}` }) };
    };
    const { travel, problem } = await planned();
    expect(travel.why).toBeNull();
    expect(travel.estimated).toBeGreaterThan(0);
    expect(travel.estimated).toBeLessThan(travel.legs);
    const at = problem.technicians[0]!.home;
    const to = problem.visits.map((visit) => problem.travel.minutes[at]![visit.place]).sort((a, b) => a! - b!);
    expect(to).toEqual(expect.arrayContaining([10, 17, 24, 31])); // 7 a step and 3 for parking and walking
    const kept = await perform(showPlanningRules, who, {});
    expect(kept.travel).toMatchObject({ source: 'road', places: 6, missing: 0, noWay: 10 });
    roads.asked.length = 0;
    const again = await planned();
    expect(roads.asked).toHaveLength(0);
    expect(again.travel).toMatchObject({ why: null, estimated: travel.estimated });
  });

  it('one place more: one row and one column are asked, and nothing of what was known', async () => {
    await inCompany(async (tx) => {
      const site = await aSite(tx, A, { name: 'Site 7', lat: 40.14, lon: -3, externalKey: 'Site 7' });
      await tx.db.visit.create({ data: { companyId: A, id: anId(), siteId: site.id, kind: 'urgent', state: 'wanted', title: 'Site 7', serviceMin: 40, createdAt: clock.now } });
    });
    const { problem } = await planned();
    // to it from the six, from it to the six
    expect(roads.pairs).toBe(12);
    const seventh = problem.visits.map((visit) => visit.place).find((place) => problem.travel.minutes[problem.technicians[0]!.home]![place] === 52);
    expect(seventh).toBeDefined();
    expect((await perform(showPlanningRules, who, {})).travel).toMatchObject({ places: 7, missing: 0 });
  });

  it('questions, copies and publishing count with the plan\'s own travel; another company sees none of it', async () => {
    const { planId, head, travel } = await planned();
    const away = await askWeek(means, who, { planId, question: { kind: 'travel', day: '2027-03-09', percent: 160, reason: 'storm' } });
    expect(away.broken).toEqual([]);
    const view = await perform(showWeek, who, { weekStart: WEEK, planId });
    const places = await bestPlacesFor(means, who, { planId, visitId: view.rounds[0]!.stops[0]!.visitId });
    expect(places.rows.length).toBeGreaterThan(0);
    const copy = await perform(copyPlan, who, { planId, newPlanId: anId() });
    expect(copy.travel).toEqual(travel);
    expect((await publishPlan(means, who, { planId, revision: head.revision })).travel).toEqual(travel);
    expect(await inCompany((tx) => tx.db.travelPlace.count(), B)).toBe(0);
    expect((await perform(showPlanningRules, { ...who, companyId: B }, {})).travel).toMatchObject({ source: 'estimate', places: 0 });
  });

  it('no way is asked again after a month; forgotten, everything is asked anew', async () => {
    clock.now = new Date('2027-04-05T09:00:00Z');
    await planned();
    expect(roads.asked.length).toBeGreaterThan(0);
    expect((await perform(showPlanningRules, who, {})).travel).toMatchObject({ noWay: 0, missing: 0 });
    expect(await perform(forgetRoadTimes, who, {})).toEqual({ forgotten: 7 });
    expect((await perform(showPlanningRules, who, {})).travel).toMatchObject({ source: 'estimate', places: 0 });
    roads.asked.length = 0;
    const { travel } = await planned(settings({ ROAD_TABLE_MOST: 4 }));
    expect(Math.max(...roads.asked.map((one) => one.places.length))).toBeLessThanOrEqual(4);
    expect(travel.estimated).toBe(0);
    clock.now = new Date('2027-03-02T09:00:00Z');
  });
});

describe('travel learned', () => {
  it('from visits one after the other; a wait of the plan between them is no drive; only where the company wants it', async () => {
    await perform(forgetRoadTimes, who, {});
    await inCompany(async (tx) => {
      const [one, two] = await tx.db.site.findMany({ where: { companyId: A }, orderBy: { name: 'asc' }, take: 2 });
      const technician = await tx.db.technician.findFirstOrThrow({ where: { companyId: A } });
      // 3.1 km by road: the model takes 12 minutes, 3 of them parking and walking; past trips took 15
      await tx.db.visit.createMany({ data: Array.from({ length: 120 }, (_, n) => {
        const date = new Date(Date.UTC(2026, 8, 1 + (n >> 1)));
        const start = new Date(date.getTime() + (n % 2 === 0 ? 9 * 60 : 9 * 60 + 55) * 60_000);
        return { companyId: A, id: anId(), siteId: n % 2 === 0 ? one!.id : two!.id, kind: 'urgent', state: 'closed', title: 'past', serviceMin: 40, createdAt: date, day: date, technicianId: technician.id, openedAt: start, closedAt: new Date(start.getTime() + 40 * 60_000) };
      }) });
    });
    const shown = await perform(showPlanningRules, who, {});
    expect(shown.travel).toMatchObject({ source: 'estimate', trips: 60 });
    expect(shown.travel.percent).toBeGreaterThan(115);
    expect(shown.travel.bands.find((band) => band.upToKm === 10)!.trips).toBe(60);
    const learned = await planned(settings({ ROAD_TABLE_URL: undefined }));
    expect(learned.travel).toMatchObject({ trips: 60, percent: shown.travel.percent });
    await perform(savePlanningRules, who, { version: shown.version, depot: null, slack: null, learnMinutes: true, learnTravel: false });
    const plain = await planned(settings({ ROAD_TABLE_URL: undefined }));
    expect(plain.travel).toMatchObject({ trips: 0, percent: 100 });
    const drive = (made: typeof plain) => made.problem.travel.minutes[made.problem.technicians[0]!.home]![made.problem.visits[0]!.place]!;
    expect(drive(learned)).toBeGreaterThan(drive(plain));
    // a plan keeps the travel it was counted with, whatever was chosen since
    expect((await askWeek(means, who, { planId: learned.planId, question: { kind: 'travel', day: '2027-03-09', percent: 100, reason: 'as it was' } })).broken).toEqual([]);
  });

  it('a wait that the plan had between two visits', async () => {
    await inCompany(async (tx) => {
      const past = await tx.db.visit.findMany({ where: { companyId: A, title: 'past' }, orderBy: { openedAt: 'asc' } });
      const plan = await tx.db.weekPlan.create({ data: { companyId: A, id: anId(), weekStart: day('2026-08-31'), state: 'superseded', seed: 1, createdAt: clock.now } });
      await tx.db.planStop.createMany({ data: past.map((visit, n) => ({ companyId: A, planId: plan.id, visitId: visit.id, technicianId: visit.technicianId!, day: visit.day!, arriveMin: n % 2 === 0 ? 540 : 590, startMin: n % 2 === 0 ? 540 : 620, endMin: n % 2 === 0 ? 580 : 660, travelMin: 12 })) });
    });
    expect((await perform(showPlanningRules, who, {})).travel.trips).toBe(0);
  });
});
