import { neededKeys, partsWanted, type NeededKey, type PlannableVisit } from '@bellround/database';
import type { Permit, Visit, VisitKey, VisitWindow } from '@bellround/planning';
import { localDate, weekdayOf } from '@bellround/recurrence';
import type { Ctx } from './perform.js';
import { dayTextOrNull, own } from './steps.js';
import type { Places } from './week-parts.js';

// What visits of a week ask beside skills and hours: notice, permits, keys, equipment, parts on the van. Loaded for all at once.

export interface WeeklyHours { weekday: number; from: string; to: string }
/** Where rounds may begin, where keys without a place of their own are, and what the company chose for its plans. */
export interface PlanningRules {
  readonly depot: { readonly address: string; readonly lat: number; readonly lon: number } | null;
  /** minutes a day kept free for breakdowns: a number, or as past urgent visits say; null: none */
  readonly slack: number | 'forecast' | null;
  /** whether minutes of new visits follow what past ones took */
  readonly learnMinutes: boolean;
  /** whether travel follows past travel times, where there are enough */
  readonly learnTravel: boolean;
}

export function planningRules(settings: unknown): PlanningRules {
  const given = ((settings as { planning?: Partial<PlanningRules> } | null)?.planning ?? {});
  return { depot: given.depot ?? null, slack: given.slack ?? null, learnMinutes: given.learnMinutes ?? true, learnTravel: given.learnTravel ?? true };
}

export interface Needs {
  readonly keys: ReadonlyMap<string, readonly NeededKey[]>;
  readonly permits: ReadonlyMap<string, readonly Permit[]>;
  /** parts wanted per visit: only those that some van is recorded to carry, or nobody could ever go */
  readonly parts: ReadonlyMap<string, Readonly<Record<string, number>>>;
  readonly stock: ReadonlyMap<string, Readonly<Record<string, number>>>;
}

const grouped = <T, V>(rows: readonly T[], key: (row: T) => string, value: (row: T) => V): Map<string, V[]> => {
  const groups = new Map<string, V[]>();
  for (const row of rows) { const list = groups.get(key(row)); if (list) list.push(value(row)); else groups.set(key(row), [value(row)]); }
  return groups;
};

/** In four statements, whatever the size of the week. A part that no van is recorded to carry binds nobody: it is shown with the round instead. */
export async function needsOf(ctx: Ctx, rows: readonly PlannableVisit[]): Promise<Needs> {
  const siteIds = [...new Set(rows.map((row) => row.site_id))];
  const keys = await neededKeys(ctx.tx, siteIds);
  const permits = await ctx.tx.db.sitePermit.findMany({ where: { ...own(ctx), siteId: { in: siteIds } } });
  const stock = await ctx.tx.db.vanStock.findMany({ where: own(ctx) });
  const wanted = await partsWanted(ctx.tx, rows.filter((row) => row.deficiencies > 0).map((row) => row.visit_id));
  const counted = new Set(stock.map((one) => one.part.toLowerCase()));
  const record = (entries: [string, number][]) => Object.fromEntries(entries);
  return {
    keys: grouped(keys, (one) => one.site_id, (one) => one),
    permits: grouped(permits, (one) => one.siteId, (one): Permit => ({ name: one.name, from: dayTextOrNull(one.fromDay), to: dayTextOrNull(one.toDay) })),
    parts: new Map([...grouped(wanted.filter((one) => counted.has(one.part)), (one) => one.visit_id, (one) => [one.part, one.n] as [string, number])].map(([id, entries]) => [id, record(entries)])),
    stock: new Map([...grouped(stock, (one) => one.technicianId, (one) => [one.part.toLowerCase(), one.quantity] as [string, number])].map(([id, entries]) => [id, record(entries)])),
  };
}

const keyWord = (key: NeededKey): string => `the key ${key.label} (${key.key_id.slice(-6)})`;

/** What a technician has that visits may ask for: equipment, and keys in their hands. */
export function carriedBy(technicianId: string, equipment: readonly string[], needs: Needs): string[] {
  return [...equipment, ...[...needs.keys.values()].flat().filter((key) => key.holder_kind === 'technician' && key.technician_id === technicianId).map(keyWord)];
}

const minuteOf = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));

/** Hours of a week as windows of single days in which something of so many minutes must lie. */
export function windowsFrom(hours: readonly WeeklyHours[], days: readonly string[], minutes: number): VisitWindow[] {
  return days.flatMap((day) => hours.filter((one) => one.weekday === weekdayOf(localDate(day)) && minuteOf(one.to) - minuteOf(one.from) >= minutes)
    .map((one) => ({ day, startMin: minuteOf(one.from), endMin: minuteOf(one.to) - minutes, closeMin: minuteOf(one.to) })));
}

/**
 * A key is with a technician (then that one goes), or handed out somewhere (then it is collected on the way and brought back), or
 * at the site (then nothing is asked). One place to collect from per visit: further ones are told, not forgotten.
 */
export function needOfVisit(row: PlannableVisit, needs: Needs, places: Places, rules: PlanningRules, days: readonly string[], today: string): { asks: Partial<Visit>; told: string[] } {
  const keys = needs.keys.get(row.site_id) ?? [];
  const held = keys.filter((key) => key.holder_kind === 'technician' && key.technician_id !== null);
  const placeOf = (key: NeededKey) => (key.collect_lat !== null && key.collect_lon !== null ? { lat: key.collect_lat, lon: key.collect_lon } : key.holder_kind === 'office' ? rules.depot : null);
  const fetched = keys.filter((key) => !held.includes(key) && key.holder_kind !== 'site' && placeOf(key) !== null);
  const lost = keys.filter((key) => !held.includes(key) && key.holder_kind !== 'site' && placeOf(key) === null);
  const [first, ...more] = fetched;
  const pair = row.persons === 2;
  const equipment = [...new Set([...row.equipment, ...held.map(keyWord)])];
  const parts = needs.parts.get(row.visit_id);
  const permits = needs.permits.get(row.site_id);
  return {
    asks: {
      ...(equipment.length > 0 ? { equipment } : {}), ...(parts ? { uses: parts } : {}), ...(permits ? { permits } : {}),
      ...(row.notice_days > 0 ? { notice: { leadDays: row.notice_days, on: row.notice_given_on ?? today, given: row.notice_given_on !== null } } : {}),
      ...(first && !pair ? { key: keyOf(first, placeOf(first)!, places, days) } : {}),
    },
    told: [
      ...more.filter((key) => key.collect_at !== first!.collect_at).map((key) => `${row.site_name}: the key ${key.label} must be collected too (${key.collect_at ?? 'place not recorded'}); the plan counts only one collecting`),
      ...(first && pair ? [`${row.site_name} needs two people and the key ${first.label}; collecting it is not in the plan`] : []),
      ...lost.map((key) => `${row.site_name}: where the key ${key.label} is collected is not recorded; the plan takes it as at hand`),
    ],
  };
}

function keyOf(key: NeededKey, at: { lat: number; lon: number }, places: Places, days: readonly string[]): VisitKey {
  const hours = key.collect_hours as WeeklyHours[] | null;
  return { collectPlace: places.at(at.lat, at.lon), handMin: key.hand_min, ...(key.brought_back ? {} : { returnPlace: null }), ...(hours === null ? {} : { windows: windowsFrom(hours, days, key.hand_min) }) };
}
