import { z } from 'zod';

/** UUID of any version; rows made here are version 7, and a client may make its own. */
export const Id = z.uuid({ error: 'must be a UUID such as 0190a000-0000-7000-8000-000000000001' });
export type Id = z.infer<typeof Id>;

/** A calendar day at the site, `YYYY-MM-DD`; 2027-02-30 is refused. */
export const LocalDay = z.iso.date({ error: 'must be a real day written YYYY-MM-DD, such as 2027-03-01' });
export type LocalDay = z.infer<typeof LocalDay>;

/** A moment, ISO 8601 with a zone; stored and answered in UTC. */
export const Instant = z.iso.datetime({ offset: true, error: 'must be a moment with its zone, such as 2027-03-01T09:00:00Z' })
  // Clocks that lost their time say 1970 or 2000; what lies further off is no clock's, and moving it by its fault leaves the calendar.
  .refine((text) => !/^\d{4}-/.test(text) || /^(19[7-9]|2[01])\d/.test(text), { error: 'must be a moment between the years 1970 and 2199' });
export type Instant = z.infer<typeof Instant>;

/** Wall-clock time of day at the site, `HH:MM`, 24 hours. */
export const TimeOfDay = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'must be a time of day written HH:MM, such as 08:30' });

/** IANA zone name known to this runtime. */
export const TimeZone = z.string().refine((zone) => {
  try {
    return new Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions().timeZone.length > 0;
  } catch {
    return false;
  }
}, { error: 'must be an IANA time zone such as Europe/Madrid' });

/** Hours of one weekday (1 = Monday ... 7 = Sunday). */
export const WeeklyHours = z.strictObject({ weekday: z.int().min(1).max(7), from: TimeOfDay, to: TimeOfDay })
  .refine((hours) => hours.from < hours.to, { error: 'must end after it begins', path: ['to'] });
export type WeeklyHours = z.infer<typeof WeeklyHours>;

/** What every list takes: a search text, how many rows, and where the last page ended. */
export const PageInput = z.strictObject({
  search: z.string().trim().max(200).optional(),
  limit: z.coerce.number().int().min(1).max(500).default(100),
  offset: z.coerce.number().int().min(0).default(0),
});

/** A page of a list with the count of all matching rows. */
export const pageOf = <T extends z.ZodType>(row: T) => z.object({ rows: z.array(row), total: z.int() });

/** For a query string: 'true' / 'false'. */
export const QueryFlag = z.enum(['true', 'false']).transform((text) => text === 'true');
