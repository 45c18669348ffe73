import { expand } from '@bellround/recurrence';
import { required, text, wholeNumber, type TerminalAct } from './act.js';

const list = (given: string | boolean | undefined): string[] | undefined => text(given)?.split(',').map((part) => part.trim()).filter((part) => part !== '');

export const occurrences: TerminalAct = {
  name: 'occurrences', usage: 'occurrences --dtstart <local> --tz <zone> --rrule <text> [--rdate a,b]... [--exdate a,b]... [--limit n]',
  words: 'Writes the occurrences of an RFC 5545 rule, one local date-time a line.', takes: [0, 0],
  options: {
    dtstart: { type: 'string', words: 'first local date-time, 2027-03-01T09:00:00' }, tz: { type: 'string', words: 'IANA time zone' }, rrule: { type: 'string', words: 'FREQ=... without RRULE:' },
    rdate: { type: 'string', several: true, words: 'further local date-times, by commas or given again' }, exdate: { type: 'string', several: true, words: 'left-out local date-times, by commas or given again' }, limit: { type: 'string', words: 'how many at most (100)' },
  },
  run: async ({ options }) => {
    const rdate = list(options['rdate']);
    const exdate = list(options['exdate']);
    const lines = expand({
      dtstart: required('dtstart', options['dtstart']), timeZone: required('tz', options['tz']), rrule: required('rrule', options['rrule']),
      ...(rdate ? { rdate } : {}), ...(exdate ? { exdate } : {}), limit: wholeNumber('limit', options['limit'], 100, 1, 100_000) });
    return { data: lines, lines };
  },
};
