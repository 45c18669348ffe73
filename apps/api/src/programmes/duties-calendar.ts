import type { DutiesDue } from '@bellround/operations';
import { escapeText, fold, stamp } from '../door/icalendar.js';

const plain = (day: string): string => day.replaceAll('-', '');
const dayAfter = (day: string): string => new Date(Date.parse(`${day}T00:00:00Z`) + 86_400_000).toISOString().slice(0, 10);

/**
 * Due days of duties as iCalendar (RFC 5545): whole local days, so that no time zone can move them. UID is the duty's window,
 * so that a file fetched again replaces and does not double. What is overdue stands on today.
 */
export function dutiesCalendar(due: DutiesDue, now: Date): string {
  const lines = [
    'BEGIN:VCALENDAR', 'VERSION:2.0', 'PRODID:-//Bellround//Duties//EN', 'CALSCALE:GREGORIAN', 'METHOD:PUBLISH', `X-WR-CALNAME:${escapeText(`Duties of ${due.title}`)}`,
    ...due.rows.flatMap((row) => {
      const day = row.due < due.today ? due.today : row.due;
      const state = row.standing === 'lapsed' ? 'lapsed: ' : row.standing === 'cant-tell' ? 'can\'t tell: ' : row.standing === 'late' ? 'late: ' : '';
      return [
        'BEGIN:VEVENT', `UID:${row.dutyId}-${row.n}@bellround`, `DTSTAMP:${stamp(now)}`, `DTSTART;VALUE=DATE:${plain(day)}`, `DTEND;VALUE=DATE:${plain(dayAfter(day))}`,
        `SUMMARY:${escapeText(`${state}${row.siteName}: ${row.title} (${row.subject})`)}`, `LOCATION:${escapeText(row.address)}`,
        `DESCRIPTION:${escapeText(`${row.regime}. ${row.why}. Lapses ${row.lapses}. ${due.caution}`)}`,
        ...(row.lat !== null && row.lon !== null ? [`GEO:${row.lat};${row.lon}`] : []), 'TRANSP:TRANSPARENT', 'END:VEVENT',
      ];
    }),
    'END:VCALENDAR',
  ];
  return `${lines.map(fold).join('\r\n')}\r\n`;
}
