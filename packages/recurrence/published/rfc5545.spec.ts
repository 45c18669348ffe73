import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { expand } from '../src/index.js';

interface Example {
  title: string; dtstart: string; tzid: string; rrule: string; exdate?: string[]; expected: string[]; complete: boolean; note: string; rfc_page: string | number;
}
// Source and provenance stand in the file's head: RFC 5545 section 3.8.5.3.
const file = JSON.parse(readFileSync(new URL('./rfc5545-examples.json', import.meta.url), 'utf8')) as { examples: Example[] };

const occurrences = (e: Example): string[] =>
  expand({ dtstart: e.dtstart, timeZone: e.tzid, rrule: e.rrule, exdate: e.exdate ?? [], ...(e.complete ? {} : { limit: e.expected.length }) });

describe('[REC-10] RFC 5545 section 3.8.5.3, every printed example', () => {
  it('holds all 43 entries', () => expect(file.examples).toHaveLength(43));
  for (const example of file.examples.filter((e) => !e.title.includes('as printed'))) {
    it(`page ${example.rfc_page}: ${example.title}: ${example.rrule}`, () => {
      expect(occurrences(example)).toEqual(example.expected);
    });
  }
});

describe('[REC-11] where we disagree with the print, and why', () => {
  const misprint = file.examples.find((e) => e.title.includes('as printed')) as Example;
  it('page 131: UNTIL=19970902T170000Z is 13:00 in New York, so 09:00 and 12:00 only; the print lists 15:00 too', () => {
    expect(misprint.expected).toEqual(['1997-09-02T09:00:00', '1997-09-02T12:00:00', '1997-09-02T15:00:00']);
    expect(occurrences(misprint)).toEqual(['1997-09-02T09:00:00', '1997-09-02T12:00:00']);
  });
});
