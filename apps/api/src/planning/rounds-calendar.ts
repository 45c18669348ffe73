import { instantAt } from '@bellround/recurrence';
import type { FeedStop } from '@bellround/operations';
import { escapeText, fold, stamp } from '../door/icalendar.js';

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
