import { describe, expect, it } from 'vitest';
import { dutiesCalendar } from './duties-calendar.js';

const row = {
  dutyId: '0190a000-0000-7000-8000-000000000001', n: 2, title: 'Service visit; all, of it', regime: 'House rule', why: 'annual, 9 to 15 months after 4 Mar 2025: opens 4 Dec 2025, lapses 4 Jun 2026', opens: '2025-12-04', due: '2026-03-04', lapses: '2026-06-04',
  standing: 'open', siteName: 'Bäckerei am Markt', address: 'Line 1\nLine 2', subject: 'Fire', lat: null, lon: null, total: 1,
};
const due = (over: object = {}) => ({ title: 'Shop', caution: 'Local codes prevail.', today: '2026-02-28', rows: [{ ...row, ...over }] });
const NOW = new Date('2026-02-28T10:11:12.345Z');
const lines = (text: string) => text.replaceAll('\r\n ', '').split('\r\n');

describe('duties as iCalendar', () => {
  it('a whole day on the due date, with the reason, escaped as RFC 5545 3.3.11 asks', () => {
    expect(lines(dutiesCalendar(due(), NOW))).toEqual(['BEGIN:VCALENDAR', 'VERSION:2.0', 'PRODID:-//Bellround//Duties//EN', 'CALSCALE:GREGORIAN', 'METHOD:PUBLISH', 'X-WR-CALNAME:Duties of Shop', 'BEGIN:VEVENT',
      'UID:0190a000-0000-7000-8000-000000000001-2@bellround', 'DTSTAMP:20260228T101112Z', 'DTSTART;VALUE=DATE:20260304', 'DTEND;VALUE=DATE:20260305', 'SUMMARY:Bäckerei am Markt: Service visit\\; all\\, of it (Fire)', 'LOCATION:Line 1\\nLine 2',
      'DESCRIPTION:House rule. annual\\, 9 to 15 months after 4 Mar 2025: opens 4 Dec 2025\\, lapses 4 Jun 2026. Lapses 2026-06-04. Local codes prevail.', 'TRANSP:TRANSPARENT', 'END:VEVENT', 'END:VCALENDAR', '']);
  });
  it('what is overdue stands on today and says so; a month\'s end is followed by the next month', () => {
    const text = lines(dutiesCalendar(due({ due: '2025-12-31', standing: 'lapsed' }), NOW));
    expect(text).toContain('DTSTART;VALUE=DATE:20260228');
    expect(text).toContain('DTEND;VALUE=DATE:20260301');
    expect(text.some((line) => line.startsWith('SUMMARY:lapsed: '))).toBe(true);
  });
  it('no line is longer than 75 octets', () => {
    for (const line of dutiesCalendar(due(), NOW).split('\r\n')) expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
  });
});
