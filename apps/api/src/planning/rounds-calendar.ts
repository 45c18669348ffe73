import { instantAt } from '@bellround/recurrence';
import type { FeedStop } from '@bellround/operations';

/**
 * A technician's rounds as iCalendar (RFC 5545). Times are UTC instants, so that no time-zone table has to travel along;
 * UID is the visit's id and SEQUENCE the plan's revision, so that a moved visit moves and is not doubled.
 */
export function roundsCalendar(rounds: { technicianName: string; stops: FeedStop[] }, now: Date): string {
  const lines = [
    'BEGIN:VCALENDAR', 'VERSION:2.0', 'PRODID:-//Bellround//Rounds//EN', 'CALSCALE:GREGORIAN', 'METHOD:PUBLISH',
    `X-WR-CALNAME:${escapeText(`Rounds of ${rounds.technicianName}`)}`,
    ...rounds.stops.flatMap((stop) => [
      'BEGIN:VEVENT', `UID:${stop.visitId}@bellround`, `SEQUENCE:${stop.planVersion}`, `DTSTAMP:${stamp(now)}`,
      `DTSTART:${stamp(instantOf(stop, stop.startMin))}`, `DTEND:${stamp(instantOf(stop, stop.endMin))}`,
      `SUMMARY:${escapeText(`${stop.siteName}: ${stop.title}`)}`, `LOCATION:${escapeText(stop.address)}`,
      ...(stop.lat !== null && stop.lon !== null ? [`GEO:${stop.lat};${stop.lon}`] : []), 'END:VEVENT',
    ]),
    'END:VCALENDAR',
  ];
  return `${lines.map(fold).join('\r\n')}\r\n`;
}

function instantOf(stop: FeedStop, minuteOfDay: number): Date {
  const two = (n: number) => String(n).padStart(2, '0');
  return new Date(instantAt(`${stop.day}T${two(Math.floor(minuteOfDay / 60))}:${two(minuteOfDay % 60)}:00`, stop.timeZone));
}

function stamp(instant: Date): string {
  return instant.toISOString().replace(/[-:]/g, '').replace(/\.\d{3}/, '');
}

/** RFC 5545 section 3.3.11. */
function escapeText(text: string): string {
  return text.replace(/\\/g, '\\\\').replace(/;/g, '\\;').replace(/,/g, '\\,').replace(/\r?\n/g, '\\n');
}

/** RFC 5545 section 3.1: no line longer than 75 octets; a continuation begins with a space. */
function fold(line: string): string {
  const parts: string[] = [];
  let current = '';
  let octets = 0;
  for (const char of line) {
    const size = Buffer.byteLength(char);
    if (octets + size > (parts.length === 0 ? 75 : 74)) {
      parts.push(current);
      current = '';
      octets = 0;
    }
    current += char;
    octets += size;
  }
  return [...parts, current].join('\r\n ');
}
