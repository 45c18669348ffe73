import { describe, expect, it } from 'vitest';
import { clockWords, dayWords, localDayAt, minutesWords, momentWords, plusDays, shareWords } from './format.js';
import { clockFace, holdStage, isWarningDue, LEFT_M, metresBetween } from './holds.js';
import { concerns } from './live.js';
import { newId } from './new-id.js';
import { parseNumber } from './parse-number.js';
import { sortRows } from './sort-rows.js';

describe('newId', () => {
  it('is a version 7 UUID with its millisecond in front', () => {
    const id = newId(Date.UTC(2027, 2, 1));
    expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    expect(Number.parseInt(id.replace('-', '').slice(0, 12), 16)).toBe(Date.UTC(2027, 2, 1));
  });

  it('rises within a millisecond and when the clock steps back', () => {
    const now = Date.UTC(2027, 2, 2);
    const ids = [...Array.from({ length: 6000 }, () => newId(now)), newId(now - 3_600_000)];
    expect(ids.toSorted()).toEqual(ids);
    expect(new Set(ids).size).toBe(ids.length);
  });
});

describe('parseNumber', () => {
  it.each([['12,65', 12.65], [' -70 ', -70], ['−3.5', -3.5], ['1 200', 1200], ['.5', 0.5], ['', null], ['12V', undefined], ['1.2.3', undefined], ['-', undefined], ['1e5', undefined]])('%j is %j', (text, value) => {
    expect(parseNumber(text)).toBe(value);
  });
});

describe('words', () => {
  it('dates are local and unambiguous, the same wherever the reader is', () => {
    expect(dayWords('2026-03-03')).toBe('Tue 3 Mar 2026');
    expect(momentWords('2027-03-28T01:30:00Z', 'Europe/Madrid')).toBe('Sun 28 Mar 2027 03:30');
    expect(localDayAt(new Date('2027-03-01T23:30:00Z'), 'Europe/Madrid')).toBe('2027-03-02');
    expect(plusDays('2027-02-28', 1)).toBe('2027-03-01');
  });

  it('durations and shares carry their unit', () => {
    expect([minutesWords(85), minutesWords(60), minutesWords(40), minutesWords(-5)]).toEqual(['1 h 25 min', '1 h', '40 min', '−5 min']);
    expect([clockWords(495), clockWords(1470)]).toEqual(['08:15', '00:30 next day']);
    expect([shareWords(384, 412), shareWords(0, 0)]).toEqual(['93.2 %', 'can’t tell']);
  });
});

describe('sortRows', () => {
  it('sorts words as people do, keeps equal rows in order, and puts what is unknown last both ways', () => {
    const by = (row: { n: string | null }) => row.n;
    const rows = [{ n: 'Site 10' }, { n: null }, { n: 'site 9' }];
    expect(sortRows(rows, by, false).map(by)).toEqual(['site 9', 'Site 10', null]);
    expect(sortRows(rows, by, true).map(by)).toEqual(['Site 10', 'site 9', null]);
  });
});

describe('live notices', () => {
  it.each([
    [{ about: 'everything', siteId: null }, { about: ['visit'] }, true],
    [{ about: 'visit', siteId: 's1' }, { about: ['visit'] }, true],
    [{ about: 'user', siteId: null }, { about: ['visit'] }, false],
    [{ about: 'visit', siteId: 's1' }, { about: ['visit'], siteId: 's2' }, false],
    [{ about: 'visit', siteId: null }, { siteId: 's2' }, true],
    [{ about: 'anything', siteId: null }, undefined, true],
  ])('%j and a query about %j: %s', (notice, meta, expected) => {
    expect(concerns(notice, meta)).toBe(expected);
  });
});

describe('the hold’s clock', () => {
  it.each([['09:40:00', 'running', 1800], ['09:55:00', 'ending', 900], ['10:10:00', 'expired', 0], ['10:11:00', 'expired', -60]])('at %s it is %s', (time, stage, secondsLeft) => {
    expect(holdStage('2027-03-01T10:10:00Z', new Date(`2027-03-01T${time}Z`))).toEqual({ stage, secondsLeft });
  });

  it('shows hours only when there are some', () => {
    expect([clockFace(4510), clockFace(65), clockFace(-3)]).toEqual(['1:15:10', '1:05', '0:00']);
  });
});

describe('[HOLD-6] a hold of 120 min from 09:10 (scenario 8)', () => {
  const left = (time: string) => holdStage('2027-03-01T11:10:00Z', new Date(`2027-03-01T${time}Z`));
  it('the phone warns at 10:55, 11:05 and 11:09, and at 11:10 it has run out; a page that slept over a mark warns when it wakes', () => {
    const shakes: string[] = [];
    for (let at = Date.parse('2027-03-01T10:50:00Z'), before = Infinity; at <= Date.parse('2027-03-01T11:12:00Z'); at += 1000) {
      const time = new Date(at).toISOString().slice(11, 19);
      const { secondsLeft } = left(time);
      if (before !== Infinity && isWarningDue(before, secondsLeft)) shakes.push(time);
      before = secondsLeft;
    }
    expect(shakes).toEqual(['10:55:00', '11:05:00', '11:09:00', '11:10:00']);
    expect(['10:54:59', '10:55:00', '11:09:59', '11:10:00'].map((time) => left(time).stage)).toEqual(['running', 'ending', 'ending', 'expired']);
    expect(isWarningDue(left('10:50:00').secondsLeft, left('11:07:00').secondsLeft)).toBe(true);
  });
});

describe('[HOLD-5] driving off (scenario 8, variant)', () => {
  it('more than 500 m from the site is away, by the distance on a sphere', () => {
    const site = { lat: 40.1, lon: -3.2 };
    expect(metresBetween(site, { lat: 40.1044, lon: -3.2 }) < LEFT_M).toBe(true);
    expect(metresBetween(site, { lat: 40.1046, lon: -3.2 }) > LEFT_M).toBe(true);
  });
});
