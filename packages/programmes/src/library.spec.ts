import { describe, expect, it } from 'vitest';
import { programmeLibrary, programmeProblems, programmeSchema } from './index.js';

describe('the programme library', () => {
  it('[PRO-1] holds programmes for every kind the library promises, each key once', () => {
    expect(new Set(programmeLibrary.map((p) => p.key)).size).toBe(programmeLibrary.length);
    expect(programmeLibrary.length).toBeGreaterThanOrEqual(12);
    expect(new Set(programmeLibrary.flatMap((p) => p.systemKinds))).toEqual(new Set(['intrusion', 'fire', 'panic', 'co', 'environmental']));
  });
  for (const programme of programmeLibrary) {
    it(`[PRO-2] ${programme.key} passes its own validator`, () => {
      const read = programmeSchema.safeParse(JSON.parse(JSON.stringify(programme)));
      expect(read.success ? [] : read.error.issues).toEqual([]);
      expect(read.data).toEqual(programme);
    });
    it(`[PRO-3] ${programme.key} fits the check catalogue`, () => expect(programmeProblems(programme)).toEqual([]));
    it(`[PRO-4] ${programme.key} carries the caution, and a clause and a provenance on every rule`, () => {
      expect(programme.caution).toContain('Local codes');
      expect(programme.caution).toContain('is not compliance');
      for (const rule of programme.rules) {
        expect(rule.source.clause, rule.key).not.toBe('');
        expect(rule.source.provenance, rule.key).toMatch(/SEEN-[PRU]|from memory|common practice|company rule/);
      }
    });
  }
});
