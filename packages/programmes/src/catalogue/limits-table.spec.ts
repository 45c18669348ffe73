import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { catalogue, limitsTable } from './index.js';

describe('the table of limits', () => {
  it('docs/guide/limits.md is the catalogue\'s own', () => {
    const file = new URL('../../../../docs/guide/limits.md', import.meta.url);
    expect(readFileSync(file, 'utf8')).toBe(limitsTable(catalogue));
  });
  it('has one row for each limit', () => {
    expect(limitsTable(catalogue).split('## Numbers beside the limits of checks')[0]!.split('\n').filter((line) => line.startsWith('| ')).length - 2).toBe(catalogue.reduce((sum, d) => sum + d.limits.length, 0));
  });
});
