import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { accountSilence, findGaps, learnInterval, silenceWords, stationIncidents } from './index.js';

const rule = { intervalH: 24, graceH: 1 };

describe('scenario 14: silence and daylight saving', () => {
  it.each([
    ['spring', ['2027-03-27T01:30:00Z', '2027-03-28T01:30:00Z', '2027-03-29T00:30:00Z'], '2027-03-29T08:00:00Z'],
    ['autumn', ['2027-10-30T00:30:00Z', '2027-10-31T00:30:00Z', '2027-11-01T01:30:00Z'], '2027-11-01T08:00:00Z'],
  ])('[SIG-31] no gap at the %s change of the clock', (_, heard, now) => {
    expect(findGaps(heard, rule, now)).toMatchObject({ state: 'heard', gaps: [] });
  });
  it('[SIG-31] a limit of 24 h would call the autumn change a gap: 25 h', () => {
    expect(findGaps(['2027-10-31T00:30:00Z', '2027-11-01T01:30:00Z'], { intervalH: 24, graceH: 0 }, '2027-11-01T02:00:00Z').gaps).toEqual([
      { from: '2027-10-31T00:30:00.000Z', to: '2027-11-01T01:30:00.000Z', hours: 25, open: false },
    ]);
  });
  // 11 April 02:30 and 20 April 09:00 in Europe/Madrid, UTC+2.
  const second = findGaps(['2027-04-10T00:30:00Z', '2027-04-11T00:30:00Z'], rule, '2027-04-20T07:00:00Z');
  const first = findGaps(['2027-04-19T00:30:00Z', '2027-04-20T00:30:00Z'], rule, '2027-04-20T07:00:00Z');
  it('[SIG-31] path 2 is silent 222.5 h = 9 d 6.5 h', () => {
    expect(second).toMatchObject({ state: 'silent', silentH: 222.5 });
    expect(second.words).toContain('222.5 h = 9 d 6.5 h');
  });
  it("[SIG-33] the account is 'one of two paths silent' although path 1 is fine", () => {
    expect(accountSilence([{ path: '1', silence: first }, { path: '2', silence: second }])).toEqual({ silent: ['2'], unknown: [], words: 'one of two paths silent' });
  });
  it('[SIG-31] never heard is unknown, not silent and not good', () => {
    const none = findGaps([], rule, '2027-04-20T07:00:00Z');
    expect(none).toMatchObject({ state: 'unknown', availability: null });
    expect(accountSilence([{ path: '1', silence: first }, { path: '2', silence: none }]).words).toBe("one of two paths can't tell");
    expect(accountSilence([]).words).toContain("can't tell");
  });
  it('[SIG-34] 41 of 43 accounts of receiver 2 silent 02:10 to 05:40 are one incident with 41 names', () => {
    const gaps = Array.from({ length: 41 }, (_, i) => ({ account: `A${`${i}`.padStart(2, '0')}`, receiver: '2', from: '2027-04-20T00:10:00Z', to: '2027-04-20T03:40:00Z' }));
    const alone = { account: 'B01', receiver: '1', from: '2027-04-20T00:10:00Z', to: '2027-04-20T03:40:00Z' };
    const found = stationIncidents([...gaps, alone], { '1': 50, '2': 43 });
    expect(found.incidents).toHaveLength(1);
    expect(found.incidents[0]).toMatchObject({ receiver: '2', receivers: ['2'], from: '2027-04-20T00:10:00.000Z', to: '2027-04-20T03:40:00.000Z', ofAccounts: 43 });
    expect(found.incidents[0]!.accounts).toHaveLength(41);
    expect(found.apart).toEqual([alone]);
  });
  it('[SIG-34] one that comes back early does not shorten the incident, one that stays silent keeps its own fault', () => {
    const gaps = Array.from({ length: 20 }, (_, i) => ({ account: `A${i}`, receiver: '2', from: '2027-04-20T00:10:00Z', to: i === 0 ? '2027-04-20T00:40:00Z' : i === 1 ? '2027-04-20T11:00:00Z' : '2027-04-20T03:40:00Z' }));
    const { incidents, apart } = stationIncidents(gaps, { '2': 21 });
    expect(incidents).toEqual([expect.objectContaining({ from: '2027-04-20T00:10:00.000Z', to: '2027-04-20T03:40:00.000Z' })]);
    expect(apart).toEqual([{ account: 'A1', receiver: '2', from: '2027-04-20T03:40:00.000Z', to: '2027-04-20T11:00:00Z' }]);
  });
  it('[SIG-34] two receivers silent over the same time have one cause; at another time they have two', () => {
    const gaps = (receiver: string, from: string, to: string) => Array.from({ length: 5 }, (_, i) => ({ account: `${receiver}-${i}`, receiver, from, to }));
    const first = gaps('1', '2027-04-20T00:10:00Z', '2027-04-20T03:40:00Z');
    const together = stationIncidents([...first, ...gaps('2', '2027-04-20T00:30:00Z', '2027-04-20T03:50:00Z')], { '1': 6, '2': 5 }).incidents;
    expect(together).toEqual([expect.objectContaining({ receivers: ['1', '2'], receiver: '1 and 2', ofAccounts: 11, from: '2027-04-20T00:10:00.000Z', to: '2027-04-20T03:50:00.000Z' })]);
    expect(together[0]!.accounts).toHaveLength(10);
    expect(stationIncidents([...first, ...gaps('2', '2027-04-20T03:00:00Z', '2027-04-20T09:00:00Z')], { '1': 6, '2': 5 }).incidents).toHaveLength(2);
  });
  it.each<[string, readonly [string, string], readonly [string, string], number]>([
    ['half of their time shared is two causes', ['00:00', '04:00'], ['02:00', '06:00'], 2], ['more than half is one', ['00:00', '04:00'], ['01:50', '05:50'], 1], ['a short one inside a long one is one', ['00:00', '08:00'], ['03:00', '04:00'], 1],
    ['one after the other is two', ['00:00', '02:00'], ['02:00', '04:00'], 2],
  ])('[SIG-34] %s', (_, one, other, count) => {
    const gaps = (receiver: string, [from, to]: readonly [string, string]) => Array.from({ length: 4 }, (_unused, i) => ({ account: `${receiver}-${i}`, receiver, from: `2027-04-20T${from}:00Z`, to: `2027-04-20T${to}:00Z` }));
    // The receiver that comes later in the list begins first: incidents stand in order of time, whatever they are called.
    const { incidents } = stationIncidents([...gaps('1', other), ...gaps('2', one)], { '1': 4, '2': 4 });
    expect(incidents).toHaveLength(count);
    expect(incidents[0]!.from).toBe(`2027-04-20T${one[0]}:00.000Z`);
    if (count === 2) expect(incidents.map((incident) => incident.receiver)).toEqual(['2', '1']);
  });
  it('[SIG-34] silent an hour longer than the others is still the same, a second more is its own fault', () => {
    const gaps = (last: string) => Array.from({ length: 5 }, (_, i) => ({ account: `A${i}`, receiver: '1', from: '2027-04-20T00:10:00Z', to: i === 0 ? last : '2027-04-20T03:40:00Z' }));
    expect(stationIncidents(gaps('2027-04-20T04:40:00Z'), { '1': 5 }).apart).toEqual([]);
    expect(stationIncidents(gaps('2027-04-20T04:40:01Z'), { '1': 5 }).apart).toEqual([expect.objectContaining({ account: 'A0', from: '2027-04-20T03:40:00.000Z' })]);
  });
  it('[SIG-34] two of four, or three of seven, are no incident', () => {
    const gaps = (n: number) => Array.from({ length: n }, (_, i) => ({ account: `A${i}`, receiver: '1', from: '2027-04-20T00:10:00Z', to: '2027-04-20T03:40:00Z' }));
    expect(stationIncidents(gaps(2), { '1': 4 })).toEqual({ incidents: [], apart: gaps(2) });
    expect(stationIncidents(gaps(3), { '1': 7 }).incidents).toEqual([]);
    expect(stationIncidents(gaps(3), { '1': 6 }).incidents).toHaveLength(1);
    expect(stationIncidents(gaps(3), { '1': 6 }, { least: 4 }).incidents).toEqual([]);
  });
  it('[SIG-31] a feed that stopped makes nothing silent and nothing good', () => {
    const heard = ['2027-04-18T00:30:00Z', '2027-04-19T00:30:00Z'];
    const stopped = { ...rule, heardUntil: '2027-04-19T06:00:00Z' };
    expect(findGaps(heard, stopped, '2027-04-20T01:30:00Z')).toMatchObject({ state: 'heard', gaps: [] });
    const unknown = findGaps(heard, stopped, '2027-04-25T07:00:00Z');
    expect(unknown).toMatchObject({ state: 'unknown', gaps: [], lastHeardAt: '2027-04-19T00:30:00.000Z' });
    expect(unknown.words).toContain("history ends 2027-04-19T06:00:00.000Z; since then can't tell");
    expect(findGaps(heard, { ...rule, heardUntil: '2027-04-22T06:00:00Z' }, '2027-04-25T07:00:00Z')).toMatchObject({ state: 'silent', silentH: 77.5 });
    expect(() => findGaps(heard, { ...rule, heardUntil: 'then' }, '2027-04-25T07:00:00Z')).toThrow(RangeError);
  });
});

describe('[SIG-31] properties', () => {
  it('planted gaps are found exactly; duplicates and order change nothing', () => {
    let seen = 0;
    fc.assert(fc.property(fc.array(fc.record({ stepH: fc.integer({ min: 20, max: 25 }), holeH: fc.option(fc.integer({ min: 1, max: 200 }), { freq: 4 }) }), { minLength: 2, maxLength: 40 }), fc.integer(), (plan, shuffle) => {
      seen += 1;
      let ms = Date.UTC(2027, 0, 1);
      const heard = [new Date(ms).toISOString()];
      let planted = 0;
      for (const { stepH, holeH } of plan) {
        ms += (holeH === null ? stepH : 25 + holeH) * 3_600_000;
        if (holeH !== null) planted += 1;
        heard.push(new Date(ms).toISOString());
      }
      const now = new Date(ms + 3_600_000).toISOString();
      const found = findGaps(heard, rule, now);
      expect(found.gaps).toHaveLength(planted);
      const mixed = [...heard, ...heard.slice(0, 3)].toSorted((a, b) => ((Date.parse(a) * 31 + shuffle) % 97) - ((Date.parse(b) * 31 + shuffle) % 97));
      expect(findGaps(mixed, rule, now)).toEqual(found);
    }), { seed: 14, numRuns: 300 });
    expect(seen).toBe(300);
  });
  it('[SIG-32] learns the interval, and refuses to from four signals', () => {
    const daily = [1, 2, 3, 4, 5, 6].map((d) => `2027-04-0${d}T00:30:00Z`);
    expect(learnInterval(daily)).toBe(24);
    expect(learnInterval([...daily, ...daily])).toBe(24);
    expect(learnInterval(daily.slice(0, 4))).toBeNull();
  });
  it.each([[47.9, '47.9 h'], [48, '48 h = 2 d'], [222.5, '222.5 h = 9 d 6.5 h'], [216.02, '216 h = 9 d']])('%d h reads %s', (hours, words) => expect(silenceWords(hours)).toBe(words));
  it('a time that is none is an error of the caller', () => expect(() => findGaps(['soon'], rule, '2027-04-20T07:00:00Z')).toThrow(RangeError));
});
