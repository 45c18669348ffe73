/**
 * Occurrences per second of `expand`, windows per second of `timeline`, and occurrences per second of plain use of two
 * RFC 5545 libraries on the same rules over the same 20 years. Build the package first.
 */
import { performance } from 'node:perf_hooks';
import ICAL from 'ical.js';
import rrule from 'rrule';
import { expand, timeline } from '../dist/index.js';

const rounds = Number(process.argv[2] ?? 40);
const RULES = ['FREQ=YEARLY;BYMONTH=3,9;BYDAY=1MO', 'FREQ=MONTHLY;BYDAY=-1FR', 'FREQ=MONTHLY;INTERVAL=6;BYMONTHDAY=15', 'FREQ=WEEKLY;BYDAY=MO'];
const START = '2007-01-01T09:00:00';
const END = '2026-12-31';

function perSecond(work) {
  let made = 0;
  for (let i = 0; i < 3; i += 1) work();
  const before = performance.now();
  for (let i = 0; i < rounds; i += 1) made += work();
  return Math.round((made * 1000) / (performance.now() - before));
}

console.log(`node ${process.version}, ${rounds} rounds of 20 years`);
for (const text of RULES) {
  const ours = perSecond(() => expand({ dtstart: START, timeZone: 'Europe/Madrid', rrule: text, until: END }).length);
  const cadence = { kind: 'calendar-rule', dtstart: START, timeZone: 'Europe/Madrid', rrule: text, earlyDays: 2, lateDays: 2 };
  const windows = perSecond(() => timeline({ cadence: { ...cadence }, from: '2007-01-01', basisOn: '2006-12-20', proofs: [] }, END).length);
  const plain = perSecond(() => new rrule.RRule({ ...rrule.RRule.parseString(text), dtstart: new Date(`${START}Z`), until: new Date(`${END}T23:59:59Z`) }).all().length);
  const other = perSecond(() => {
    const iterator = ICAL.Recur.fromString(text).iterator(ICAL.Time.fromDateTimeString(START));
    let count = 0;
    for (let next = iterator.next(); next && next.year <= 2026; next = iterator.next()) count += 1;
    return count;
  });
  console.log(`${text.padEnd(40)} expand ${ours.toLocaleString('en-US').padStart(10)}/s  timeline ${windows.toLocaleString('en-US').padStart(10)} windows/s  rrule ${plain.toLocaleString('en-US').padStart(10)}/s  ical.js ${other.toLocaleString('en-US').padStart(10)}/s`);
}
