import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { demoInstruments } from './instruments.js';
import { demoCompanies, DEMO_SEED } from './demo-company.js';

const bytes = (seed: number, today: string) => createHash('sha256').update(JSON.stringify(demoCompanies(seed, today))).digest('hex');

describe('the invented companies', () => {
  it('are the same bytes for the same seed and day, and others for another seed', () => {
    expect(bytes(DEMO_SEED, '2027-03-01')).toBe(bytes(DEMO_SEED, '2027-03-01'));
    expect(bytes(DEMO_SEED + 1, '2027-03-01')).not.toBe(bytes(DEMO_SEED, '2027-03-01'));
  });

  it('have a believable history: most checks pass, some are marginal, some fail, and some deficiencies are open', () => {
    const [large, small] = demoCompanies(DEMO_SEED, '2027-03-01');
    expect([large!.sites.length, small!.sites.length]).toEqual([240, 24]);
    const share = (verdict: string) => large!.history.checks.filter((check) => check.judgement.verdict === verdict).length / large!.history.checks.length;
    expect(large!.history.checks.length).toBeGreaterThan(8000);
    expect(share('pass')).toBeGreaterThan(0.85);
    expect(share('marginal')).toBeGreaterThan(0.003);
    expect(share('fail')).toBeGreaterThan(0.005);
    expect(share('fail')).toBeLessThan(0.06);
    const open = large!.history.deficiencies.filter((one) => one.closedBy === null).length;
    expect(open).toBeGreaterThan(10);
    expect(large!.history.deficiencies.length - open).toBeGreaterThan(30);
    expect(large!.history.checks.every((check) => check.day < '2027-03-01')).toBe(true);
  });
});

it('what is measured with: one calibration ends within a month, one has ended, one is not known', () => {
  const lasts = demoInstruments('2026-11-25').map((one) => one.calibratedTo);
  expect(lasts.filter((to) => to === null)).toHaveLength(1);
  expect(lasts.filter((to) => to !== null && to < '2026-11-25')).toEqual(['2026-11-16']);
  expect(lasts.filter((to) => to !== null && to >= '2026-11-25' && to <= '2026-12-25')).toEqual(['2026-12-07']);
});
