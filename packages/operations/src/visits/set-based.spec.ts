import { CheckBody } from '@bellround/contracts';
import { aCompany, aDevice, anId, aPath, aSite, aSystem, aTechnician, aUser, cloneDatabase, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { createPerform, type Who } from '../perform.js';
import { createVisit } from './create-visit.js';
import { openVisit } from './open-visit.js';
import { recordChecks } from './record-checks.js';

const clock = { now: new Date('2027-03-01T09:00:00Z') };
let test: TestDatabase;
beforeAll(async () => { test = await cloneDatabase(); });
afterAll(() => test.drop());

type Tx = Parameters<Parameters<TestDatabase['database']['inCompany']>[1]>[0];

/** The same transaction, with every question asked of it counted. */
function counted(tx: Tx, count: () => void): Tx {
  const models = new Proxy(tx.db, { get: (db, model) => {
    const delegate = (db as never)[model] as unknown;
    if (typeof delegate !== 'object' || delegate === null) return delegate;
    return new Proxy(delegate, { get: (of, act) => { const one = (of as never)[act] as unknown; return typeof one === 'function' ? (...given: unknown[]) => { count(); return (one as (...all: unknown[]) => unknown).apply(of, given); } : one; } });
  } });
  return { db: models, sql: (text, values) => { count(); return tx.sql(text, values); } } as Tx;
}

async function questionsFor(sensors: number): Promise<{ questions: number; facts: string[] }> {
  const ids = { companyId: anId(), siteId: anId(), systemId: anId(), tessId: anId(), visitId: anId() };
  const devices = Array.from({ length: sensors }, () => anId());
  const users = await test.database.inCompany({ companyId: ids.companyId, actorId: null }, async (tx) => {
    await aCompany(tx, ids.companyId);
    await aSite(tx, ids.companyId, { id: ids.siteId });
    await aSystem(tx, ids.companyId, { id: ids.systemId, siteId: ids.siteId });
    for (const [n, id] of devices.entries()) await aDevice(tx, ids.companyId, { id, systemId: ids.systemId, kind: 'motion', link: 'wireless', label: `Motion ${n}` });
    await aPath(tx, ids.companyId, { systemId: ids.systemId });
    await aTechnician(tx, ids.companyId, { id: ids.tessId });
    return [await aUser(tx, ids.companyId, { role: 'owner', name: 'Ann' }), await aUser(tx, ids.companyId, { role: 'technician', name: 'Tess', technicianId: ids.tessId })];
  });
  const who = (n: number, role: Who['role'], technicianId: string | null): Who => ({ companyId: ids.companyId, userId: users[n]!.id, role, name: role, technicianId });
  const perform = createPerform(test.database, toolsAt(clock));
  await perform(createVisit, who(0, 'owner', null), { id: ids.visitId, siteId: ids.siteId, kind: 'urgent', pick: 'chosen', dutyIds: [], deficiencyIds: [], persons: 1, day: '2027-03-01', technicianId: ids.tessId });
  await perform(openVisit, who(1, 'technician', ids.tessId), { visitId: ids.visitId, id: anId() });
  let questions = 0;
  const listening = { inCompany: (scope: never, act: (tx: Tx) => Promise<unknown>, options: never) => test.database.inCompany(scope, (tx) => act(counted(tx, () => { questions += 1; })), options) };
  const checks = devices.flatMap((subjectId, n) => [-95, n % 2 ? -60 : -96].map((levelDbm, again) => CheckBody.parse({ id: anId(), checkKind: 'wireless-margin', subjectKind: 'device', subjectId, readings: { levelDbm, noiseDbm: -100 }, deviceClockAt: new Date(Date.parse('2027-03-01T08:00:00Z') + again * 600_000 + n * 1000).toISOString() })));
  const { answers } = await createPerform(listening as never, toolsAt(clock))(recordChecks, who(1, 'technician', ids.tessId), { visitId: ids.visitId, checks });
  expect(answers.every((answer) => answer.recorded !== null)).toBe(true);
  const facts = await test.database.inCompany({ companyId: ids.companyId, actorId: null }, (tx) => tx.db.deficiencyFact.findMany({ where: { companyId: ids.companyId }, include: { deficiency: true }, orderBy: { id: 'asc' } }));
  return { questions, facts: facts.map((fact) => `${fact.deficiency.subjectId === devices[0] ? 'first' : fact.deficiency.subjectId === devices[1] ? 'second' : 'other'} ${fact.kind}`) };
}

it('[DEF-1] forty checks of a batch ask the database no more often than four, and each is settled in its order', async () => {
  const [few, many] = [await questionsFor(2), await questionsFor(20)];
  expect(many.questions).toBe(few.questions);
  expect(few.questions).toBeGreaterThan(20);
  expect(many.facts.filter((fact) => fact.startsWith('first'))).toEqual(['first raised', 'first seen-again']);
  expect(many.facts.filter((fact) => fact.startsWith('second'))).toEqual(['second raised', 'second retest-passed']);
});
