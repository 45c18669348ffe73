import { describe, expect, it } from 'vitest';
import { JOBS } from '@bellround/contracts';
import { requireHandlers } from './main.js';

const all = Object.values(JOBS).map((job) => ({ job })) as unknown as Parameters<typeof requireHandlers>[0];

describe('requireHandlers', () => {
  it('takes every declared job once, and refuses a missing or a doubled one by its name', () => {
    expect(all.length).toBeGreaterThan(1);
    expect(() => requireHandlers(all)).not.toThrow();
    for (const one of all) {
      expect(() => requireHandlers(all.filter((other) => other !== one))).toThrow(`no processor for ${one.job.name}`);
      expect(() => requireHandlers([...all, one])).toThrow(`two processors for ${one.job.name}`);
    }
  });
});
