import { createHash } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, aDevice, anId, aSite, aSystem, aTechnician, aUser, aWindow, cloneDatabase, day, type TestDatabase } from '@bellround/database/testing';
import { solve } from '@bellround/planning';
import {
  agreeDate, askWeek, capacityFacts, comparePlansOf, copyPlan, computeHere, createPerform, dropPlan, endDayTravel, keepAnswer, listLooseEnds, listPublications, loadWeekProblem, moveStop, openVisit, placeUrgent, publishPlan,
  rankUrgent, saveWeekPlan, showSqueeze, showWeek, startPlan, wantVisits, whyVisit, problemOf, type Means, type Perform, type Who,
} from '../index.js';

const A = anId();
const WEEK = '2027-03-01';
const NEXT = '2027-03-08';
let test: TestDatabase;
let perform: Perform;
let means: Means;
let who: Who;
let foreign: Who;
const clock = { now: new Date('2027-02-25T09:00:00Z') };
let tess = '';
let olu = '';
let sites: string[] = [];

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, { now: () => clock.now, newId: anId, sha256: (text) => createHash('sha256').update(text).digest('hex'), seed: () => 7 });
  means = { perform, compute: computeHere };
  who = { companyId: A, userId: anId(), name: 'Dispatcher', role: 'dispatcher', technicianId: null };
  foreign = { ...who, companyId: anId() };
  await test.database.inCompany({ companyId: foreign.companyId, actorId: null }, async (tx) => { await aCompany(tx, foreign.companyId); });
  await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await aCompany(tx, A);
    await aUser(tx, A, { id: who.userId! });
    tess = (await aTechnician(tx, A, { name: 'Tess', skills: ['intrusion', 'fire'], email: 'tess@quillmere.example' })).id;
    olu = (await aTechnician(tx, A, { name: 'Olu', skills: ['intrusion', 'fire'] })).id;
    const programme = await tx.db.programme.create({ data: { companyId: A, id: anId(), key: 'p', version: 1, title: 'p', body: {}, createdAt: clock.now } });
    for (let i = 0; i < 10; i++) {
      const site = await aSite(tx, A, { name: `Site ${i}`, lat: 40 + i * 0.02, lon: -3 - (i % 4) * 0.04, externalKey: `S-${i}` });
      sites.push(site.id);
      const system = await aSystem(tx, A, { siteId: site.id, kind: 'intrusion', externalKey: `Y-${i}` });
      await aDevice(tx, A, { systemId: system.id, kind: 'motion' });
      const application = await tx.db.programmeApplication.create({ data: { companyId: A, id: anId(), programmeId: programme.id, systemId: system.id, validFrom: day('2026-01-01'), appliedAt: clock.now } });
      const duty = await tx.db.duty.create({ data: { companyId: A, id: anId(), applicationId: application.id, siteId: site.id, systemId: system.id, subjectKind: 'system', subjectId: system.id, ruleKey: 'annual', title: 'Annual', regime: 'company', mandated: true,
        cadence: { kind: 'since-last', min: { months: 10 }, nominal: { months: 12 }, max: { months: 14 } }, checkKinds: ['set-unset'], minutes: 60, skills: ['intrusion'], licences: [], validFrom: day('2026-01-01') } });
      await aWindow(tx, { dutyId: duty.id, siteId: site.id, opens: '2027-02-01', due: '2027-03-03', lapses: i < 4 ? '2027-03-04' : '2027-04-30', governsFrom: '2026-01-01' });
    }
  });
});
afterAll(() => test.drop());

async function planned(weekStart = WEEK, steps = 600): Promise<{ planId: string; revision: number }> {
  const planId = anId();
  await perform(startPlan, who, { weekStart, planId, seconds: 1, seed: 3 });
  await perform(wantVisits, who, { planId });
  const week = await perform(loadWeekProblem, who, { planId });
  const plan = solve(problemOf(week.parts), { seed: week.seed, stop: { iterations: steps } });
  const head = await perform(saveWeekPlan, who, { planId, plan, unplannable: week.unplannable });
  return { planId, revision: head.revision };
}
const messages = () => test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.message.findMany({ where: { companyId: A, kind: 'rounds' }, orderBy: { createdAt: 'asc' } }));

describe('drafts: copied, compared, put aside, published', () => {
  it('copies a plan to a draft once, compares the two, and finds the visit that was moved', async () => {
    const { planId } = await planned();
    const newPlanId = anId();
    const copy = await perform(copyPlan, who, { planId, newPlanId });
    expect(await perform(copyPlan, who, { planId, newPlanId })).toEqual(copy);
    expect(copy).toMatchObject({ state: 'draft', placed: 10, madeFrom: planId });
    const same = await comparePlansOf(means, who, { planId, otherPlanId: newPlanId });
    expect(same).toMatchObject({ better: 'neither', changes: [] });
    const week = await perform(showWeek, who, { weekStart: WEEK, planId: newPlanId });
    const round = week.rounds[0]!;
    const visitId = round.stops[0]!.visitId;
    const other = round.technicianId === tess ? olu : tess;
    await moveStop(means, who, { planId: newPlanId, revision: copy.revision, visitId, technicianId: other, day: round.day, preview: false });
    const compared = await comparePlansOf(means, who, { planId, otherPlanId: newPlanId });
    expect(compared.changes.find((one) => one.visitId === visitId)).toMatchObject({ kind: 'moved', from: { technicianId: round.technicianId }, to: { technicianId: other } });
    expect(compared.technicians.reduce((sum, one) => sum + one.right.visits, 0)).toBe(10);
    const terms = Object.fromEntries(compared.terms.map((term) => [term.name, term.right - term.left]));
    expect(terms['travel']).not.toBe(0);
    expect(await perform(dropPlan, who, { planId: newPlanId, revision: copy.revision + 1 })).toMatchObject({ state: 'dropped' });
    expect((await perform(showWeek, who, { weekStart: WEEK })).plans.some((plan) => plan.id === newPlanId)).toBe(false);
    await expect(comparePlansOf(means, foreign, { planId, otherPlanId: newPlanId })).rejects.toMatchObject({ problem: 'NotFound' });
  });

  it('publishing tells each technician once, keeps what was published, and the next publication tells the changes alone', async () => {
    const first = await planned();
    await publishPlan(means, who, first);
    await publishPlan(means, who, first); // pressed twice
    const told = await messages();
    const busy = new Set((await perform(showWeek, who, { weekStart: WEEK, planId: first.planId })).rounds.map((round) => round.technicianId));
    expect(told).toHaveLength(busy.size);
    expect(told.find((mail) => mail.toName === 'Tess')).toMatchObject({ state: 'waiting', subject: 'Your rounds of the week of Mon 1 Mar 2027' });
    expect(told.find((mail) => mail.toName === 'Olu')).toMatchObject({ state: 'failed' });
    const copyId = anId();
    const copy = await perform(copyPlan, who, { planId: first.planId, newPlanId: copyId });
    const week = await perform(showWeek, who, { weekStart: WEEK, planId: copyId });
    const round = week.rounds.find((one) => one.technicianId === tess)!;
    const visitId = round.stops.at(-1)!.visitId;
    const moved = await moveStop(means, who, { planId: copyId, revision: copy.revision, visitId, technicianId: olu, day: round.day, preview: false });
    await publishPlan(means, who, { planId: copyId, revision: moved.plan.revision });
    const site = week.visits.find((visit) => visit.id === visitId)!.siteName;
    const later = (await messages()).filter((mail) => mail.subject.startsWith('Changes'));
    expect(later.find((mail) => mail.toName === 'Tess')!.body).toContain(`${site}: not yours any more`);
    expect(later.find((mail) => mail.toName === 'Olu')!.body).toContain(`taken over from Tess`);
    const record = await perform(listPublications, who, { weekStart: WEEK });
    expect(record.rows.map((row) => row.planId)).toEqual([copyId, first.planId]);
    expect(record.rows[0]!.changes.find((one) => one.visitId === visitId)).toMatchObject({ kind: 'moved' });
    await expect(test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.publication.deleteMany({}))).rejects.toThrow();
  });
});

describe('the dispatcher\'s questions', () => {
  it('somebody away: others take over, lapsing visits stay in, and who must be called is named; kept, it is a draft and an absence', async () => {
    const { planId } = await planned();
    const before = await perform(showWeek, who, { weekStart: WEEK, planId });
    const question = { kind: 'away' as const, technicianId: tess, fromDay: '2027-03-01', toDay: '2027-03-03', reason: 'sick' };
    const answer = await askWeek(means, who, { planId, question });
    expect(answer.broken).toEqual([]);
    for (const round of answer.rounds) if (round.day <= '2027-03-03') expect(round.technicianId).not.toBe(tess);
    const lapsing = new Set(before.visits.filter((visit) => visit.lapsesOn === '2027-03-04').map((visit) => visit.id));
    expect(answer.unplaced.filter((one) => lapsing.has(one.visitId))).toEqual([]);
    const hers = before.rounds.filter((round) => round.technicianId === tess && round.day <= '2027-03-03').flatMap((round) => round.stops).length;
    expect(answer.changes.filter((one) => one.kind === 'moved').length).toBeGreaterThanOrEqual(Math.min(1, hers));
    expect(answer.calls.every((call) => call.contact !== null && call.words.length > 10)).toBe(true);
    expect((await askWeek(means, who, { planId, question })).changes).toEqual(answer.changes);
    // rounds that keep their visits keep their order and their starts: nobody is called for nothing
    const set = (round: { stops: readonly { visitId: string }[] }) => round.stops.map((stop) => stop.visitId).sort().join();
    for (const round of answer.rounds) {
      const was = before.rounds.find((one) => one.technicianId === round.technicianId && one.day === round.day);
      if (was && set(was) === set(round)) expect(round.stops.map((stop) => [stop.visitId, stop.startMin])).toEqual(was.stops.map((stop) => [stop.visitId, stop.startMin]));
    }
    const newPlanId = anId();
    const kept = await keepAnswer(means, who, { planId, newPlanId, question });
    expect(await keepAnswer(means, who, { planId, newPlanId, question })).toEqual(kept);
    expect(kept.label).toBe('Tess away 2027-03-01 to 2027-03-03 (sick)');
    const after = await perform(showWeek, who, { weekStart: WEEK, planId: newPlanId });
    expect(after.technicians.find((one) => one.id === tess)!.absent).toEqual(['2027-03-01', '2027-03-02', '2027-03-03']);
    await publishPlan(means, who, { planId: newPlanId, revision: kept.revision });
    await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.absence.deleteMany({}));
  });

  it('a plan that changes while its question is computed is refused, and nothing is held locked meanwhile', async () => {
    const { planId, revision } = await planned();
    const question = { kind: 'travel' as const, day: '2027-03-02', percent: 160, reason: 'storm' };
    const meanwhile: Perform = Object.assign(async (act: Parameters<Perform>[0], asker: Who, input: unknown) => {
      const out = await perform(act, asker, input);
      await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.weekPlan.updateMany({ where: { id: planId }, data: { revision: { increment: 1 } } }));
      return out;
    }, { bulk: perform.bulk }) as Perform;
    await expect(askWeek({ ...means, perform: meanwhile }, who, { planId, question })).rejects.toMatchObject({ problem: 'Stale', message: expect.stringContaining(`it is at ${revision + 1}`) as string });
    expect((await askWeek(means, who, { planId, question })).broken).toEqual([]);
  });

  it('what is published was checked on the facts of now: what changes while it is checked is seen, and nothing is published then', async () => {
    const { planId, revision } = await planned();
    const { rounds: [round] } = await perform(showWeek, who, { weekStart: WEEK, planId });
    let checks = 0;
    // sick leave is entered while the plan is being checked
    const late: Means['compute'] = async (name, input) => {
      const out = await computeHere(name, input);
      if (name === 'check' && ++checks === 1) await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.absence.create({ data: { companyId: A, id: anId(), technicianId: round!.technicianId, fromDay: day(round!.day), toDay: day(round!.day), reason: 'sick', enteredAt: clock.now } }));
      return out;
    };
    await expect(publishPlan({ ...means, compute: late }, who, { planId, revision })).rejects.toMatchObject({ problem: 'RuleBroken' });
    expect(checks).toBe(2);
    expect((await perform(showWeek, who, { weekStart: WEEK, planId })).plan!.state).toBe('draft');
    await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.absence.deleteMany({ where: { technicianId: round!.technicianId, fromDay: day(round!.day) } }));
    const slow: Means['compute'] = async (name, input) => {
      const out = await computeHere(name, input);
      // the van is counted anew each time
      if (name === 'check') await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.vanStock.upsert({ where: { companyId_technicianId_part: { companyId: A, technicianId: round!.technicianId, part: 'fuse' } }, create: { companyId: A, technicianId: round!.technicianId, part: 'fuse', quantity: ++checks, countedAt: clock.now }, update: { quantity: ++checks } }));
      return out;
    };
    await expect(publishPlan({ ...means, compute: slow }, who, { planId, revision })).rejects.toMatchObject({ problem: 'Stale' });
    await expect(publishPlan(means, who, { planId, revision: revision + 5 })).rejects.toMatchObject({ problem: 'Stale' });
    await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.vanStock.deleteMany({ where: { part: 'fuse' } }));
  });

  it('a storm is kept with its day, and can be ended', async () => {
    const { planId } = await planned();
    const question = { kind: 'travel' as const, day: '2027-03-02', percent: 160, reason: 'storm' };
    const answer = await askWeek(means, who, { planId, question });
    expect(answer.broken).toEqual([]);
    expect(answer.title).toBe('Travel at 160 % on 2027-03-02 (storm)');
    await keepAnswer(means, who, { planId, newPlanId: anId(), question });
    expect((await perform(showWeek, who, { weekStart: WEEK })).dayTravel).toEqual([{ day: '2027-03-02', percent: 160, reason: 'storm' }]);
    expect(await perform(endDayTravel, who, { day: '2027-03-02' })).toEqual({ ended: true });
    await expect(askWeek(means, who, { planId, question: { ...question, day: '2027-03-20' } })).rejects.toMatchObject({ problem: 'BadInput' });
  });

  it('an overrun moves what follows it that day and says whom to call', async () => {
    const { planId } = await planned();
    const week = await perform(showWeek, who, { weekStart: WEEK, planId });
    const round = week.rounds.toSorted((a, b) => b.stops.length - a.stops.length)[0]!;
    const visitId = round.stops[0]!.visitId;
    const answer = await askWeek(means, who, { planId, question: { kind: 'overrun', visitId, extraMin: 50 } });
    expect(answer.broken).toEqual([]);
    const touched = answer.changes.filter((one) => one.from?.technicianId === round.technicianId && one.from.day === round.day).map((one) => one.visitId);
    for (const stop of round.stops.slice(1)) {
      const now = answer.rounds.flatMap((one) => one.stops).find((one) => one.visitId === stop.visitId);
      if (now && Math.abs(now.startMin - stop.startMin) >= 15) expect(touched).toContain(stop.visitId);
    }
    expect(touched.length).toBeGreaterThan(0);
    expect(answer.calls.map((call) => call.visitId).sort()).toEqual(touched.sort());
  });

  it('an urgent visit is ranked before it exists, and placed in a draft of its own', async () => {
    const { planId } = await planned();
    const asked = { planId, siteId: sites[5]!, serviceMin: 45, skills: ['intrusion'], persons: 1 as const, byDay: '2027-03-02' };
    const { rows } = await rankUrgent(means, who, asked);
    expect(rows[0]!.breaks).toEqual([]);
    expect(rows.every((row) => row.day <= '2027-03-02')).toBe(true);
    const costs = rows.filter((row) => row.breaks.length === 0).map((row) => row.costMin);
    expect(costs).toEqual([...costs].sort((a, b) => a - b));
    const made = { ...asked, newPlanId: anId(), visitId: anId(), title: 'panel shows a fault', technicianId: rows[0]!.technicianId, day: rows[0]!.day, position: rows[0]!.position };
    const head = await placeUrgent(means, who, made);
    expect(await placeUrgent(means, who, made)).toEqual(head);
    const week = await perform(showWeek, who, { weekStart: WEEK, planId: head.id });
    const round = week.rounds.find((one) => one.stops.some((stop) => stop.visitId === made.visitId))!;
    expect([round.technicianId, round.day]).toEqual([rows[0]!.technicianId, rows[0]!.day]);
    expect(round.stops.find((stop) => stop.visitId === made.visitId)!.startMin).toBe(rows[0]!.startMin);
    await expect(rankUrgent(means, who, { ...asked, siteId: anId() })).rejects.toMatchObject({ problem: 'NotFound' });
    await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => { await tx.db.visit.updateMany({ where: { id: made.visitId }, data: { state: 'cancelled' } }); });
  });

  it('says why a visit stands where it stands, and what must be in can be forced in', async () => {
    const { planId } = await planned();
    const week = await perform(showWeek, who, { weekStart: WEEK, planId });
    const visitId = week.rounds[0]!.stops[0]!.visitId;
    const why = await whyVisit(means, who, { planId, visitId });
    expect(why.here).toMatchObject({ technicianId: week.rounds[0]!.technicianId, day: week.rounds[0]!.day });
    expect(why.reasons.join(' ')).toMatch(/2 of 2 technicians have the skills \(intrusion\)/);
    expect(why.without!.some((term) => term.name === 'exposure' && term.change > 0)).toBe(true);
    const out = await perform(copyPlan, who, { planId, newPlanId: anId() });
    const taken = await moveStop(means, who, { planId: out.id, revision: out.revision, visitId, technicianId: null, preview: false });
    expect((await whyVisit(means, who, { planId: out.id, visitId })).here).toBeNull();
    const forced = await askWeek(means, who, { planId: out.id, question: { kind: 'force', visitId } });
    expect(taken.unplaced.some((one) => one.visitId === visitId)).toBe(true);
    expect(forced.rounds.some((round) => round.stops.some((stop) => stop.visitId === visitId))).toBe(true);
  });
});

describe('access', () => {
  it('lists whom to call, and a date agreed replaces the one before and binds the next plan', async () => {
    const { planId } = await planned();
    const call = (await perform(listLooseEnds, who, {})).rows.find((row) => row.kind === 'call-to-make')!;
    expect(call).toMatchObject({ contact: { name: 'Ostrel school board' } });
    const visitId = call.visitId!;
    const agreed = { visitId, id: anId(), day: '2027-03-05', fromMin: 600, toMin: 660, madeTo: 'Mr Ostrel', words: '', priceMin: null };
    await perform(agreeDate, who, { ...agreed, id: anId(), day: '2027-03-02' });
    await perform(agreeDate, who, agreed);
    expect(await perform(agreeDate, who, agreed)).toEqual({ promise: 'Fri 5 Mar 2027, start between 10:00 and 11:00' });
    await expect(perform(agreeDate, who, { ...agreed, day: '2027-03-04' })).rejects.toMatchObject({ problem: 'IdReused' });
    expect((await perform(listLooseEnds, who, {})).rows.some((row) => row.kind === 'call-to-make' && row.visitId === visitId)).toBe(false);
    const again = await planned();
    const week = await perform(showWeek, who, { weekStart: WEEK, planId: again.planId });
    const round = week.rounds.find((one) => one.stops.some((stop) => stop.visitId === visitId))!;
    expect(round.day).toBe('2027-03-05');
    expect(round.stops.find((stop) => stop.visitId === visitId)!.startMin).toBeGreaterThanOrEqual(600);
    await perform(agreeDate, who, { ...agreed, id: anId(), day: '2027-03-09' });
    const moved = await planned();
    const left = (await perform(showWeek, who, { weekStart: WEEK, planId: moved.planId })).unplaced.find((one) => one.visitId === visitId)!;
    expect(left.words).toMatch(/agreed with the client for 2027-03-09/);
    expect(planId).not.toBe(again.planId);
  });
});

describe('a running day', () => {
  it('goes on from the visit that has begun, and nothing starts in the past', async () => {
    const { planId, revision } = await planned(NEXT);
    await publishPlan(means, who, { planId, revision });
    const week = await perform(showWeek, who, { weekStart: NEXT, planId });
    const round = week.rounds[0]!;
    const stop = round.stops[0]!;
    const startsAt = new Date(Date.parse(`${round.day}T00:00:00+01:00`) + (stop.startMin + 10) * 60_000);
    clock.now = startsAt;
    await perform(openVisit, { ...who, technicianId: round.technicianId }, { visitId: stop.visitId, id: anId(), technicianId: round.technicianId });
    clock.now = new Date(startsAt.getTime() + 20 * 60_000);
    const again = await planned(NEXT);
    const after = await perform(showWeek, who, { weekStart: NEXT, planId: again.planId });
    const own = after.rounds.find((one) => one.technicianId === round.technicianId && one.day === round.day)!;
    expect(own.stops[0]).toMatchObject({ visitId: stop.visitId, startMin: stop.startMin + 10 });
    for (const later of own.stops.slice(1)) expect(later.startMin).toBeGreaterThanOrEqual(stop.startMin + 10 + 85);
    for (const one of after.rounds.filter((other) => other.day === round.day && other.technicianId !== round.technicianId)) for (const later of one.stops) expect(later.startMin).toBeGreaterThanOrEqual(stop.startMin + 30);
    expect(after.done).toMatchObject([{ visitId: stop.visitId, state: 'open', startMin: stop.startMin + 10 }]);
    await publishPlan(means, who, again);
    clock.now = new Date('2027-02-25T09:00:00Z');
  });
});

describe('what lies ahead', () => {
  it('finds no squeeze where there is room, and proves one where there is none', async () => {
    clock.now = new Date('2027-02-25T09:00:00Z');
    const roomy = await showSqueeze(means, who, { from: WEEK, days: 10, counting: 'checks' });
    expect(roomy.excesses).toEqual([]);
    const cell = roomy.groups.find((group) => group.skills.join() === 'intrusion')!.cells.find((one) => one.from === WEEK && one.to === '2027-03-04')!;
    // four sites of 60 minutes; two technicians, ten hours on each of four days
    expect(cell).toMatchObject({ neededMin: 240, availableMin: 2 * 4 * 600, tasks: 4 });
    await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => { await tx.db.duty.updateMany({ where: { title: 'Annual' }, data: { minutes: 1500 } }); });
    const tight = await showSqueeze(means, who, { from: WEEK, days: 10, counting: 'checks' });
    expect(tight.excesses[0]).toMatchObject({ from: WEEK, to: '2027-03-04', neededMin: 6000, availableMin: 4800, shortMin: 1200 });
    expect(tight.excesses[0]!.sites).toHaveLength(4);
    expect(tight.waysOut.length).toBeGreaterThanOrEqual(2);
    expect(tight.waysOut[0]!.left).toEqual([]);
    await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => { await tx.db.duty.updateMany({ where: { title: 'Annual' }, data: { minutes: 60 } }); });
  });

  it('carries duties on for a year, counts people, and says what a value rests on', async () => {
    const facts = await perform(capacityFacts, who, { weeks: 104 });
    expect(facts.fromMonday).toBe('2027-02-22');
    // ten annual duties: once now, and once a year later
    expect(facts.demand.reduce((sum, one) => sum + one.visits, 0)).toBeGreaterThanOrEqual(10);
    const later = facts.demand.filter((one) => one.closesWeek > 52);
    expect(later.length).toBeGreaterThan(0);
    expect(facts.people.map((one) => [one.name, one.minutesPerWeek])).toEqual([['Olu', 3000], ['Tess', 3000]]);
    expect(facts.sources.find((one) => one.name === 'away sick in a week')!.from).toMatch(/starting value/);
    expect([facts.uncertainty.leaveWeeks, (await perform(capacityFacts, who, { weeks: 52, leaveWeeks: 4 })).uncertainty.leaveWeeks]).toEqual([0, 4]);
    expect((await perform(capacityFacts, foreign, { weeks: 52 })).demand).toEqual([]);
    expect(facts.past).toEqual([]);
    expect(new Set(facts.demand.map((one) => one.area))).toEqual(new Set([null]));
  });

  it('holds forecasts of the past year against what came: windows that lapsed, week by week, with the staff of then; by locality where sites have one', async () => {
    const before = clock.now;
    clock.now = new Date('2027-05-26T09:00:00Z'); // 13 weeks after Monday 22 February
    await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
      await tx.db.site.updateMany({ where: { id: { in: sites.slice(0, 3) } }, data: { locality: 'Vexley' } });
      // one of those that lapsed on 4 March was met in time, before its last week
      await tx.sql(`update duty_timeline set met_on = date '2027-02-24', packed[5] = day_number(date '2027-02-24') where duty_id = (select min(duty_id::text)::uuid from duty_timeline where lapses = date '2027-03-04')`);
    });
    const facts = await perform(capacityFacts, who, { weeks: 52 });
    const last = facts.past.find((one) => one.fromMonday === '2027-02-22')!;
    expect(last.came).toHaveLength(13);
    expect(last.came.map((one) => one.lapsed)).toEqual(last.came.map((_, week) => week === 1 || week === 9));
    // four fell due in the second week: three still owed in it, of 60 minutes each and what stands around a visit
    expect(last.demand.filter((one) => one.closesWeek === 1).reduce((sum, one) => sum + one.visits, 0)).toBe(4);
    expect(last.came[1]!.neededMin).toBeGreaterThanOrEqual(3 * 60);
    expect(last.came[1]!.neededMin).toBeLessThan(4 * (60 + 25 + 30));
    expect(last.came[0]!.neededMin).toBeLessThan(last.came[1]!.neededMin);
    expect(last.people.map((one) => one.name)).toEqual(['Olu', 'Tess']);
    expect(facts.demand.some((one) => one.area === 'Vexley')).toBe(true);
    clock.now = before;
  });
});
