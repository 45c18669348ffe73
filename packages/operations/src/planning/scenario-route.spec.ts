import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openRoads } from '@bellround/database';
import { aCompany, anId, aSite, aSystem, aTechnician, aUser, aWindow, cloneDatabase, day, TableService, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { checkPlan, moveEffect, recomputeCost, solve, termsOf, type WeekPlan } from '@bellround/planning';
import { askRoads, computeHere, createPerform, loadWeekProblem, madeOf, moveStop, problemToSolve, saveWeekPlan, showWeek, startPlan, wantVisits, type Means, type Perform, type Who } from '../index.js';

// Scenarios of an invented world through the acts: one day's route (5), by road times of a table service; and what exams do to a week's plan (3).

const clock = { now: new Date('2027-02-26T09:00:00Z') };
const KM = 0.01; // degrees of the map of scenario 5 for one kilometre
const PARKING = 3; // minutes that travel by road counts beside the road
const minutesOf = (from: { lat: number; lon: number }, to: { lat: number; lon: number }) => Math.ceil(1.5 * (Math.round(Math.abs(from.lat - to.lat) / KM) + Math.round(Math.abs(from.lon - to.lon) / KM)));
let test: TestDatabase;
let perform: Perform;
let means: Means;
let roads: TableService;
beforeAll(async () => {
  test = await cloneDatabase();
  roads = await TableService.open((from, to) => Math.max(0, minutesOf(from, to) - PARKING));
  perform = createPerform(test.database, toolsAt(clock));
  means = { perform, compute: computeHere };
});
afterAll(async () => { roads?.close(); await test.drop(); });

async function planned(who: Who, weekStart: string, byRoad: boolean) {
  clock.now = new Date(clock.now.getTime() + 60_000);
  const planId = anId();
  await perform(startPlan, who, { weekStart, planId, seconds: 1, seed: 3 });
  await perform(wantVisits, who, { planId });
  const roadsMissing = byRoad ? await askRoads(perform, who, planId, openRoads({ ROAD_TABLE_URL: roads.url, ROAD_TABLE_MOST: 100, ROAD_TABLE_TIMEOUT_S: 5, ROAD_TABLE_WAIT_S: 60 })) : null;
  const week = await perform(loadWeekProblem, who, { planId, roadsMissing });
  const { problem, told } = problemToSolve(week);
  const plan = solve(problem, { seed: 3, stop: { iterations: 300 } });
  expect(checkPlan(problem, plan)).toEqual([]);
  const head = await perform(saveWeekPlan, who, { planId, ...madeOf(problem, plan, week.parts), unplannable: week.unplannable, told });
  return { planId, head, problem, plan, view: await perform(showWeek, who, { weekStart, planId }) };
}

function orders<T>(of: readonly T[]): T[][] {
  return of.length === 0 ? [[]] : of.flatMap((first) => orders(of.filter((one) => one !== first)).map((rest) => [first, ...rest]));
}

describe('scenario 5: one day\'s route', () => {
  const MONDAY = '2027-03-01';
  const NAMES = ['P', 'Q', 'R', 'S'];
  const clockOf = (minute: number) => `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
  let who: Who;
  let made: Awaited<ReturnType<typeof planned>>;
  const visit: Record<string, string> = {};
  beforeAll(async () => {
    who = { companyId: anId(), userId: anId(), name: 'Dispatcher', role: 'dispatcher', technicianId: null };
    await test.database.inCompany({ companyId: who.companyId, actorId: null }, async (tx) => {
      await aCompany(tx, who.companyId);
      await aUser(tx, who.companyId, { id: who.userId! });
      await aTechnician(tx, who.companyId, { name: 'Tess', homeLat: 40, homeLon: -3, shifts: [{ weekday: 1, from: '08:00', to: '17:00' }], maxOvertimeMin: 0 });
      // starts allowed in these hours; the site is left by their end and the minutes of the visit
      for (const [name, x, y, serviceMin, from, to] of [['P', 8, 2, 60, '08:00', '11:00'], ['Q', 10, -6, 45, '09:00', '12:45'], ['R', -5, -9, 90, '08:00', '18:30'], ['S', -7, 4, 30, '13:00', '15:30']] as const) {
        const site = await aSite(tx, who.companyId, { name, externalKey: name, lat: 40 + y * KM, lon: -3 + x * KM, accessHours: [{ weekday: 1, from, to }] });
        visit[name] = (await tx.db.visit.create({ data: { companyId: who.companyId, id: anId(), siteId: site.id, kind: 'urgent', state: 'wanted', title: name, serviceMin, createdAt: clock.now } })).id;
      }
    });
    made = await planned(who, MONDAY, true);
  });

  it('best is P-Q-R-S: starts 08:15, 09:30, 10:42, 13:00; drive 97 min, wait 25, back 13:47', () => {
    const [round] = made.view.rounds;
    const stops = round!.stops;
    expect(stops.map((stop) => NAMES.find((name) => visit[name] === stop.visitId))).toEqual(NAMES);
    expect(stops.map((stop) => clockOf(stop.startMin))).toEqual(['08:15', '09:30', '10:42', '13:00']);
    expect(stops.reduce((sum, stop) => sum + stop.startMin - stop.arriveMin, 0)).toBe(25);
    expect(round!.travelMin).toBe(97);
    expect(clockOf(round!.endMin)).toBe('13:47');
    expect(made.head.travel).toMatchObject({ legs: 5, estimated: 0, why: null });
  });

  it('exactly five orders are feasible, by the engine\'s own moves and by the checker', () => {
    const { problem } = made;
    const held = orders(NAMES).filter((order) => {
      let plan: WeekPlan = { rounds: [], unplaced: problem.visits.map((one) => ({ visitId: one.id, reason: { rule: 'unknown' as const, words: '' }, lapses: false })), cost: [] };
      for (const [position, name] of order.entries()) {
        const effect = moveEffect(problem, plan, { visitId: visit[name]!, technicianId: problem.technicians[0]!.id, day: MONDAY, position });
        if (effect.broken.length > 0) return false;
        plan = effect.plan;
      }
      expect(checkPlan(problem, { ...plan, cost: termsOf(recomputeCost(problem, plan)) })).toEqual([]);
      return true;
    });
    expect(held).toHaveLength(5);
    expect(held.map((order) => order.join(''))).toContain('PQRS');
  });

  it('R-P-Q-S is refused: by the checker, and when a dispatcher drags R to the front', async () => {
    const { problem, plan } = made;
    const [round] = plan.rounds;
    const order = ['R', 'P', 'Q', 'S'].map((name) => problem.visits.find((one) => one.id === visit[name])!);
    let [at, place] = [480, problem.technicians[0]!.home];
    const stops = order.map((one) => {
      const travelMin = problem.travel.minutes[place]![one.place]!;
      const arriveMin = at + travelMin;
      const startMin = Math.max(arriveMin, one.windows[0]!.startMin);
      [at, place] = [startMin + one.serviceMin, one.place];
      return { visitId: one.id, arriveMin, startMin, waitMin: startMin - arriveMin, endMin: at, travelMin };
    });
    const rules = checkPlan(problem, { ...plan, rounds: [{ ...round!, stops }] }).map((one) => one.rule);
    expect(rules).toContain('window');
    const dragged = await moveStop(means, who, { planId: made.planId, revision: made.head.revision, visitId: visit['R']!, technicianId: problem.technicians[0]!.id, day: MONDAY, position: 0, preview: true });
    expect(dragged.broken.length).toBeGreaterThan(0);
    await expect(moveStop(means, who, { planId: made.planId, revision: made.head.revision, visitId: visit['R']!, technicianId: problem.technicians[0]!.id, day: MONDAY, position: 0, preview: false })).rejects.toMatchObject({ problem: 'RuleBroken' });
  });
});

describe('scenario 3: exams, in the plans of the weeks', () => {
  it('everything with sounders stands on 5 to 9 April; in the weeks of the exams it is left out and the plan says why', async () => {
    const who: Who = { companyId: anId(), userId: anId(), name: 'Dispatcher', role: 'dispatcher', technicianId: null };
    const { companyId } = who;
    await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
      await aCompany(tx, companyId);
      await aUser(tx, companyId, { id: who.userId! });
      await aTechnician(tx, companyId, { name: 'Tess' });
      const site = await aSite(tx, companyId, { name: 'Ostrel primary school', accessHours: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '08:00', to: '16:00' })) });
      await tx.db.siteBlackout.create({ data: { companyId, id: anId(), siteId: site.id, kind: 'noise', fromDay: day('2027-03-22'), toDay: day('2027-04-02'), reason: 'exams', authority: 'school council', enteredAt: clock.now } });
      const system = await aSystem(tx, companyId, { siteId: site.id, kind: 'fire' });
      const programme = await tx.db.programme.create({ data: { companyId, id: anId(), key: 'p', version: 1, title: 'p', body: {}, createdAt: clock.now } });
      const application = await tx.db.programmeApplication.create({ data: { companyId, id: anId(), programmeId: programme.id, systemId: system.id, validFrom: day('2026-01-01'), appliedAt: clock.now } });
      // the three authorities: fire to 10 April, certification body to 30 April, insurer from 20 March
      for (const [rule, sounds, opens, lapses] of [['fire authority', true, '2027-01-10', '2027-04-10'], ['certification body', false, '2027-02-01', '2027-04-30'], ['insurer', false, '2027-03-20', '2027-06-30']] as const) {
        const duty = await tx.db.duty.create({ data: { companyId, id: anId(), applicationId: application.id, siteId: site.id, systemId: system.id, subjectKind: 'system', subjectId: system.id, ruleKey: rule, title: rule, regime: rule, mandated: true, sounds,
          cadence: { kind: 'since-last', min: { days: 275 }, nominal: { days: 365 }, max: { days: 365 } }, checkKinds: [rule], minutes: 60, skills: ['fire'], licences: [], validFrom: day('2026-01-01') } });
        await aWindow(tx, { dutyId: duty.id, siteId: site.id, opens, due: '2027-04-09', lapses, governsFrom: '2026-01-01' });
      }
    });
    clock.now = new Date('2027-03-19T09:00:00Z');
    const exams = await planned(who, '2027-03-22', false);
    expect(exams.view.rounds).toEqual([]);
    expect(exams.view.unplaced).toHaveLength(1);
    expect(exams.view.unplaced[0]!.words).not.toBe('');
    const after = await planned(who, '2027-04-05', false);
    const stops = after.view.rounds.flatMap((round) => round.stops.map((stop) => ({ day: round.day, visitId: stop.visitId })));
    expect(stops).toHaveLength(1);
    expect(['2027-04-05', '2027-04-06', '2027-04-07', '2027-04-08', '2027-04-09']).toContain(stops[0]!.day);
    const school = after.view.visits.find((one) => one.id === stops[0]!.visitId)!;
    expect([...new Set(school.windows.map((one) => one.day))]).toEqual(['2027-04-05', '2027-04-06', '2027-04-07', '2027-04-08', '2027-04-09']);
    expect(school).toMatchObject({ duties: 3, serviceMin: 25 + 180, needs: { soundMin: 60 } });
  });
});
