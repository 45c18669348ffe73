import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { minimumPick, OrderRefused, remainingOrder, stillOwed, visitOrder, type CheckDefinition, type OpenDuty, type Wanted } from './index.js';
import { aDefinition } from './spec-builders.js';

const want = (id: string, over: Partial<CheckDefinition> = {}, subjectId = 'x'): Wanted => ({ id, subjectId, definition: aDefinition({ key: id, ...over }) });

describe('[ACC-50] the order of a visit', () => {
  it('open checks, one hold with sounding last, restoring at the end', () => {
    const order = visitOrder([
      want('restore', { restores: true }), want('sounder', { needsHold: true, sounds: true }), want('log'), want('detector', { needsHold: true }), want('paths', { needsHold: true }),
    ]);
    expect(order.steps.map((s) => s.id)).toEqual(['log', 'detector', 'paths', 'sounder', 'restore']);
    expect(order.holds).toBe(1);
    expect(order.minutes).toBe(25);
  });
  it('what must follow a check in the hold is done in the hold', () => {
    const order = visitOrder([want('after-it', { after: ['held'] }), want('quiet'), want('held', { needsHold: true })]);
    expect(order.steps).toEqual([{ id: 'quiet', phase: 'open' }, { id: 'held', phase: 'hold' }, { id: 'after-it', phase: 'hold' }]);
  });
  it('excluded pairs on one subject are told apart, on two subjects they are not', () => {
    const pair = (subject: string) => visitOrder([want('acoustic', { needsHold: true, sounds: true }), want('background', { excludes: ['acoustic'] }, subject)]).apart;
    expect(pair('x')).toEqual([expect.objectContaining({ first: 'background', second: 'acoustic' })]);
    expect(pair('y')).toEqual([]);
    const room = visitOrder([{ ...want('acoustic', { needsHold: true, sounds: true }), unit: 'hall' }, { ...want('background', { excludes: ['acoustic'] }, 'y'), unit: 'hall' }]);
    expect(room.apart).toEqual([expect.objectContaining({ first: 'background', second: 'acoustic', words: expect.stringContaining('defer') })]);
  });
  it('refuses the same work twice, and checks that wait for each other', () => {
    expect(() => visitOrder([want('a'), want('a')])).toThrow(OrderRefused);
    expect(() => visitOrder([want('a', { after: ['b'] }), want('b', { after: ['a'] })])).toThrow(/wait for each other: a, b/);
    expect(() => visitOrder([want('restore', { restores: true }), want('late', { after: ['restore'] })])).toThrow(OrderRefused);
  });
  it('property: for random visits every check stands once, no wait is broken, one hold block, nothing after restoring', () => {
    let [seen, clashing] = [0, 0];
    const visit = fc.array(fc.record({ needsHold: fc.boolean(), sounds: fc.boolean(), restores: fc.boolean(), waits: fc.array(fc.nat(20), { maxLength: 3 }), excludes: fc.array(fc.nat(13), { maxLength: 2 }), subject: fc.constantFrom('x', 'y') }), { minLength: 1, maxLength: 14 });
    fc.assert(fc.property(visit, (items) => {
      seen += 1;
      // Waiting only for earlier numbers keeps the random visit free of cycles.
      const wanted = items.map(({ subject, waits, excludes, ...item }, i) => want(`k${i}`, { ...item, excludes: excludes.filter((j) => j !== i).map((j) => `k${j}`), after: item.restores ? [] : waits.filter((j) => j < i && items[j]!.restores === false).map((j) => `k${j}`) }, subject));
      const { steps, apart } = visitOrder(wanted);
      const at = new Map(steps.map((s, i) => [s.id, i]));
      expect(at.size).toBe(wanted.length);
      for (const w of wanted) {
        for (const key of w.definition.after) {
          const other = wanted.find((o) => o.id === key)!;
          if (other.subjectId === w.subjectId) expect(at.get(key)!).toBeLessThan(at.get(w.id)!);
        }
      }
      // Every excluded pair on one subject is told apart exactly once, the one that comes first named first; no other pair is.
      const clashes = wanted.flatMap((a, i) => wanted.slice(i + 1).flatMap((b) => (a.subjectId === b.subjectId && (a.definition.excludes.includes(b.id) || b.definition.excludes.includes(a.id)) ? [[a.id, b.id].toSorted((x, y) => at.get(x)! - at.get(y)!)] : [])));
      clashing += clashes.length;
      expect(apart.map((pair) => [pair.first, pair.second].join()).toSorted()).toEqual(clashes.map((pair) => pair.join()).toSorted());
      const inHold = steps.map((s) => s.phase.startsWith('hold'));
      expect(inHold.lastIndexOf(true) - inHold.indexOf(true) + 1).toBe(inHold.some(Boolean) ? inHold.filter(Boolean).length : 1);
      const firstRestore = steps.findIndex((s) => s.phase === 'restore');
      if (firstRestore >= 0) expect(steps.slice(firstRestore).every((s) => s.phase === 'restore')).toBe(true);
    }), { seed: 20270301, numRuns: 400 });
    expect(seen).toBeGreaterThanOrEqual(400);
    expect(clashing).toBeGreaterThan(200);
  });
});

describe('[ACC-53] the order of what is left', () => {
  const wanted = [want('battery', { needsHold: true }), want('tamper', { needsHold: true }), want('sounder', { needsHold: true, sounds: true }), want('restore', { restores: true })];
  const ids = (done: Parameters<typeof remainingOrder>[1]) => remainingOrder(wanted, done).steps.map((s) => s.id);
  it('a failed battery that was replaced, and an excused cover contact, come back before restoring', () => {
    expect(ids([{ id: 'battery', verdict: 'fail', mended: true }, { id: 'tamper', verdict: 'excused', owedThisVisit: true }])).toEqual(['battery again', 'tamper again', 'sounder', 'restore']);
  });
  it('what failed and was not mended, or was proven again, does not', () => {
    expect(ids([{ id: 'battery', verdict: 'fail' }, { id: 'tamper', verdict: 'excused' }])).toEqual(['sounder', 'restore']);
    expect(ids([{ id: 'battery', verdict: 'fail', mended: true }, { id: 'battery again', verdict: 'pass' }, { id: 'tamper', verdict: 'pass' }])).toEqual(['sounder', 'restore']);
  });
});

describe('[ACC-51] the minimum pick', () => {
  const kinds = ['a', 'b', 'c', 'd', 'e'];
  it('equals brute force on small cases', () => {
    let seen = 0;
    const duty = fc.record({ kinds: fc.subarray(kinds, { minLength: 1 }), subject: fc.constantFrom('x', 'y') });
    fc.assert(fc.property(fc.array(duty, { minLength: 1, maxLength: 6 }), fc.array(fc.integer({ min: 1, max: 12 }), { minLength: 5, maxLength: 5 }), (raw, minutes) => {
      seen += 1;
      const definitions = kinds.map((key, i) => aDefinition({ key, minutes: minutes[i]! }));
      const duties: OpenDuty[] = raw.map((d, i) => ({ id: `d${i}`, subjectId: d.subject, checkKinds: d.kinds }));
      const pick = minimumPick(duties, definitions);
      expect(pick.exact).toBe(true);
      expect(stillOwed(duties, pick.picks, definitions)).toEqual([]);
      const pairs = ['x', 'y'].flatMap((subjectId) => kinds.map((checkKey) => ({ subjectId, checkKey })));
      let least = Infinity;
      for (let mask = 0; mask < 1 << pairs.length; mask += 1) {
        const chosen = pairs.filter((_, i) => (mask >> i) & 1);
        const cost = chosen.reduce((sum, p) => sum + minutes[kinds.indexOf(p.checkKey)]!, 0);
        if (cost < least && stillOwed(duties, chosen, definitions).length === 0) least = cost;
      }
      expect(pick.minutes).toBe(least);
    }), { seed: 51, numRuns: 60 });
    expect(seen).toBeGreaterThanOrEqual(60);
  });
  it('says which duty nothing can meet, and honours the evidence asked', () => {
    const definitions = [aDefinition({ key: 'a', evidence: 'B' })];
    expect(minimumPick([{ id: 'd', subjectId: 'x', checkKinds: ['nowhere'] }], definitions)).toMatchObject({ picks: [], unmet: [{ duty: 'd' }] });
    expect(minimumPick([{ id: 'd', subjectId: 'x', checkKinds: ['a'], leastEvidence: 'A' }], definitions).unmet).toHaveLength(1);
    expect(minimumPick([{ id: 'd', subjectId: 'x', checkKinds: ['a'], leastEvidence: 'B' }], definitions).picks).toHaveLength(1);
  });
  it('[ACC-52] what stays owed for a pick', () => {
    const definitions = kinds.map((key) => aDefinition({ key }));
    const duties = [{ id: 'd1', subjectId: 'x', checkKinds: ['a'] }, { id: 'd2', subjectId: 'x', checkKinds: ['b', 'c'] }];
    expect(stillOwed(duties, [{ checkKey: 'a', subjectId: 'x' }], definitions)).toEqual(['d2']);
  });
});
