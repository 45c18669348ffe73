import type { BlackoutFact, SharedDays, SiteDays } from '@bellround/database';
import { daysBetween, type AccessCalendar, type ClosedSeason, type LocalDate, type NamedDays } from '@bellround/recurrence';
import { publicHolidays } from './holidays.js';

// On which days a site can be entered and be loud: its own days, those of all sites like it, its public holidays. No act.

/** What one company says for all its sites. */
export interface CompanyDays { readonly region: string | null; readonly shared: readonly SharedDays[] }

const NO_HOLIDAYS = 'none';
const YEAR_DAYS = 366;

/** Whose holidays close a site; null: nobody's. */
export function regionOf(site: Pick<SiteDays, 'region'>, company: CompanyDays): string | null {
  const region = site.region ?? company.region;
  return region === NO_HOLIDAYS ? null : region;
}

const named = (row: { from: string; to: string | null; reason: string }): NamedDays => ({ from: row.from as LocalDate, to: (row.to ?? '9999-12-31') as LocalDate, reason: row.reason });

/** A season comes back every year; one without an end, or longer than a year, is a plain closure. */
function seasonOf(row: BlackoutFact): ClosedSeason | null {
  if (row.kind !== 'season' || row.to === null || daysBetween(row.from as LocalDate, row.to as LocalDate) >= YEAR_DAYS) return null;
  return { from: row.from.slice(5), to: row.to.slice(5), reason: row.reason };
}

/**
 * Named days, holidays and seasons of a site, what may pull a due date earlier, then onto a weekday with access. Days without
 * sounders are quiet days here. Undefined when nothing is said.
 */
export function closuresOf(site: Pick<SiteDays, 'region' | 'occupancy'> & Partial<Pick<SiteDays, 'accessHours'>>, blackouts: readonly BlackoutFact[], company: CompanyDays): AccessCalendar | undefined {
  const shared = company.shared.filter((row) => row.occupancy === null || row.occupancy === site.occupancy);
  const closedSeasons = blackouts.flatMap((row) => seasonOf(row) ?? []);
  const closed = [...blackouts.filter((row) => row.kind === 'closed' || (row.kind === 'season' && seasonOf(row) === null)), ...shared.filter((row) => row.kind === 'closed')].map(named);
  const quiet = [...blackouts.filter((row) => row.kind === 'noise'), ...shared.filter((row) => row.kind === 'noise')].map(named);
  const holidays = publicHolidays(regionOf(site, company));
  if (closed.length + quiet.length + closedSeasons.length + holidays.length === 0) return undefined;
  const landOn = [...new Set((site.accessHours ?? []).map((one) => one.weekday))];
  return { closed, quiet, closedSeasons, holidays, ...(landOn.length > 0 ? { landOn } : {}) };
}

/** As `closuresOf`, for a duty that sounds: a day without sounders is no day for it. */
export function loudClosures(calendar: AccessCalendar | undefined): AccessCalendar | undefined {
  return calendar === undefined || calendar.quiet === undefined || calendar.quiet.length === 0 ? calendar : { ...calendar, closed: [...(calendar.closed ?? []), ...calendar.quiet] };
}

/** The whole calendar of a site, its weekly hours and future suspensions too: when a visit can be, and when it may be loud. */
export function visitCalendar(site: SiteDays, blackouts: readonly BlackoutFact[], company: CompanyDays): AccessCalendar {
  const base = closuresOf(site, blackouts, company) ?? {};
  const openWeekdays = [...new Set(site.accessHours.map((one) => one.weekday))];
  const loud = (weekday: number): boolean => site.noiseHours === null || site.accessHours.some((access) => access.weekday === weekday
    && site.noiseHours!.some((noise) => noise.weekday === weekday && noise.from < access.to && noise.to > access.from));
  const suspended = blackouts.filter((row) => row.kind === 'suspended').map((row) => named({ ...row, reason: `suspended (${row.reason}; ${row.authority})` }));
  return { ...base, closed: [...(base.closed ?? []), ...suspended], openWeekdays, quietWeekdays: openWeekdays.filter((weekday) => !loud(weekday)) };
}
