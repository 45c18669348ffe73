import { RecurrenceInputError } from './errors.js';
import { type LocalDate, dayNumberOf, daysInMonth, fromDayNumber, two } from './local-date.js';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const formats = new Map<string, Intl.DateTimeFormat>();

function formatOf(timeZone: string): Intl.DateTimeFormat {
  const held = formats.get(timeZone);
  if (held) return held;
  try {
    const made = new Intl.DateTimeFormat('en-US', {
      timeZone, calendar: 'gregory', numberingSystem: 'latn', hourCycle: 'h23', era: 'short',
      year: 'numeric', month: 'numeric', day: 'numeric', hour: 'numeric', minute: 'numeric', second: 'numeric',
    });
    formats.set(timeZone, made);
    return made;
  } catch {
    throw new RecurrenceInputError('timeZone', timeZone, 'an IANA zone name, for example Europe/Madrid or UTC');
  }
}

/** Offset of a zone from UTC at an instant, in milliseconds, east positive. */
export function offsetMsAt(instantMs: number, timeZone: string): number {
  const parts: Record<string, string> = {};
  for (const part of formatOf(timeZone).formatToParts(instantMs)) parts[part.type] = part.value;
  const year = parts.era === 'BC' ? 1 - Number(parts.year) : Number(parts.year);
  const days = dayNumberOf(year, Number(parts.month), Number(parts.day));
  const wall = days * DAY_MS + Number(parts.hour) * HOUR_MS + Number(parts.minute) * 60_000 + Number(parts.second) * 1000;
  return wall - Math.floor(instantMs / 1000) * 1000;
}

/**
 * The instant of a wall time, both in milliseconds (the wall time counted as if it were UTC).
 * A wall time that happens twice is the first of the two; one that is skipped is read with the offset before the gap
 * (RFC 5545 section 3.3.5).
 */
export function instantOfWall(wallMs: number, timeZone: string): number {
  const before = offsetMsAt(wallMs - DAY_MS, timeZone);
  const after = offsetMsAt(wallMs + DAY_MS, timeZone);
  if (before === after) return wallMs - before;
  for (const offset of [before, after]) {
    if (offsetMsAt(wallMs - offset, timeZone) === offset) return wallMs - offset;
  }
  return wallMs - before;
}

const LOCAL = /^(\d{4})-?(\d{2})-?(\d{2})(?:T(\d{2}):?(\d{2})(?::?(\d{2}))?)?(Z)?$/;

/** A written date or date-time: wall milliseconds as if UTC, whether it carried a time, and whether it ended in Z. */
export interface WrittenTime {
  readonly wallMs: number;
  readonly hasTime: boolean;
  readonly utc: boolean;
}

/** Reads '2027-03-01T09:00:00', '20270301T090000', '2027-03-01' and the same with Z. @throws RecurrenceInputError */
export function readTime(text: string, part: string): WrittenTime {
  const found = LOCAL.exec(text);
  const [year, month, day, hour, minute, second] = (found ?? []).slice(1, 7).map((piece) => Number(piece ?? 0)) as [number, number, number, number, number, number];
  const good = found !== null && year >= 1 && month >= 1 && month <= 12 && day >= 1 && day <= daysInMonth(year, month) && hour <= 23 && minute <= 59 && second <= 59;
  if (!good) {
    throw new RecurrenceInputError(part, text, 'a true local date-time written YYYY-MM-DDTHH:MM:SS, for example 2027-03-01T09:00:00');
  }
  const wallMs = dayNumberOf(year, month, day) * DAY_MS + hour * HOUR_MS + minute * 60_000 + second * 1000;
  return { wallMs, hasTime: found[4] !== undefined, utc: found[7] === 'Z' };
}

/** Wall milliseconds written 'YYYY-MM-DDTHH:MM:SS'. */
export function writeWall(wallMs: number): string {
  const day = Math.floor(wallMs / DAY_MS);
  const seconds = Math.floor((wallMs - day * DAY_MS) / 1000);
  return `${fromDayNumber(day)}T${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
}

function instantMs(instantIso: string): number {
  const ms = /(Z|[+-]\d{2}:\d{2})$/.test(instantIso) ? Date.parse(instantIso) : Number.NaN;
  if (Number.isNaN(ms)) {
    throw new RecurrenceInputError('instant', instantIso, 'an ISO instant with its offset, for example 2027-03-28T01:30:00Z');
  }
  return ms;
}

/** The wall time of an instant in a zone, 'YYYY-MM-DDTHH:MM:SS'. @throws RecurrenceInputError */
export function localDateTimeAt(instantIso: string, timeZone: string): string {
  const ms = instantMs(instantIso);
  return writeWall(Math.floor(ms / 1000) * 1000 + offsetMsAt(ms, timeZone));
}

/** The local date of an instant in a zone. @throws RecurrenceInputError */
export const localDateAt = (instantIso: string, timeZone: string): LocalDate =>
  localDateTimeAt(instantIso, timeZone).slice(0, 10) as LocalDate;

/**
 * The instant of a local date-time, ISO in UTC. Twice-happening times are the first of the two; skipped ones are read
 * with the offset before the gap (RFC 5545 section 3.3.5). @throws RecurrenceInputError
 */
export function instantAt(localDateTime: string, timeZone: string): string {
  return new Date(instantOfWall(readTime(localDateTime, 'local date-time').wallMs, timeZone)).toISOString();
}
