import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assign } from './assignment.js';
import { kindsOfDevice, liveVerdict, zip, type Arrival, type Step } from './index.js';

const base = Date.UTC(2027, 2, 1, 9, 0, 0);
const at = (s: number) => new Date(base + s * 1000).toISOString();
const names = ['hall', 'kitchen', 'study', 'garage', 'cellar', 'landing', 'bath', 'office', 'store', 'porch', 'attic', 'lounge'];

describe('scenario 9: the zipper', () => {
  // Twelve contacts tripped; the phone is 37 s slow; nine right, one wrong text, one 140 s after (limit 90), one absent, one nobody tripped.
  const steps: Step[] = names.map((text, i) => ({ id: `s${i + 1}`, at: at(i * 60), account: '4711', zone: `${i + 1}`.padStart(3, '0'), text, limitS: 90 }));
  const delays = [2, 3, 1, 2, 4, 2, 3, 1, 2, 2, 140, null];
  const arrivals: Arrival[] = [
    ...steps.flatMap((step, i) => (delays[i] === null ? [] : [{ id: `e${i + 1}`, at: at(i * 60 + 37 - 2 + delays[i]!), account: '4711', zone: step.zone, text: i === 2 ? 'garage' : step.text! }])),
    { id: 'stray', at: at(500 + 37), account: '4711', zone: '040', text: 'shed' },
  ];
  const zipped = zip(steps, arrivals);

  it('[SIG-40] finds the offset 37 +/- 2 s from the unambiguous pairs', () => {
    expect(Math.abs(zipped.offsetS! - 37)).toBeLessThanOrEqual(2);
    expect(zipped.offsetPairs).toBe(11);
  });
  it('[SIG-40] 9 right, 1 wrong text, 1 late, 1 not received, 1 unexplained', () => {
    const count = (verdict: string) => zipped.steps.filter((s) => s.verdict === verdict).length;
    expect([count('right'), count('wrong-text'), count('late'), count('not-received'), zipped.unexplained.length]).toEqual([9, 1, 1, 1, 1]);
    expect(zipped.steps.find((s) => s.verdict === 'wrong-text')).toMatchObject({ step: 's3', words: "Right zone, but the station reads 'garage' for 'study'." });
    expect(zipped.steps.find((s) => s.verdict === 'late')).toMatchObject({ step: 's11', delayS: expect.closeTo(138, 0) });
    expect(zipped.steps.find((s) => s.verdict === 'not-received')!.step).toBe('s12');
    expect(zipped.unexplained).toEqual(['stray']);
  });
  it('[SIG-40] the order of the lists changes nothing', () => {
    expect(zip(steps.toReversed(), arrivals.toReversed())).toEqual(zipped);
    expect(zip([...steps.slice(5), ...steps.slice(0, 5)], [...arrivals.slice(7), ...arrivals.slice(0, 7)])).toEqual(zipped);
  });
  it('[SIG-40] noise events never unmatch a right step', () => {
    const noisy = zip(steps, [...arrivals, ...Array.from({ length: 30 }, (_, i) => ({ id: `n${i}`, at: at(i * 25), account: '4711', zone: `9${`${i}`.padStart(2, '0')}` }))]);
    for (const step of zipped.steps.filter((s) => s.verdict === 'right')) expect(noisy.steps.find((s) => s.step === step.step)!.arrival).toBe(step.arrival);
  });
});

describe('[SIG-40] single verdicts', () => {
  const step: Step = { id: 's', at: at(0), account: '4711', zone: '003', text: 'study', path: 'cellular', limitS: 90 };
  const arrival: Arrival = { id: 'e', at: at(4), account: '4711', zone: '003', text: 'Study ', path: 'cellular' };
  const known = { id: 'k', at: at(-100), account: '4711', zone: '001', limitS: 90 };
  const knownArrival = { id: 'ka', at: at(-100), account: '4711', zone: '001' };
  const verdict = (over: Partial<Arrival>, more: Arrival[] = [], stepOver: Partial<Step> = {}, now?: string) =>
    zip([known, { ...step, ...stepOver }], [knownArrival, { ...arrival, ...over }, ...more], now === undefined ? {} : { now }).steps.find((s) => s.step === 's')!;
  it.each<[Partial<Arrival>, string]>([
    [{}, 'right'], [{ text: 'garage' }, 'wrong-text'], [{ path: 'ethernet' }, 'wrong-path'], [{ zone: '004' }, 'wrong-zone'], [{ account: '4712' }, 'wrong-account'], [{ at: at(140) }, 'late'],
    [{ at: at(-60) }, 'not-received'], [{ restore: true }, 'not-received'], [{ text: null, path: null }, 'right'],
  ])('%j: %s', (over, expected) => expect(verdict(over).verdict).toBe(expected));
  it('twice', () => {
    const twice = zip([known, step], [knownArrival, arrival, { ...arrival, id: 'again', at: at(9) }]);
    expect(twice).toMatchObject({ twice: ['again'], unexplained: [] });
    expect(twice.steps.find((s) => s.step === 's')).toMatchObject({ verdict: 'right', twice: true });
  });
  it('a report held back on purpose stays pending, then is not received; in its time it is right', () => {
    const delayed = { pendingS: 10_800, zone: '301' };
    const none = { account: '9999', zone: '777' };
    expect(verdict(none, [], delayed, at(3600)).verdict).toBe('pending');
    expect(verdict(none, [], delayed, at(10_801)).verdict).toBe('not-received');
    expect(verdict({ zone: '301', at: at(4000) }, [{ id: 'z', at: at(4050), account: '4711', zone: '301', restore: true }], delayed, at(5000)).verdict).toBe('right');
  });
  it('fewer than three unambiguous pairs: no offset is claimed, and a late arrival stays late', () => {
    expect(zip([step], [])).toMatchObject({ offsetS: null, offsetPairs: 0, steps: [{ verdict: 'not-received' }] });
    expect(zip([step], [{ ...arrival, at: at(140) }])).toMatchObject({ offsetS: null, offsetPairs: 1, steps: [{ verdict: 'late' }] });
    expect(zip([step], [{ ...arrival, at: at(140) }], { knownOffsetS: 135 })).toMatchObject({ steps: [{ verdict: 'right', delayS: 5 }] });
  });
});

describe('[SIG-40] what an arrival is', () => {
  const step: Step = { id: 's', at: at(0), account: '4711', zone: '003', limitS: 90, kinds: ['fire'] };
  const arrival: Arrival = { id: 'e', at: at(4), account: '4711', zone: '003', kind: 'fire' };
  const zipped = (over: Partial<Arrival>, more: Arrival[] = []) => zip([step], [{ ...arrival, ...over }, ...more]);
  it.each<[Partial<Arrival>, string]>([
    [{}, 'right'], [{ kind: 'unknown' }, 'right'], [{ kind: 'intrusion' }, 'wrong-kind'], [{ kind: 'power' }, 'not-received'], [{ kind: 'opening' }, 'not-received'], [{ kind: 'periodic' }, 'not-received'],
    [{ kind: 'proof' }, 'right'], [{ kind: 'proof', zone: null }, 'not-received'], [{ kind: 'intrusion', at: at(200) }, 'wrong-kind'],
  ])('%j for a smoke detector: %s', (over, verdict) => expect(zipped(over).steps[0]!.verdict).toBe(verdict));
  it("user 3's closing and zone 3's low battery are no answer to zone 3 and no riddle", () => {
    const found = zipped({}, [{ id: 'close', at: at(2), account: '4711', zone: '003', kind: 'opening' }, { id: 'low', at: at(3), account: '4711', zone: '003', kind: 'power' }]);
    expect(found).toMatchObject({ routine: ['close'], unexplained: ['low'], twice: [] });
    expect(found.steps[0]).toMatchObject({ arrival: 'e', verdict: 'right' });
  });
  it("a step that asks for a routine event gets it", () => {
    const set: Step = { ...step, zone: '0', kinds: ['opening'] };
    expect(zip([set], [{ ...arrival, zone: '000', kind: 'opening' }])).toMatchObject({ routine: [], steps: [{ verdict: 'right' }] });
  });
  it('leading zeros and the case of hex digits carry nothing', () => {
    expect(zip([{ ...step, account: '0AB1', zone: '3' }], [{ ...arrival, account: 'ab1', zone: '003' }])).toMatchObject({ steps: [{ verdict: 'right' }] });
    expect(zip([{ ...step, zone: '30' }], [{ ...arrival, zone: '3' }])).toMatchObject({ steps: [{ verdict: 'wrong-zone' }] });
  });
  it('two zones wired crosswise are both told, not one right and one silent', () => {
    const steps = [1, 2, 3, 4, 5, 6].map((n) => ({ id: `s${n}`, at: at(n * 40), account: '4711', zone: `${n}`, limitS: 90 }));
    const arrivals = [1, 2, 4, 3, 5, 6].map((zone, i) => ({ id: `e${i + 1}`, at: at((i + 1) * 40 + 3), account: '4711', zone: `${zone}` }));
    expect(zip(steps, arrivals).steps.map((s) => s.verdict)).toEqual(['right', 'right', 'wrong-zone', 'wrong-zone', 'right', 'right']);
  });
  it('kinds by device', () => {
    expect([kindsOfDevice('smoke'), kindsOfDevice('contact'), kindsOfDevice('sounder'), kindsOfDevice('toString')]).toEqual([['fire'], ['intrusion'], undefined, undefined]);
  });
});

describe('[SIG-40] reports held back', () => {
  const mains: Step = { id: 'm', at: at(0), account: '4711', zone: '0', limitS: 90, pendingS: 10_800, kinds: ['power'] };
  it('says until when it waits, on the clock of the station', () => {
    const quick = [1, 2, 3].map((n) => ({ id: `s${n}`, at: at(n), account: '4711', zone: `${n}`, limitS: 90 }));
    const heard = [1, 2, 3].map((n) => ({ id: `e${n}`, at: at(n + 40), account: '4711', zone: `${n}` }));
    const waiting = zip([mains, ...quick], heard, { now: at(600) });
    expect(waiting).toMatchObject({ offsetS: 40, offsetSpreadS: 0 });
    expect(waiting.steps.find((s) => s.step === 'm')).toMatchObject({ verdict: 'pending', waitsUntil: at(10_840) });
    expect(waiting.steps.find((s) => s.step === 's1')!.waitsUntil).toBeNull();
    // three hours later it came after all
    const came = zip([mains, ...quick], [...heard, { id: 'em', at: at(7_000), account: '4711', zone: '000', kind: 'power' }], { now: at(20_000) });
    expect(came).toMatchObject({ offsetS: 40, offsetPairs: 3 });
    expect(came.steps.find((s) => s.step === 'm')).toMatchObject({ verdict: 'right', arrival: 'em' });
  });
});

describe('[SIG-41] live in a hold', () => {
  const step: Step = { id: 's', at: at(0), account: '4711', zone: '003', limitS: 90 };
  it.each<[Arrival[], number, string]>([
    [[], 30, 'pending'], [[], 91, 'not-received'],
    [[{ id: 'e', at: at(5), account: '4711', zone: '003' }], 6, 'right'],
    [[{ id: 'e', at: at(5), account: '4711', zone: '009' }], 6, 'wrong-zone'],
    [[{ id: 'e', at: at(5), account: '0815', zone: '003' }], 6, 'wrong-account'],
    [[{ id: 'e', at: at(120), account: '4711', zone: '003' }], 121, 'late'],
    [[{ id: 'w', at: at(3), account: '4711', zone: '009' }, { id: 'e', at: at(5), account: '4711', zone: '003' }], 6, 'right'],
  ])('%j at %d s: %s', (arrivals, now, expected) => expect(liveVerdict(step, arrivals, at(now)).verdict).toBe(expected));
  it('each wrong has its own words', () => {
    const words = [[], [{ id: 'e', at: at(5), account: '4711', zone: '009' }], [{ id: 'e', at: at(5), account: '0815', zone: '003' }], [{ id: 'e', at: at(120), account: '4711', zone: '003' }]].map((a) => liveVerdict(step, a, at(200)).words);
    expect(new Set(words).size).toBe(4);
  });
});

describe('[SIG-42] assignment', () => {
  it('equals brute force on small tables', () => {
    let seen = 0;
    const value = fc.oneof(fc.integer({ min: 0, max: 150 }), fc.constant(Infinity));
    fc.assert(fc.property(fc.integer({ min: 1, max: 5 }), fc.integer({ min: 0, max: 5 }), fc.array(value, { minLength: 25, maxLength: 25 }), (rows, columns, values) => {
      seen += 1;
      const table = Array.from({ length: rows }, (_, i) => values.slice(i * 5, i * 5 + columns));
      const total = (answer: readonly (number | null)[]) => answer.reduce<number>((sum, j, i) => sum + (j === null ? 100 : table[i]![j]!), 0);
      const best = (row: number, used: ReadonlySet<number>): number => {
        if (row === rows) return 0;
        let least = 100 + best(row + 1, used);
        for (let j = 0; j < columns; j += 1) if (!used.has(j) && table[row]![j]! < Infinity) least = Math.min(least, table[row]![j]! + best(row + 1, new Set([...used, j])));
        return least;
      };
      const answer = assign(table, 100);
      const taken = answer.filter((j) => j !== null);
      expect(new Set(taken).size).toBe(taken.length);
      expect(total(answer)).toBe(best(0, new Set()));
    }), { seed: 42, numRuns: 500 });
    expect(seen).toBe(500);
  });
});
