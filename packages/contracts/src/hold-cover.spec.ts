import { describe, expect, it } from 'vitest';
import { holdCover, type HoldToCover } from './hold-cover.js';

const hold = (over: Partial<HoldToCover> = {}): HoldToCover => ({ accountId: 'a', parts: [], stationReference: 'W-88', openedAt: '2027-03-01T08:10:00Z', untilAt: '2027-03-01T10:10:00Z', closedAt: null, ...over });
const smoke = { accountId: 'a', systemKind: 'fire', kind: 'device' };

describe('[VIS-5] a hold covers a signal', () => {
  it.each([
    ['2027-03-01T08:09:59Z', false], ['2027-03-01T08:10:00Z', true], ['2027-03-01T10:09:59Z', true], ['2027-03-01T10:10:00Z', false], ['2027-03-01T10:12:00Z', false],
  ])('at %s: %s', (at, covered) => {
    expect(holdCover([hold()], smoke, ['a'], at).isCovered).toBe(covered);
  });

  it('of its parts only; everything when none are named; paths and panic by their own words', () => {
    const at = '2027-03-01T09:00:00Z';
    const covers = (parts: string[], subject: object) => holdCover([hold({ parts })], { ...smoke, ...subject }, ['a'], at).isCovered;
    expect([covers(['intrusion'], {}), covers(['fire'], {}), covers([], {}), covers(['paths'], {}), covers(['paths'], { kind: 'path' }), covers(['panic'], { systemKind: 'hold-up' })]).toEqual([false, true, true, false, true, true]);
  });

  it('of its account only; a subject without a known account needs one of the live ones; no live account needs none', () => {
    const at = '2027-03-01T09:00:00Z';
    expect(holdCover([hold({ accountId: 'b' })], smoke, ['a', 'b'], at).isCovered).toBe(false);
    expect(holdCover([hold({ accountId: 'b' })], { ...smoke, accountId: null }, ['a', 'b'], at).isCovered).toBe(true);
    expect(holdCover([], { ...smoke, accountId: null }, [], at)).toEqual({ isCovered: true, hold: null });
  });

  it('says why not: never held, ended, closed before its end', () => {
    expect(holdCover([], smoke, ['a'], '2027-03-01T09:00:00Z')).toMatchObject({ why: 'no hold of this visit covers it' });
    expect(holdCover([hold()], smoke, ['a'], '2027-03-01T10:12:00Z')).toMatchObject({ why: expect.stringContaining('ended at 2027-03-01T10:10:00Z') });
    expect(holdCover([hold({ closedAt: '2027-03-01T09:30:00Z' })], smoke, ['a'], '2027-03-01T09:31:00Z')).toMatchObject({ why: expect.stringContaining('was closed at 2027-03-01T09:30:00Z') });
  });
});
