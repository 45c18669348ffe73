import { describe, expect, it } from 'vitest';
import { MOST_OCCURRENCES, expand } from './index.js';

const madrid = { timeZone: 'Europe/Madrid' };

describe('expand', () => {
  it('[REC-13] a nightly 02:30 in Madrid is 03:30 on the day that has no 02:30', () => {
    expect(expand({ ...madrid, dtstart: '2027-03-27T02:30:00', rrule: 'FREQ=DAILY;COUNT=3' })).toEqual(['2027-03-27T02:30:00', '2027-03-28T03:30:00', '2027-03-29T02:30:00']);
  });
  it('[REC-13] hours across the gap: the skipped one falls on its neighbour and stands once', () => {
    expect(expand({ ...madrid, dtstart: '2027-03-28T01:00:00', rrule: 'FREQ=HOURLY;COUNT=4' })).toEqual(['2027-03-28T01:00:00', '2027-03-28T03:00:00', '2027-03-28T04:00:00']);
  });
  it('[REC-13] a skipped time does not push an earlier one out of the limit', () => {
    expect(expand({ ...madrid, dtstart: '2027-03-28T02:30:00', rrule: 'FREQ=MINUTELY;INTERVAL=45', limit: 2 })).toEqual(['2027-03-28T03:15:00', '2027-03-28T03:30:00']);
  });
  it('[REC-12] UNTIL..Z is an instant: in Madrid 08:00Z is 10:00 in summer, 09:00 in winter', () => {
    const rule = (until: string) => expand({ ...madrid, dtstart: '2027-03-26T09:30:00', rrule: `FREQ=DAILY;UNTIL=${until}` });
    expect(rule('20270327T080000Z')).toEqual(['2027-03-26T09:30:00']);
    expect(rule('20270328T080000Z')).toEqual(['2027-03-26T09:30:00', '2027-03-27T09:30:00', '2027-03-28T09:30:00']);
  });
  it('[REC-12] UNTIL..Z inside a double hour lies after its first wall time', () => {
    // 02:30 happens first at 00:30Z; 00:45Z is after it, although its wall time reads 02:45; 01:10Z reads 02:10 and is after it too.
    const rule = (until: string) => expand({ ...madrid, dtstart: '2027-10-30T02:30:00', rrule: `FREQ=DAILY;UNTIL=${until}` }).length;
    expect([rule('20271031T002900Z'), rule('20271031T003000Z'), rule('20271031T011000Z')]).toEqual([1, 2, 2]);
  });
  it('[REC-12] UNTIL without Z is wall time, as a bare date the whole day', () => {
    expect(expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY;UNTIL=20270303' })).toHaveLength(3);
    expect(expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY;UNTIL=20270303T085959' })).toHaveLength(2);
    expect(expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY;UNTIL=20270303T090000' })).toHaveLength(3);
  });
  it('[REC-10] every first Monday of March and September', () => {
    expect(expand({ ...madrid, dtstart: '2027-03-01', rrule: 'FREQ=YEARLY;BYMONTH=3,9;BYDAY=1MO', limit: 4 }))
      .toEqual(['2027-03-01T00:00:00', '2027-09-06T00:00:00', '2028-03-06T00:00:00', '2028-09-04T00:00:00']);
  });
  it('[REC-10] RDATE adds, EXDATE takes away, each once and in order; COUNT counts before EXDATE', () => {
    expect(expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY;COUNT=3', rdate: ['2027-02-01T09:00:00', '2027-03-02T09:00:00', '20270401T070000Z'], exdate: ['2027-03-01T09:00:00'] }))
      .toEqual(['2027-02-01T09:00:00', '2027-03-02T09:00:00', '2027-03-03T09:00:00', '2027-04-01T09:00:00']);
  });
  it('[REC-10] a limit is filled although EXDATE takes the first ones', () => {
    expect(expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY', exdate: ['2027-03-01T09:00:00', '2027-03-02T09:00:00'], limit: 2 })).toEqual(['2027-03-03T09:00:00', '2027-03-04T09:00:00']);
  });
  it('[REC-14] until is inclusive, a bare date the whole day', () => {
    expect(expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY', until: '2027-03-03' })).toHaveLength(3);
    expect(expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY', until: '2027-03-03T08:59:59' })).toHaveLength(2);
  });
  it('[REC-14] a rule that never comes up stops at its bound and names it', () => {
    for (const rrule of ['FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30', 'FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30', 'FREQ=MONTHLY;BYMONTH=4;BYMONTHDAY=31']) {
      expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule, limit: 1 })).toThrow(/no occurrence found: stopped at the bound of 200000 steps of FREQ=\w+ after 2027-03-01T09:00:00|no occurrence found: stopped at the bound of the end of the year 9999/);
    }
    expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=HOURLY;INTERVAL=24;BYHOUR=5', limit: 1 })).toThrow('stopped at the bound of one whole day of steps');
    expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=MINUTELY;INTERVAL=60;BYMINUTE=5', limit: 1 })).toThrow('INTERVAL never meets');
    expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=SECONDLY;INTERVAL=60;BYSECOND=5', limit: 1 })).toThrow('INTERVAL never meets');
  });
  it('[REC-14] with an end the same rules simply give nothing', () => {
    for (const rrule of ['FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30', 'FREQ=HOURLY;INTERVAL=24;BYHOUR=5', 'FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30']) {
      expect(expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: `${rrule};UNTIL=20400101T000000Z` })).toEqual([]);
      expect(expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule, until: '2040-01-01' })).toEqual([]);
    }
  });
  it('[REC-14] leap days come up across the century that skips one', () => {
    expect(expand({ timeZone: 'UTC', dtstart: '2092-02-29T09:00:00', rrule: 'FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29', limit: 3 })).toEqual(['2092-02-29T09:00:00', '2096-02-29T09:00:00', '2104-02-29T09:00:00']);
  });
  it('[REC-10] several times a day, seconds among them, in order, and BYSETPOS of them', () => {
    expect(expand({ timeZone: 'UTC', dtstart: '2027-03-01T09:30:00', rrule: 'FREQ=DAILY;BYHOUR=9;BYMINUTE=30,0;BYSECOND=15,0;COUNT=5' }))
      .toEqual(['2027-03-01T09:30:00', '2027-03-01T09:30:15', '2027-03-02T09:00:00', '2027-03-02T09:00:15', '2027-03-02T09:30:00']);
    expect(expand({ timeZone: 'UTC', dtstart: '2027-03-01T09:30:00', rrule: 'FREQ=DAILY;BYHOUR=9,10;BYSETPOS=-1,5;COUNT=2' })).toEqual(['2027-03-01T10:30:00', '2027-03-02T10:30:00']);
  });
  it.each([['DAILY', 2], ['WEEKLY', 1], ['MONTHLY', 1], ['YEARLY', 1]])('[REC-14] FREQ=%s ends with the year 9999', (freq, count) => {
    const from = { timeZone: 'UTC', dtstart: '9999-12-30T09:00:00', rrule: `FREQ=${freq}` };
    expect(expand({ ...from, until: '9999-12-31' })).toHaveLength(count);
    expect(() => expand({ ...from, limit: 5 })).toThrow('no further occurrence found: stopped at the bound of the end of the year 9999');
  });
  it('[REC-14] days that come up once in decades are found', () => {
    expect(expand({ timeZone: 'UTC', dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY;INTERVAL=7;BYMONTH=2;BYMONTHDAY=29', limit: 3 })).toHaveLength(3);
    expect(expand({ timeZone: 'UTC', dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=YEARLY;INTERVAL=7;BYMONTH=2;BYMONTHDAY=29', until: '2100-01-01' })).toEqual(['2048-02-29T09:00:00', '2076-02-29T09:00:00']);
  });
  it('[REC-14] asks for an end, and bounds what it gives', () => {
    expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY' })).toThrow('COUNT or UNTIL in the rule, or a limit or until beside it');
    expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=MINUTELY;COUNT=200000' })).toThrow(`${MOST_OCCURRENCES} occurrences; give a limit or until`);
    for (const limit of [0, -1, 1.5, MOST_OCCURRENCES + 1]) expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY', limit })).toThrow('limit');
  });
  it.each([
    ['FREQ=FORTNIGHTLY', 'rrule FREQ: "FORTNIGHTLY" is not accepted; accepted: one of YEARLY, MONTHLY'],
    ['INTERVAL=2', 'rrule FREQ'], ['', 'rrule part'], ['FREQ=DAILY;INTERVAL=0', 'rrule INTERVAL: "0"'], ['FREQ=DAILY;COUNT=x', 'rrule COUNT: "X"'],
    ['FREQ=DAILY;COUNT=2;UNTIL=20280101T000000Z', 'COUNT or UNTIL, not both'], ['FREQ=DAILY;BYWEEKNO=3', 'rrule BYWEEKNO: "3" is not accepted; accepted: no BYWEEKNO with FREQ=DAILY'],
    ['FREQ=WEEKLY;BYMONTHDAY=3', 'rrule BYMONTHDAY'], ['FREQ=MONTHLY;BYYEARDAY=3', 'rrule BYYEARDAY'], ['FREQ=WEEKLY;BYDAY=1MO', 'no ordinal with FREQ=WEEKLY'],
    ['FREQ=YEARLY;BYWEEKNO=3;BYDAY=1MO', 'no ordinal together with BYWEEKNO'], ['FREQ=MONTHLY;BYDAY=0MO', 'an ordinal from 1 to 53'], ['FREQ=MONTHLY;BYDAY=XX', 'weekdays MO TU WE'],
    ['FREQ=MONTHLY;BYSETPOS=1', 'BYSETPOS only beside another BY part'], ['FREQ=YEARLY;BYMONTH=13', 'rrule BYMONTH: "13" is not accepted; accepted: 1 to 12'],
    ['FREQ=MONTHLY;BYMONTHDAY=0', '1 to 31 or -31 to -1'], ['FREQ=DAILY;BYHOUR=24', '0 to 23'], ['FREQ=DAILY;BYSECOND=60', '0 to 59'], ['FREQ=DAILY;WKST=XX', 'rrule WKST'],
    ['FREQ=DAILY;FREQ=DAILY', 'each part once'], ['FREQ=DAILY;FOO=1', 'NAME=VALUE parts'], ['FREQ=DAILY;UNTIL=20270230T000000Z', 'rrule UNTIL: "20270230T000000Z"'],
  ])('[REC-15] refuses %s: %s', (rrule, message) => {
    expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule, limit: 1 })).toThrow(message);
  });
  it('[REC-15] names a bad DTSTART, zone and EXDATE', () => {
    expect(() => expand({ ...madrid, dtstart: '2027-03-01T25:00:00', rrule: 'FREQ=DAILY', limit: 1 })).toThrow('dtstart: "2027-03-01T25:00:00"');
    expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00Z', rrule: 'FREQ=DAILY', limit: 1 })).toThrow('without Z');
    expect(() => expand({ timeZone: 'Nowhere', dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY', limit: 1 })).toThrow('timeZone: "Nowhere"');
    expect(() => expand({ ...madrid, dtstart: '2027-03-01T09:00:00', rrule: 'FREQ=DAILY', limit: 1, exdate: ['x'] })).toThrow('exdate: "x"');
  });
});
