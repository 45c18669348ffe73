import { RecurrenceInputError } from './errors.js';
import { type LocalDate, addDays, dayNumber, weekdayOf } from './local-date.js';

/** One site that was taken over without dates, as the catch-up looks at it. */
export interface CatchUpSite {
  readonly key: string;
  /** Whole minutes of the one visit that proves it, arriving and leaving included; 1 or more. */
  readonly minutes: number;
  /** The larger, the sooner. null: not known, so it comes before everything that is. */
  readonly risk: number | null;
  /** Last day before it counts as lapsed; null when nothing is set. */
  readonly lapses: LocalDate | null;
}

export interface CatchUpVisit {
  readonly key: string;
  readonly minutes: number;
  /** 1 for the site that comes first. */
  readonly place: number;
  /** Its week begins after its last day, so it lapses before it is proven. */
  readonly lapsesBefore: boolean;
}

export interface CatchUpWeek {
  readonly weekStart: LocalDate;
  readonly minutes: number;
  readonly visits: readonly CatchUpVisit[];
}

export interface CatchUp {
  readonly weeks: readonly CatchUpWeek[];
  /** The Sunday on which the last of it is proven; null when there is nothing to catch up. */
  readonly endsOn: LocalDate | null;
  readonly minutes: number;
  /** Sites that lapse before their week. */
  readonly lapseBefore: number;
  /** Sites whose one visit is longer than a week's capacity: in no week. */
  readonly tooLong: readonly string[];
  /** No weekly capacity below this proves every site before it lapses, in whatever order (visits are not split, so a little more may be needed); null when one has lapsed already. */
  readonly atLeastMinutes: number | null;
}

/** Unknown risk first, then the greatest; the earlier lapse, then the key decide between equals. */
function byRisk(a: CatchUpSite, b: CatchUpSite): number {
  const [risk, other] = [a.risk ?? Number.POSITIVE_INFINITY, b.risk ?? Number.POSITIVE_INFINITY];
  if (risk !== other) return risk > other ? -1 : 1;
  const [lapse, another] = [a.lapses ?? '9999-12-31', b.lapses ?? '9999-12-31'];
  if (lapse !== another) return lapse < another ? -1 : 1;
  return a.key < b.key ? -1 : 1;
}

/** Whole weeks in which a site can still be proven in time; the week that holds its last day counts. */
const weeksUntil = (firstMonday: number, lapses: LocalDate): number => Math.floor((dayNumber(lapses) - firstMonday) / 7) + 1;

/** The steepest demand: minutes that must be done by a week, over the weeks there are. */
function leastFor(sites: readonly CatchUpSite[], firstMonday: number): number | null {
  const dated = sites.flatMap((site) => (site.lapses === null ? [] : [{ minutes: site.minutes, weeks: weeksUntil(firstMonday, site.lapses) }])).sort((a, b) => a.weeks - b.weeks);
  let sum = 0;
  let least = 0;
  for (const { minutes, weeks } of dated) {
    if (weeks < 1) return null;
    sum += minutes;
    least = Math.max(least, Math.ceil(sum / weeks), minutes);
  }
  return least;
}

/**
 * Orders what was taken over unproven by risk and fills weeks of a fixed capacity. Each site goes to the first week that has
 * room for it, so a short visit may fill a gap that a longer one of greater risk leaves, and never delays it.
 * @param weeklyMinutes minutes on site that the company gives to catching up each week
 * @param firstWeek a Monday
 * @throws RecurrenceInputError for a capacity below 1, minutes below 1, a key that stands twice, or a day that is no Monday
 */
export function catchUp(sites: readonly CatchUpSite[], weeklyMinutes: number, firstWeek: LocalDate): CatchUp {
  if (!Number.isInteger(weeklyMinutes) || weeklyMinutes < 1) throw new RecurrenceInputError('weekly capacity', String(weeklyMinutes), 'whole minutes, 1 or more');
  if (weekdayOf(firstWeek) !== 1) throw new RecurrenceInputError('first week', firstWeek, 'a Monday');
  const seen = new Set<string>();
  for (const { key, minutes } of sites) {
    if (!Number.isInteger(minutes) || minutes < 1) throw new RecurrenceInputError(`minutes of ${key}`, String(minutes), 'whole minutes, 1 or more');
    if (seen.has(key)) throw new RecurrenceInputError('site', key, 'each site once');
    seen.add(key);
  }
  const firstMonday = dayNumber(firstWeek);
  const weeks: { minutes: number; visits: CatchUpVisit[] }[] = [];
  const tooLong: string[] = [];
  // Weeks before this one have no room for even the shortest visit.
  let firstOpen = 0;
  const shortest = sites.reduce((least, site) => Math.min(least, site.minutes), Number.POSITIVE_INFINITY);
  for (const [at, site] of [...sites].sort(byRisk).entries()) {
    if (site.minutes > weeklyMinutes) {
      tooLong.push(site.key);
      continue;
    }
    let week = firstOpen;
    while (week < weeks.length && (weeks[week] as { minutes: number }).minutes + site.minutes > weeklyMinutes) week += 1;
    const into = weeks[week] ?? { minutes: 0, visits: [] };
    weeks[week] = into;
    into.minutes += site.minutes;
    into.visits.push({ key: site.key, minutes: site.minutes, place: at + 1, lapsesBefore: site.lapses !== null && weeksUntil(firstMonday, site.lapses) <= week });
    while (firstOpen < weeks.length && (weeks[firstOpen] as { minutes: number }).minutes + shortest > weeklyMinutes) firstOpen += 1;
  }
  return {
    weeks: weeks.map((week, at) => ({ weekStart: addDays(firstWeek, 7 * at), ...week })),
    endsOn: weeks.length === 0 ? null : addDays(firstWeek, 7 * weeks.length - 1),
    minutes: weeks.reduce((sum, week) => sum + week.minutes, 0),
    lapseBefore: weeks.reduce((sum, week) => sum + week.visits.filter((visit) => visit.lapsesBefore).length, 0),
    tooLong,
    atLeastMinutes: leastFor(sites, firstMonday),
  };
}
