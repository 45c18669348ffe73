import { cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { nodeTools } from '@bellround/database';
import { demoCompanies, DEMO_SEED, makeSignals, seedDemo } from '@bellround/demo';
import { createPerform, listSilences, siteCondition } from '@bellround/operations';
import { localDate } from '@bellround/recurrence';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const NOW = new Date('2027-03-01T09:00:00Z');
let test: TestDatabase;
beforeAll(async () => {
  test = await cloneDatabase();
  await seedDemo(test.database, { now: NOW, planWeek: false });
}, 300_000);
afterAll(() => test.drop());

describe('the demo’s station history', () => {
  const company = demoCompanies(DEMO_SEED, '2027-03-01')[0]!;
  const { told } = makeSignals(company.sites, localDate('2027-03-01'), company.timeZone);
  const perform = () => createPerform(test.database, { ...nodeTools, now: () => NOW });
  const who = { companyId: company.id, userId: null, name: 'the house', role: 'house' as const, technicianId: null };

  it('shows silent paths beside good ones, one night that is the station’s own, and accounts of which nothing can be told', async () => {
    const shown = await perform()(listSilences, who, { days: 35 });
    expect(told.silentPaths.length).toBeGreaterThan(2);
    expect(shown.silent.map((one) => one.words)).toContain('one of two paths silent');
    expect(shown.counts.silent).toBe(told.silentPaths.length);
    expect(shown.incidents).toHaveLength(1);
    expect(shown.incidents[0]).toMatchObject({ receivers: ['Receiver 2'] });
    expect(shown.incidents[0]!.accounts.map((one) => one.accountNumber)).toEqual([...told.lostAccounts].toSorted());
    expect(shown.unknown.length).toBe(company.sites.length - told.accounts);
    expect(shown.closed).toEqual([]);
    expect(shown.counts.heard).toBeGreaterThan(200);
  });

  it('a drifting clock leans on the comb of its site', async () => {
    const site = company.sites.find((one) => one.systems.some((system) => system.paths.some((path) => told.drifting.includes(path.externalKey))))!;
    const shown = await perform()(siteCondition, who, { siteId: site.id });
    expect(JSON.stringify(shown)).toMatch(/later every day: the panel's clock is wrong/);
  });
});
