import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Refusal } from '@bellround/contracts';
import { aCompany, aDevice, anId, aSite, aSystem, aTechnician, aUser, aWindow, cloneDatabase, day, type TestDatabase } from '@bellround/database/testing';
import { checkPlan, solve } from '@bellround/planning';
import { cancelPlan, computeHere, createPerform, loadWeekProblem, moveStop, pinStop, publishPlan, saveWeekPlan, showWeek, startPlan, wantVisits, problemOf, type Means, type Perform, type Who } from '../index.js';

const A = anId();
const B = anId();
const WEEK = '2027-03-01';
let test: TestDatabase;
let perform: Perform;
let means: Means;
let who: Who;
let foreign: Who;
const clock = { now: new Date('2027-02-25T09:00:00Z') };
let tess = '';
let olu = '';

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, { now: () => clock.now, newId: anId, sha256: (text) => createHash('sha256').update(text).digest('hex'), seed: () => 7 });
  means = { perform, compute: computeHere };
  who = { companyId: A, userId: anId(), name: 'Dispatcher', role: 'dispatcher', technicianId: null };
  foreign = { ...who, companyId: B };
  await test.database.inCompany({ companyId: B, actorId: null }, async (tx) => { await aCompany(tx, B); });
  await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    await aUser(tx, A, { id: who.userId! });
    tess = (await aTechnician(tx, A, { name: 'Tess', skills: ['intrusion', 'fire'] })).id;
    olu = (await aTechnician(tx, A, { name: 'Olu', skills: ['intrusion'] })).id;
    const programme = await tx.db.programme.create({ data: { companyId: A, id: anId(), key: 'p', version: 1, title: 'p', body: {}, createdAt: clock.now } });
    for (let i = 0; i < 12; i++) {
      const site = await aSite(tx, A, { name: `Site ${i}`, lat: 40 + i * 0.03, lon: -3 - (i % 4) * 0.05, externalKey: `S-${i}` });
      const system = await aSystem(tx, A, { siteId: site.id, kind: i % 3 === 0 ? 'fire' : 'intrusion', externalKey: `Y-${i}` });
      await aDevice(tx, A, { systemId: system.id, kind: 'motion' });
      const application = await tx.db.programmeApplication.create({ data: { companyId: A, id: anId(), programmeId: programme.id, systemId: system.id, validFrom: day('2026-01-01'), appliedAt: clock.now } });
      const duty = await tx.db.duty.create({ data: { companyId: A, id: anId(), applicationId: application.id, siteId: site.id, systemId: system.id, subjectKind: 'system', subjectId: system.id, ruleKey: 'annual', title: 'Annual', regime: 'company', mandated: true, cadence: {}, checkKinds: ['set-unset'], minutes: 30, skills: [system.kind], licences: [], validFrom: day('2026-01-01') } });
      await aWindow(tx, { dutyId: duty.id, siteId: site.id, opens: '2027-02-01', due: '2027-03-03', lapses: i < 4 ? '2027-03-04' : '2027-04-30', governsFrom: '2026-01-01' });
    }
    await tx.db.site.updateMany({ where: { name: 'Site 11' }, data: { lat: null, lon: null } });
  });
});
afterAll(() => test.drop());

async function planned(): Promise<{ planId: string; revision: number }> {
  const planId = anId();
  await perform(startPlan, who, { weekStart: WEEK, planId, seconds: 1, seed: 3 });
  await perform(wantVisits, who, { planId });
  const week = await perform(loadWeekProblem, who, { planId });
  const plan = solve(problemOf(week.parts), { seed: week.seed, stop: { iterations: 400 } });
  expect(checkPlan(problemOf(week.parts), plan)).toEqual([]);
  const head = await perform(saveWeekPlan, who, { planId, plan, unplannable: week.unplannable });
  return { planId, revision: head.revision };
}

describe('a week from open duties to published rounds', () => {
  it('wants one visit per site, places every one that can be, and says why the others are left out', async () => {
    const { planId } = await planned();
    const week = await perform(showWeek, who, { weekStart: WEEK, planId });
    expect(week.visits).toHaveLength(12);
    expect(week.plan).toMatchObject({ state: 'draft', placed: 11, unplaced: 1 });
    expect(week.unplaced[0]!.words).toMatch(/Site 11 has no coordinates/);
    expect(week.lapsing.filter((line) => line.lapses === '2027-03-04')).toHaveLength(4);
    const fire = new Set(week.visits.filter((visit) => visit.skills.includes('fire')).map((visit) => visit.id));
    for (const round of week.rounds) for (const stop of round.stops) if (fire.has(stop.visitId)) expect(round.technicianId).toBe(tess);
  });

  it('wants nothing twice', async () => {
    const { planId } = await planned();
    expect(await perform(wantVisits, who, { planId })).toEqual({ made: 0, duties: 0 });
  });

  it('refuses a move that breaks a rule, in words, and shows its cost before', async () => {
    const { planId, revision } = await planned();
    const week = await perform(showWeek, who, { weekStart: WEEK, planId });
    const fire = week.visits.find((visit) => visit.skills.includes('fire'))!;
    const preview = await moveStop(means, who, { planId, revision, visitId: fire.id, technicianId: olu, day: '2027-03-02', preview: true });
    expect(preview.broken.join()).toMatch(/fire/);
    await expect(moveStop(means, who, { planId, revision, visitId: fire.id, technicianId: olu, day: '2027-03-02', preview: false })).rejects.toMatchObject({ problem: 'RuleBroken' });
    const moved = await moveStop(means, who, { planId, revision, visitId: fire.id, technicianId: tess, day: '2027-03-05', preview: false });
    expect(moved.plan.revision).toBe(revision + 1);
    await expect(moveStop(means, who, { planId, revision, visitId: fire.id, technicianId: tess, day: '2027-03-04', preview: false })).rejects.toMatchObject({ problem: 'Stale' });
  });

  it('publishes after checking again, keeps the replaced plan, and a pinned visit stays in later plans', async () => {
    const { planId, revision } = await planned();
    const head = await publishPlan(means, who, { planId, revision });
    expect(head.state).toBe('published');
    const week = await perform(showWeek, who, { weekStart: WEEK, planId });
    expect(week.visits.filter((visit) => visit.state === 'published')).toHaveLength(11);
    const round = week.rounds[0]!;
    await perform(pinStop, who, { planId, revision: head.revision, visitId: round.stops[0]!.visitId, pinned: true });
    const second = await planned();
    const again = await perform(showWeek, who, { weekStart: WEEK, planId: second.planId });
    const where = again.rounds.find((one) => one.stops.some((stop) => stop.visitId === round.stops[0]!.visitId))!;
    expect([where.technicianId, where.day]).toEqual([round.technicianId, round.day]);
    await publishPlan(means, who, second);
    const states = (await perform(showWeek, who, { weekStart: WEEK })).plans.map((plan) => plan.state);
    expect(states.filter((state) => state === 'published')).toHaveLength(1);
    expect(states).toContain('superseded');
  });

  it('does not publish what a licence or an absence entered since would break', async () => {
    const { planId, revision } = await planned();
    await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.absence.create({ data: { companyId: A, id: anId(), technicianId: tess, fromDay: day('2027-03-01'), toDay: day('2027-03-07'), reason: 'sick', enteredAt: clock.now } }));
    await expect(publishPlan(means, who, { planId, revision })).rejects.toMatchObject({ problem: 'RuleBroken' });
    await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.absence.deleteMany({}));
  });

  it('can be cancelled while it computes; a week begins on Monday; another company finds nothing', async () => {
    const planId = anId();
    await perform(startPlan, who, { weekStart: WEEK, planId, seconds: 1 });
    await perform(wantVisits, who, { planId });
    const week = await perform(loadWeekProblem, who, { planId });
    expect((await perform(cancelPlan, who, { planId })).state).toBe('cancelled');
    expect((await perform(cancelPlan, who, { planId })).state).toBe('cancelled');
    // the worker hears of it at its next tick and saves the best it has
    const best = solve(problemOf(week.parts), { seed: 1, stop: { iterations: 64 } });
    expect(await perform(saveWeekPlan, who, { planId, plan: best, unplannable: week.unplannable })).toMatchObject({ state: 'draft', placed: best.rounds.flatMap((round) => round.stops).length });
    await expect(perform(startPlan, who, { weekStart: '2027-03-02', planId: anId(), seconds: 1 })).rejects.toBeInstanceOf(Refusal);
    await expect(perform(cancelPlan, foreign, { planId: anId() })).rejects.toMatchObject({ problem: 'NotFound' });
    await expect(perform(cancelPlan, foreign, { planId })).rejects.toMatchObject({ problem: 'NotFound' });
    expect((await perform(showWeek, foreign, { weekStart: WEEK })).visits).toEqual([]);
  });
});
