import { describe, expect, it } from 'vitest';
import { liveVerdict, sameNumber, zip, type Arrival, type Step } from './index.js';

// Which of several arrivals answers a step, and where each edge lies. Found missing by changing one sign of the code at a time.
const base = Date.UTC(2027, 2, 1, 9, 0, 0);
const at = (s: number) => new Date(base + s * 1000).toISOString();
const step = (over: Partial<Step> = {}): Step => ({ id: 's', at: at(0), account: '4711', zone: '3', text: 'study', path: 'cellular', limitS: 90, kinds: ['fire'], ...over });
const heard = (id: string, s: number, over: Partial<Arrival> = {}): Arrival => ({ id, at: at(s), account: '4711', zone: '3', text: 'study', path: 'cellular', kind: 'fire', ...over });
const only = (arrivals: Arrival[], over: Partial<Step> = {}, options = {}) => zip([step(over)], arrivals, options);

describe('[SIG-40] of several arrivals the one that agrees', () => {
  it.each<[string, Arrival[], string]>([
    ['right text before a nearer wrong one', [heard('near', 1, { text: 'garage' }), heard('e', 40)], 'e'], ['right path before a nearer wrong one', [heard('near', 1, { path: 'ethernet' }), heard('e', 40)], 'e'],
    ['right kind before a nearer wrong one', [heard('near', 1, { kind: 'intrusion' }), heard('e', 40)], 'e'], ['right zone before a nearer wrong one', [heard('near', 1, { zone: '4' }), heard('e', 40)], 'e'],
    ['right account before a nearer wrong one', [heard('near', 1, { account: '4712' }), heard('e', 40)], 'e'], ['in time with wrong text before late with right text', [heard('e', 50, { text: 'garage' }), heard('late', 120)], 'e'],
    ['wrong path before wrong text', [heard('e', 5, { path: 'ethernet' }), heard('text', 5, { text: 'garage' })], 'e'], ['wrong zone of our account before our zone of another', [heard('other', 2, { account: '4712' }), heard('e', 5, { zone: '9' })], 'e'],
    ['late before wrong zone', [heard('zone', 5, { zone: '9' }), heard('e', 100)], 'e'], ['wrong kind before late', [heard('late', 100), heard('e', 5, { kind: 'intrusion' })], 'e'], ['the nearer of two right ones', [heard('far', 60), heard('e', 20)], 'e'],
    ['the earlier of two late ones', [heard('later', 300), heard('e', 100)], 'e'],
  ])('%s', (_, arrivals, expected) => {
    expect(only(arrivals).steps[0]!.arrival).toBe(expected);
    expect(only(arrivals.toReversed()).steps[0]!.arrival).toBe(expected);
  });
  it('steps stand in order of time, then of name, whatever their names and the order given', () => {
    const steps = [step({ id: 'b', at: at(5), zone: '2' }), step({ id: 'a', at: at(9), zone: '1' }), step({ id: 'd', at: at(5), zone: '4' }), step({ id: 'c', at: at(5), zone: '3' })];
    expect(zip(steps, []).steps.map((s) => s.step)).toEqual(['b', 'c', 'd', 'a']);
    expect(zip(steps.toReversed(), []).steps.map((s) => s.step)).toEqual(['b', 'c', 'd', 'a']);
    const strays = [heard('z', 5, { zone: '8' }), heard('y', 9, { zone: '9' }), heard('x', 5, { zone: '7' })];
    expect(zip([], strays).unexplained).toEqual(['x', 'z', 'y']);
    expect(zip([], strays.toReversed()).unexplained).toEqual(['x', 'z', 'y']);
  });
});

describe('[SIG-40] edges', () => {
  it.each<[string, Arrival, string]>([
    ['at the limit', heard('e', 90), 'right'], ['past it', heard('e', 90.1), 'late'], ['an hour after', heard('e', 3600), 'late'], ['more than an hour after', heard('e', 3601), 'not-received'], ['15 s before', heard('e', -15), 'right'], ['16 s before', heard('e', -16), 'not-received'],
    ['wrong zone 10 s after', heard('e', 10, { zone: '4' }), 'wrong-zone'], ['wrong zone 11 s after', heard('e', 11, { zone: '4' }), 'not-received'], ['wrong account 11 s after', heard('e', 11, { account: '1' }), 'not-received'], ['both wrong', heard('e', 1, { account: '1', zone: '4' }), 'not-received'],
    ['no zone told', heard('e', 1, { zone: null }), 'wrong-zone'],
  ])('%s', (_, arrival, verdict) => expect(only([arrival]).steps[0]!.verdict).toBe(verdict));
  it('a repeat is one within the hour; before the step or long after it nobody explains it', () => {
    expect(only([heard('e', 2), heard('again', 3600)])).toMatchObject({ twice: ['again'], unexplained: [] });
    expect(only([heard('e', 2), heard('again', 3601)])).toMatchObject({ twice: [], unexplained: ['again'] });
    expect(only([heard('e', 2), heard('before', -15)])).toMatchObject({ twice: ['before'], unexplained: [] });
    expect(only([heard('e', 2), heard('before', -16)])).toMatchObject({ twice: [], unexplained: ['before'] });
    expect(only([heard('e', 2), heard('other', 3, { zone: '5' })])).toMatchObject({ twice: [], unexplained: ['other'] });
  });
  it('pending until its very last moment', () => {
    expect(only([], {}, { now: at(89.9) }).steps[0]).toMatchObject({ verdict: 'pending', waitsUntil: at(90) });
    expect(only([], {}, { now: at(90) }).steps[0]).toMatchObject({ verdict: 'not-received', waitsUntil: null });
  });
  it('[SIG-41] live: of two equally near the earlier', () => {
    expect(liveVerdict(step(), [heard('after', 3), heard('before', -3)], at(5)).arrival).toBe('before');
    expect(liveVerdict(step(), [heard('before', -3), heard('after', 3)], at(5)).arrival).toBe('before');
    expect(liveVerdict(step(), [heard('e', 42)], at(43), 40)).toMatchObject({ verdict: 'right', delayS: 2 });
  });
  it("the phone's offset is the lower middle of its pairs, with how far they spread", () => {
    const offset = (...seconds: number[]) => zip(seconds.map((_, i) => step({ id: `s${i}`, at: at(i * 1000), zone: `${i + 1}` })), seconds.map((s, i) => heard(`e${i}`, i * 1000 + s, { zone: `${i + 1}` })));
    expect(offset(9, 100, 10)).toMatchObject({ offsetS: 10, offsetPairs: 3 });
    expect(offset(44, 36, 40, 38)).toMatchObject({ offsetS: 38, offsetSpreadS: 1 });
    expect(offset(100, 9, 20, 10, 30)).toMatchObject({ offsetS: 20, offsetSpreadS: 10 });
    expect(offset(9, 100)).toMatchObject({ offsetS: null, offsetPairs: 2, offsetSpreadS: null });
  });
  it('a number that is not told is none', () => {
    expect([sameNumber(null, null), sameNumber(null, '3'), sameNumber('3', null), sameNumber('000', '0'), sameNumber(' 07', '7')]).toEqual([true, false, false, true, true]);
  });
});
