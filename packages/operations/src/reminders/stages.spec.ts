import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { aCompany, anId, aSite, aSystem, aWindow, cloneDatabase, day, EPOCH, toolsAt, type TestDatabase } from '@bellround/database/testing';
import { createPerform, type Perform, type Who } from '../perform.js';
import { nightlySweep } from './nightly-sweep.js';

// Three duties of one system, all of which lapse on 31 May 2027; the company reminds 28, 7 and 1 day before.
const clock = { now: new Date('2027-04-01T03:00:00Z') };
const companyId = anId();
const who: Who = { companyId, userId: null, name: 'Ann', role: 'owner', technicianId: null };
let test: TestDatabase;
let perform: Perform;

beforeAll(async () => {
  test = await cloneDatabase();
  perform = createPerform(test.database, toolsAt(clock));
  await test.database.inCompany({ companyId, actorId: null }, async (tx) => {
    await aCompany(tx, companyId);
    const siteId = anId();
    await aSite(tx, companyId, { id: siteId });
    const system = await aSystem(tx, companyId, { siteId });
    const rules = [{ key: 'long', reminderStagesDays: [60, 30] }, { key: 'short', reminderStagesDays: [2] }, { key: 'silent', reminderStagesDays: [] }];
    const programme = await tx.db.programme.create({ data: { companyId, id: anId(), key: 'p', version: 1, title: 'P', body: { rules }, createdAt: EPOCH } });
    const application = await tx.db.programmeApplication.create({ data: { companyId, id: anId(), programmeId: programme.id, systemId: system.id, validFrom: day('2026-01-01'), appliedAt: EPOCH } });
    for (const { key } of rules) {
      const dutyId = anId();
      await tx.db.duty.create({ data: { companyId, id: dutyId, applicationId: application.id, siteId, systemId: system.id, subjectKind: 'system', subjectId: system.id, ruleKey: key, title: key, regime: 'company', mandated: true,
        cadence: { kind: 'since-last', min: { months: 10 }, nominal: { months: 12 }, max: { months: 14 } }, checkKinds: ['x'], minutes: 30, skills: [], licences: [], validFrom: day('2026-01-01') } });
      await aWindow(tx, { dutyId, siteId, opens: '2027-02-01', due: '2027-05-01', lapses: '2027-05-31', governsFrom: '2026-01-01', carried: 'proven' });
    }
  });
});
afterAll(() => test.drop());

describe('[REM-5] a rule with stages of its own is reminded at those, one without at the company\'s', () => {
  it.each([
    ['2027-03-31', []], ['2027-04-01', ['long']], ['2027-04-02', []], ['2027-04-30', []], ['2027-05-01', ['long']], ['2027-05-02', []], ['2027-05-03', ['silent']], ['2027-05-24', ['silent']], ['2027-05-28', []], ['2027-05-29', ['short']], ['2027-05-30', ['silent']], ['2027-05-31', []],
  ])('%s: %j', async (night, titles) => {
    const before = new Set((await messages()).map((one) => one.id));
    await perform(nightlySweep, who, { day: night });
    expect((await messages()).filter((one) => !before.has(one.id)).flatMap((one) => [...one.body.matchAll(/^- (.*) \(company\)/gm)].map((line) => line[1]))).toEqual(titles);
  });
});

const messages = () => test.database.inCompany({ companyId, actorId: null }, (tx) => tx.sql<{ id: string; body: string }>('select id::text, body from message'));
