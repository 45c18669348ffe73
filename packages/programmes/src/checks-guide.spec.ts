import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { catalogue, checksGuide, dutiesMetBy } from './index.js';

describe('the guide of checks', () => {
  it('docs/guide/checks.md is the catalogue\'s own', () => {
    expect(readFileSync(new URL('../../../docs/guide/checks.md', import.meta.url), 'utf8')).toBe(checksGuide(catalogue));
  });
  it('shows each check, its cautions before its first step', () => {
    const sections = checksGuide(catalogue).split('\n## ').slice(1);
    expect(sections).toHaveLength(catalogue.length);
    for (const [i, section] of sections.entries()) {
      const { cautions, procedure } = catalogue[i]!;
      for (const caution of cautions) expect(section.indexOf(caution), catalogue[i]!.key).toBeLessThan(section.indexOf(`1. ${procedure[0]}`));
    }
  });
});

describe('[PRO-12] the duties that a check meets', () => {
  it('alone, and together with others', () => {
    expect(dutiesMetBy('battery-on-load').length).toBeGreaterThan(4);
    expect(dutiesMetBy('as-fitted-record').find((d) => d.programmeKey === 'intrusion-graded-monitored')).toMatchObject({ ruleKey: 'site-record', togetherWith: ['user-confidence'] });
    expect(dutiesMetBy('nowhere')).toEqual([]);
  });
  it('every check but the restoring one meets a duty of some programme', () => {
    expect(catalogue.filter((d) => dutiesMetBy(d.key).length === 0).map((d) => d.key)).toEqual(['restore-normal']);
  });
});
