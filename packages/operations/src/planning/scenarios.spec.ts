import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, anId, aSite, aSystem, aTechnician, aUser, aWindow, cloneDatabase, day, type TestDatabase, toolsAt } from '@bellround/database/testing';
import { checkPlan, solve, type WeekPlan } from '@bellround/planning';
import {
  askWeek, computeHere, createPerform, keepAnswer, loadWeekProblem, moveStop, openVisit, problemToSolve, publishPlan, saveWeekPlan, showSqueeze, showWeek, startPlan, wantVisits, type Means, type Perform, type Who,
} from '../index.js';

// Scenarios of an invented world through the acts, in their own words and numbers: squeeze (6), licence (7), and disruptions of a running week.

const HOURS = [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '08:00', to: '18:00' }));
let test: TestDatabase;
const clock = { now: new Date('2027-03-01T07:00:00Z') };
let perform: Perform;
let means: Means;
beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  means = { perform, compute: computeHere };
});
afterAll(() => test.drop());

interface World { who: Who; people: Record<string, string>; sites: Record<string, string> }
interface Job { name: string; opens: string; lapses: string; minutes: number; lat?: number; lon?: number }

/** A company with people and one mandated fire duty per site. */
async function world(people: { name: string; skills: string[]; shift?: { from: string; to: string }; fireTo?: string; pairOnly?: boolean }[], jobs: Job[]): Promise<World> {
  const companyId = anId();
  const who: Who = { companyId, userId: anId(), name: 'Dispatcher', role: 'dispatcher', technicianId: null };
  const made: World = { who, people: {}, sites: {} };
  await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    await aUser(tx, companyId, { id: who.userId! });
    for (const one of people) {
      const shift = one.shift ?? { from: '08:00', to: '17:00' };
      const person = await aTechnician(tx, companyId, { name: one.name, skills: one.skills, pairOnly: one.pairOnly ?? false, email: `${one.name.toLowerCase()}@quillmere.example`, shifts: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, ...shift })), maxOvertimeMin: 0 });
      made.people[one.name] = person.id;
      await tx.db.licence.create({ data: { companyId, id: anId(), technicianId: person.id, kind: 'fire', validFrom: day('2024-01-01'), validTo: day(one.fireTo ?? '2029-12-31') } });
    }
    const programme = await tx.db.programme.create({ data: { companyId, id: anId(), key: 'p', version: 1, title: 'p', body: {}, createdAt: clock.now } });
    for (const [at, job] of jobs.entries()) {
      const site = await aSite(tx, companyId, { name: job.name, externalKey: job.name, lat: job.lat ?? 40 + at * 0.01, lon: job.lon ?? -3, accessHours: HOURS });
      made.sites[job.name] = site.id;
      const system = await aSystem(tx, companyId, { siteId: site.id, kind: 'fire', externalKey: `Y-${job.name}` });
      const application = await tx.db.programmeApplication.create({ data: { companyId, id: anId(), programmeId: programme.id, systemId: system.id, validFrom: day('2026-01-01'), appliedAt: clock.now } });
      const duty = await tx.db.duty.create({ data: { companyId, id: anId(), applicationId: application.id, siteId: site.id, systemId: system.id, subjectKind: 'system', subjectId: system.id, ruleKey: 'annual', title: 'Annual fire test', regime: 'example', mandated: true,
        cadence: { kind: 'since-last', min: { months: 10 }, nominal: { months: 12 }, max: { months: 14 } }, checkKinds: ['fire'], minutes: job.minutes, skills: ['fire'], licences: ['fire'], validFrom: day('2026-01-01') } });
      await aWindow(tx, { dutyId: duty.id, siteId: site.id, opens: job.opens, due: job.lapses, lapses: job.lapses, governsFrom: '2026-01-01' });
    }
  });
  return made;
}

async function planned(who: Who, weekStart: string, steps = 500) {
  clock.now = new Date(clock.now.getTime() + 60_000);
  const planId = anId();
  await perform(startPlan, who, { weekStart, planId, seconds: 1, seed: 3 });
  await perform(wantVisits, who, { planId });
  const week = await perform(loadWeekProblem, who, { planId });
  const { problem, told } = problemToSolve(week);
  const plan: WeekPlan = solve(problem, { seed: 3, stop: { iterations: steps } });
  expect(checkPlan(problem, plan)).toEqual([]);
  const head = await perform(saveWeekPlan, who, { planId, plan, unplannable: week.unplannable, told });
  return { planId, revision: head.revision, view: await perform(showWeek, who, { weekStart, planId }) };
}

describe('scenario 6: squeeze proof', () => {
  it('names 8-12 March: 66 h needed (J2, J3, J5), 60 h available, short 6 h; no other interval; at least two ways out, each re-checked', async () => {
    const march = (n: number) => `2027-03-${String(n).padStart(2, '0')}`;
    const jobs = ([['J1', 1, 10, 14], ['J2', 8, 12, 24], ['J3', 8, 12, 22], ['J4', 3, 12, 20], ['J5', 10, 12, 20], ['J6', 8, 19, 9]] as const).map(([name, opens, lapses, hours]) => ({ name, opens: march(opens), lapses: march(lapses), minutes: hours * 60 }));
    const six = { from: '08:00', to: '14:00' };
    const { who } = await world([{ name: 'Tess', skills: ['fire'], shift: six }, { name: 'Mirel', skills: ['fire'], shift: six }], jobs);
    const squeeze = await showSqueeze(means, who, { from: march(1), days: 19, counting: 'checks' });
    const intervals = new Set(squeeze.excesses.map((one) => `${one.from} ${one.to}`));
    expect(intervals).toEqual(new Set(['2027-03-08 2027-03-12']));
    expect(squeeze.excesses[0]).toMatchObject({ neededMin: 66 * 60, availableMin: 60 * 60, shortMin: 6 * 60 });
    expect(squeeze.excesses[0]!.sites.map((one) => one.siteName).sort()).toEqual(['J2', 'J3', 'J5']);
    expect(squeeze.waysOut.length).toBeGreaterThanOrEqual(2);
    for (const way of squeeze.waysOut) expect(way.words.length).toBeGreaterThan(5);
    expect(squeeze.waysOut.filter((way) => way.left.length === 0).length).toBeGreaterThanOrEqual(2);
  });
});

describe('scenario 7: licence', () => {
  it('Mirel on 12 March: allowed. Moved to 15 March: refused with the licence as reason, and looked at again at the start', async () => {
    const { who, people } = await world([{ name: 'Mirel', skills: ['fire'], fireTo: '2027-03-12' }], [{ name: 'Vexley', opens: '2027-03-01', lapses: '2027-03-20', minutes: 60 }]);
    const { planId, revision, view } = await planned(who, '2027-03-08');
    const visitId = view.visits[0]!.id;
    expect(view.rounds.map((round) => [round.technicianId, round.stops.map((stop) => stop.visitId)])).toEqual([[people['Mirel'], [visitId]]]);
    const booked = await moveStop(means, who, { planId, revision, visitId, technicianId: people['Mirel']!, day: '2027-03-12', preview: false });
    expect(booked.broken).toEqual([]);
    expect(booked.rounds.map((round) => round.day)).toEqual(['2027-03-12']);
    await publishPlan(means, who, { planId, revision: booked.plan.revision });
    const next = await planned(who, '2027-03-15');
    expect(next.view.unplaced.find((one) => one.visitId === visitId)!.words).toMatch(/licence/);
    // booked, then begun on the 15th: the rule is looked at again
    await test.database.inCompany({ companyId: who.companyId, actorId: null }, (tx) => tx.db.visit.updateMany({ where: { id: visitId }, data: { state: 'published', day: day('2027-03-15'), technicianId: people['Mirel']!, startMin: 540 } }));
    const was = clock.now;
    clock.now = new Date('2027-03-15T08:00:00Z');
    const mirel: Who = { ...who, role: 'technician', technicianId: people['Mirel']! };
    await expect(perform(openVisit, mirel, { visitId, id: anId() } as never)).rejects.toMatchObject({ problem: 'NotLicensed' });
    clock.now = was;
  });
});

describe('disruptions of a week', () => {
  const WEEK = '2027-03-01';
  const jobs = (n: number): Job[] => Array.from({ length: n }, (_, at) => ({ name: `Site ${at}`, opens: '2027-02-01', lapses: at < 4 ? '2027-03-03' : '2027-04-10', minutes: 60, lat: 40 + (at % 4) * 0.03, lon: -3 - Math.floor(at / 4) * 0.03 }));
  const people = ['Tess', 'Olu'].map((name) => ({ name, skills: ['fire'] }));

  it('sick at seven: hers go to others or out, what lapses stays in, nobody else is moved without need, and who must be called is named', async () => {
    const { who, people: ids } = await world(people, jobs(8));
    const { planId, view } = await planned(who, WEEK);
    const hers = view.rounds.filter((round) => round.technicianId === ids['Tess'] && round.day === '2027-03-01').flatMap((round) => round.stops.map((stop) => stop.visitId));
    const question = { kind: 'away' as const, technicianId: ids['Tess']!, fromDay: '2027-03-01', toDay: '2027-03-01', reason: 'sick' };
    const answer = await askWeek(means, who, { planId, question });
    expect(answer.broken).toEqual([]);
    expect(answer.rounds.some((round) => round.technicianId === ids['Tess'] && round.day === '2027-03-01')).toBe(false);
    expect(answer.unplaced.filter((one) => one.lapses)).toEqual([]);
    const moved = answer.changes.filter((one) => one.kind === 'moved' || one.kind === 'removed').map((one) => one.visitId);
    expect(moved.length).toBeGreaterThanOrEqual(hers.length);
    expect(moved.length).toBeLessThanOrEqual(hers.length + 1);
    expect(new Set(answer.calls.map((one) => one.visitId))).toEqual(new Set(answer.changes.filter((one) => one.kind !== 'added').map((one) => one.visitId)));
    const head = await keepAnswer(means, who, { planId, newPlanId: anId(), question });
    expect(head.label).toContain('Tess away 2027-03-01 (sick)');
  });

  it('storm, overrun of 50 minutes and a lost key: who is pushed, the fewest changes, whom to call', async () => {
    const { who } = await world(people, jobs(8));
    const { planId, view } = await planned(who, WEEK);
    const storm = await askWeek(means, who, { planId, question: { kind: 'travel', day: '2027-03-02', percent: 160, reason: 'storm' } });
    expect(storm.broken).toEqual([]);
    expect(storm.changes.every((one) => [one.from?.day, one.to?.day].includes('2027-03-02'))).toBe(true);
    const round = view.rounds.toSorted((a, b) => b.stops.length - a.stops.length)[0]!;
    const [first, ...later] = round.stops;
    const overrun = await askWeek(means, who, { planId, question: { kind: 'overrun', visitId: first!.visitId, extraMin: 50 } });
    expect(overrun.affected.map((one) => one.visitId)).toEqual(later.filter((stop) => overrun.affected.some((one) => one.visitId === stop.visitId)).map((stop) => stop.visitId));
    if (later.length > 0) expect(overrun.affected[0]).toMatchObject({ visitId: later[0]!.visitId, wasMin: later[0]!.startMin });
    expect(overrun.broken).toEqual([]);
    const lost = await askWeek(means, who, { planId, question: { kind: 'closed', visitId: first!.visitId, backOn: '2027-03-04', reason: 'key lost' } });
    const change = lost.changes.find((one) => one.visitId === first!.visitId);
    if (round.day < '2027-03-04') expect(change!.to === null || change!.to.day >= '2027-03-04').toBe(true);
    expect(lost.calls.map((one) => one.visitId)).toContain(first!.visitId);
    expect(lost.changes.filter((one) => one.kind === 'moved').length).toBeLessThanOrEqual(2);
  });
});
