import { Refusal, type ClosedDaysShown } from '@bellround/contracts';
import { companyDays, dutiesOfSites, siteDays, type BlackoutFact, type LaneDuty, type SiteDays } from '@bellround/database';
import { addDays, RecurrenceInputError, type AccessCalendar, type LocalDate } from '@bellround/recurrence';
import { visitCalendar, type CompanyDays } from '../access-days.js';
import { holidayRegion, publicHolidays } from '../holidays.js';
import type { Ctx } from '../perform.js';
import { dayText, localDayOf, own } from '../steps.js';
import { dutyCase, standingFacts, type DutyCase } from '../standing/steps.js';

export const CAUTION = 'Local codes, the adopted edition and licensed practice prevail. A plan of visits is a reminder, no compliance.';

/** A site with its duties and the days on which it can be visited. */
export interface SiteOfDuties {
  readonly days: SiteDays;
  readonly blackouts: readonly BlackoutFact[];
  readonly calendar: AccessCalendar;
  readonly duties: readonly { readonly found: DutyCase; readonly named: LaneDuty }[];
}

/** Loads sites with all that bundling looks at, in a fixed number of statements. */
export async function sitesOfDuties(ctx: Ctx, siteIds: readonly string[]): Promise<{ company: CompanyDays; sites: Map<string, SiteOfDuties> }> {
  const company = await companyDays(ctx.tx);
  const facts = await standingFacts(ctx.tx, siteIds);
  const named = new Map((await dutiesOfSites(ctx.tx, siteIds)).map((duty) => [duty.id, duty]));
  const sites = new Map<string, SiteOfDuties>();
  for (const days of await siteDays(ctx.tx, siteIds)) {
    const blackouts = facts.blackoutsOf.get(days.siteId) ?? [];
    sites.set(days.siteId, {
      days, blackouts, calendar: visitCalendar(days, blackouts, company),
      duties: facts.duties.filter((duty) => duty.siteId === days.siteId).map((duty) => ({ found: dutyCase(facts, duty), named: named.get(duty.id)! })),
    });
  }
  return { company, sites };
}

/** The suspension that covers a day, or null. */
export function suspensionOn(blackouts: readonly BlackoutFact[], day: string): BlackoutFact | null {
  return blackouts.find((row) => row.kind === 'suspended' && row.from <= day && (row.to === null || row.to >= day)) ?? null;
}

/** The same check on the same subject counts its minutes once, however many regimes ask for it. */
export function minutesOnce(duties: readonly DutyCase[]): number {
  const once = new Map<string, number>();
  for (const { duty, rule } of duties) {
    const key = `${duty.subjectId} ${[...rule.checkKinds].sort().join()}`;
    once.set(key, Math.max(once.get(key) ?? 0, rule.minutes));
  }
  return [...once.values()].reduce((sum, minutes) => sum + minutes, 0);
}

const ROLLING = new Set(['since-last', 'extending', 'age']);
/** Whether a day earlier is given away for good. */
export const isRolling = (found: DutyCase): boolean => ROLLING.has(found.rule.cadence.kind);

/** Names that stand once each: a second of the same name gets a number. */
export function nameOnce(taken: Set<string>, name: string): string {
  let unique = name;
  for (let n = 2; taken.has(unique); n += 1) unique = `${name} (${n})`;
  taken.add(unique);
  return unique;
}

/** Runs an engine; input it refuses becomes a refusal that names the part. */
export function refusing<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (error instanceof RecurrenceInputError) throw new Refusal('BadInput', error.message, { errors: [{ path: error.part, message: error.message }] });
    throw error;
  }
}

/** The code as it is kept, or BadInput. null: as the company, or none; 'none': no holidays close. */
export function checkedRegion(code: string | null): string | null {
  if (code === null || code === '' || code === 'none') return code === '' ? null : code;
  const upper = code.toUpperCase();
  if (holidayRegion(upper)) return upper;
  const message = `"${code}" is no country or region whose public holidays are known; accepted: an ISO 3166 code such as ES or ES-MD, "none", or nothing`;
  throw new Refusal('BadInput', message, { errors: [{ path: 'region', message }] });
}

export const regionWords = (code: string | null): string => (code === null || code === 'none' ? 'none: public holidays close no site' : holidayRegion(code)?.words ?? code);

/** Public holidays and shared days of the company as screens show them. */
export async function closedDaysShown(ctx: Ctx): Promise<ClosedDaysShown> {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const { region } = await companyDays(ctx.tx);
  const today = localDayOf(ctx.now, company.timeZone) as LocalDate;
  const until = addDays(today, 365);
  const rows = await ctx.tx.db.closedDays.findMany({ where: own(ctx), orderBy: [{ fromDay: 'asc' }, { id: 'asc' }] });
  const open = await ctx.tx.db.site.groupBy({ by: ['occupancy'], where: { ...own(ctx), closedOn: null }, _count: true });
  const sites = (occupancy: string | null): number => open.filter((one) => occupancy === null || one.occupancy === occupancy).reduce((sum, one) => sum + one._count, 0);
  return {
    region, regionWords: regionWords(region), source: 'date-holidays, an open data set of public holidays (CC BY 3.0). Local holidays may be missing: add them below.',
    holidays: publicHolidays(region === 'none' ? null : region).filter((one) => one.from >= today && one.from <= until).map((one) => ({ day: one.from, reason: one.reason })),
    sitesOfOwnRegion: await ctx.tx.db.site.count({ where: { ...own(ctx), closedOn: null, holidayRegion: { not: null } } }),
    rows: rows.map((row) => ({ id: row.id, kind: row.kind as 'closed' | 'noise', fromDay: dayText(row.fromDay), toDay: dayText(row.toDay), reason: row.reason, authority: row.authority, occupancy: row.occupancy, sites: sites(row.occupancy) })),
  };
}
