import { routes } from '@bellround/contracts';
import { aCompany, aSite, aTechnician, anId } from '@bellround/database/testing';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

let api: TestApi;
const A = anId();
const B = anId();
const WEEK = '2027-03-01';
let dispatcher = '';
let technician = '';
let auditor = '';
let other = '';
let tess = '';
let siteId = '';
let planId = '';

beforeAll(async () => {
  api = await openTestApi('2027-02-25T09:00:00Z');
  await api.test.database.inCompany({ companyId: B, actorId: null }, async (tx) => { await aCompany(tx, B); });
  await api.test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    tess = (await aTechnician(tx, A)).id;
    siteId = (await aSite(tx, A)).id;
    planId = anId();
    await tx.db.weekPlan.create({ data: { companyId: A, id: planId, weekStart: new Date(`${WEEK}T00:00:00Z`), state: 'draft', seed: 1, createdAt: api.clock.now } });
  });
  dispatcher = await api.signInAs(A, 'dispatcher');
  technician = await api.signInAs(A, 'technician', tess);
  auditor = await api.signInAs(A, 'auditor');
  other = await api.signInAs(B, 'dispatcher');
});
afterAll(() => api.close());

describe('the door of planning', () => {
  it('names the field of a question that is out of bounds, and what is accepted', async () => {
    const wrong = await api.ask(routes.askWeek, dispatcher, { planId, question: { kind: 'travel', day: '2027-03-02', percent: 900, reason: 'storm' } });
    expect(wrong.status).toBe(400);
    expect(wrong.body.errors).toEqual([{ path: 'question.percent', message: 'must be from 50 to 500 % of the usual travel' }]);
    const unknown = await api.ask(routes.askWeek, dispatcher, { planId, question: { kind: 'nonsense' } as never });
    expect(unknown.status).toBe(400);
    const backwards = await api.ask(routes.agreeDate, dispatcher, { visitId: anId(), id: anId(), day: '2027-03-02', fromMin: 700, toMin: 600, madeTo: 'Mrs K.' });
    expect(backwards.body.errors?.[0]).toMatchObject({ path: 'toMin' });
  });

  it('lets a technician and an auditor look, and neither plan', async () => {
    expect((await api.ask(routes.showWeek, auditor, { weekStart: WEEK })).status).toBe(200);
    expect((await api.ask(routes.showSqueeze, technician, {})).status).toBe(200);
    for (const cookie of [technician, auditor]) {
      expect((await api.ask(routes.copyPlan, cookie, { planId, newPlanId: anId() })).status).toBe(403);
      expect((await api.ask(routes.askWeek, cookie, { planId, question: { kind: 'force', visitId: anId() } })).status).toBe(403);
      expect((await api.ask(routes.rankUrgent, cookie, { planId, siteId, serviceMin: 30 })).status).toBe(403);
    }
    expect((await api.ask(routes.showWeek, null, { weekStart: WEEK })).status).toBe(401);
  });

  it('answers another company as it answers what never existed', async () => {
    const question = { kind: 'away' as const, technicianId: tess, fromDay: '2027-03-01', toDay: '2027-03-01', reason: 'sick' };
    const stranger = await api.ask(routes.askWeek, other, { planId, question });
    const never = await api.ask(routes.askWeek, other, { planId: anId(), question });
    expect(stranger.status).toBe(404);
    expect({ ...stranger.body, instance: '' }).toEqual({ ...never.body, instance: '' });
    expect((await api.ask(routes.comparePlans, other, { planId, otherPlanId: planId })).status).toBe(404);
    expect((await api.ask(routes.rankUrgent, other, { planId, siteId, serviceMin: 30 })).status).toBe(404);
    expect((await api.ask(routes.listPublications, other, { weekStart: WEEK })).body.rows).toEqual([]);
  });

  it('ranks places for an urgent visit, looks a year ahead, and sends nothing that JSON cannot hold', async () => {
    const ranked = await api.ask(routes.rankUrgent, dispatcher, { planId, siteId, serviceMin: 30 });
    expect(ranked.status).toBe(200);
    expect(ranked.body.rows[0]).toMatchObject({ technicianName: 'Tess', breaks: [] });
    const ahead = await api.ask(routes.capacityFacts, dispatcher, { weeks: 52 });
    expect(ahead.body).toMatchObject({ weeks: 52, demand: [], fromMonday: '2027-02-22' });
    expect((await api.ask(routes.capacityFacts, dispatcher, { weeks: 52, leaveWeeks: 3 })).body.uncertainty).toMatchObject({ leaveWeeks: 3 });
    expect((await api.ask(routes.capacityFacts, dispatcher, { weeks: 52, leaveWeeks: 13 })).status).toBe(400);
    expect(ahead.text).not.toMatch(/null,null|NaN|Infinity/);
  });
});
