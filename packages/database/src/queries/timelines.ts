import { intArray, uuidArray } from '../binary-arrays.js';
import type { Tx } from '../scoped.js';

// duty_timeline: one row per duty with all that is materialised of it. Written here in flat lists of whole numbers, cut apart by
// the database; read as rows by the views duty_window and credit, and for a day or a stretch by windows_between().

type Sql = Pick<Tx, 'sql'>;

/** Stands for 'none' among packed day numbers. */
export const NO_DAY = 2147483647;

export interface Timeline {
  dutyId: string;
  siteId: string;
  /** day number, or NO_DAY when nothing changes without a new fact */
  turnsOn: number;
  digest: string;
  /** for each window the day on which it begins to govern, never falling */
  starts: readonly number[];
  /** for each window: opens, due, lapses, governs to, met on, basis, place of the check that met it in `checkIds` from 1 (0: none), mark */
  packed: readonly number[];
  /** the credited checks by id, then any other that met a window */
  checkIds: readonly string[];
  credited: number;
  /** last day of a window that nothing met and last proof before it (or NO_DAY), for each window that carries lapsed from it */
  unmet: readonly number[];
  /** why nothing can be computed, when it cannot */
  said: string | null;
}

const CARRIED: Record<string, number> = { proven: 0, lapsed: 1, 'cant-tell': 2 };
const OUTCOME: Record<string, number> = { 'on-time': 4, late: 8, missed: 12 };

/** The mark of a window; `unknown`: nothing was known to count from; `unmet`: place of its pair in `unmet`, from 1 (0: none). */
export const windowMark = (carried: string, outcome: string | null, unknown: boolean, unmet = 0): number => CARRIED[carried]! + (outcome === null ? 0 : OUTCOME[outcome]!) + (unknown ? 16 : 0) + 32 * unmet;

export interface HeldTimeline { siteId: string; turnsOn: number; digest: string }

/** What was materialised of these duties when they were last refreshed, by duty. */
export async function heldTimelines(tx: Sql, dutyIds: readonly string[]): Promise<Map<string, HeldTimeline>> {
  const [row] = await tx.sql<{ lines: string | null }>(`select string_agg(concat_ws(' ', duty_id, site_id, coalesce(day_number(turns_on), ${NO_DAY}), digest), E'\\n') as lines
    from duty_timeline where company_id = current_company() and duty_id = any($1::uuid[])`, [uuidArray([dutyIds])]);
  const held = new Map<string, HeldTimeline>();
  if (row?.lines) {
    for (const line of row.lines.split('\n')) {
      const [dutyId, siteId, turnsOn, digest] = line.split(' ');
      held.set(dutyId!, { siteId: siteId!, turnsOn: Number(turnsOn), digest: digest ?? '' });
    }
  }
  return held;
}

// A row out of the flat lists. $1 to $12 run along the duties; $13 to $16 hold the windows, checks and unmet windows of all of them, end to end.
const ROWS = `select current_company() as company_id, r.duty_id, r.site_id, day_of(r.turns_on) as turns_on, r.digest,
    case when r.len > 0 then r.len - 1 end as n, day_of($14[8 * e - 7]) as opens, day_of($14[8 * e - 6]) as due, day_of($14[8 * e - 5]) as lapses,
    day_of($13[e]) as governs_from, day_of($14[8 * e - 4]) as governs_to, day_of($14[8 * e - 3]) as met_on,
    case when r.len > 0 then (array['proven', 'lapsed', 'cant-tell'])[1 + ($14[8 * e] & 3)] end as carried,
    $13[r.at + 1 : r.at + r.len] as starts, $14[8 * r.at + 1 : 8 * (r.at + r.len)] as packed, $15[r.checks_at + 1 : r.checks_at + r.checks] as check_ids, r.credited,
    $16[r.unmet_at + 1 : r.unmet_at + r.unmets] as unmet, nullif(r.said, '') as said
  from unnest($1::uuid[], $2::uuid[], $3::int[], $4::text[], $5::int[], $6::int[], $7::int[], $8::int[], $9::int[], $10::text[], $11::int[], $12::int[])
    as r(duty_id, site_id, turns_on, digest, at, len, checks_at, checks, credited, said, unmet_at, unmets)
  cross join lateral (select case when r.len > 0 then r.at + r.len end as e) last`.replaceAll(/\$1[3-6](?=\[)/g, (list) => `(${list}::${list === '$15' ? 'uuid' : 'int'}[])`);
const COLUMNS = ['site_id', 'turns_on', 'digest', 'n', 'opens', 'due', 'lapses', 'governs_from', 'governs_to', 'met_on', 'carried', 'starts', 'packed', 'check_ids', 'credited', 'unmet', 'said'];
const CONTENT = ['site_id', 'starts', 'packed', 'check_ids', 'credited', 'unmet', 'said'];

const words = (values: readonly string[]): string => `{${values.map((value) => `"${value.replaceAll(/[\\"]/g, '\\$&')}"`).join(',')}}`;
/** Where each of some lists begins when they stand end to end. */
function begins(lengths: readonly number[]): number[] {
  let sum = 0;
  return lengths.map((length) => (sum += length) - length);
}

function flat(rows: readonly Timeline[]): unknown[] {
  const [starts, checkIds, unmet] = [rows.map((row) => row.starts), rows.map((row) => row.checkIds), rows.map((row) => row.unmet)];
  const lengths = [starts, checkIds, unmet].map((lists) => lists.map((list) => list.length)) as [number[], number[], number[]];
  const [ofStarts, ofChecks, ofUnmet] = lengths.flatMap((each) => [[intArray([begins(each)]), intArray([each])]]) as [Buffer[], Buffer[], Buffer[]];
  return [
    uuidArray([rows.map((row) => row.dutyId)]), uuidArray([rows.map((row) => row.siteId)]), intArray([rows.map((row) => row.turnsOn)]), words(rows.map((row) => row.digest)), ...ofStarts,
    ...ofChecks, intArray([rows.map((row) => row.credited)]), words(rows.map((row) => row.said ?? '')), ...ofUnmet,
    intArray(starts), intArray(rows.map((row) => row.packed)), uuidArray(checkIds), intArray(unmet),
  ];
}

/** Writes timelines of duties that have none yet. */
export async function addTimelines(tx: Sql, rows: readonly Timeline[]): Promise<void> {
  if (rows.length > 0) await tx.sql(`insert into duty_timeline (company_id, duty_id, ${COLUMNS.join(', ')}) ${ROWS}`, flat(rows));
}

/** Writes over the timelines of duties that have one; the answer names those whose windows or credits said something else before (not those that only turn on another day). */
export async function replaceTimelines(tx: Sql, rows: readonly Timeline[]): Promise<string[]> {
  if (rows.length === 0) return [];
  const changed = await tx.sql<{ id: string }>(`with fresh as materialized (${ROWS}), differs as materialized (
      select f.duty_id from fresh f join duty_timeline t on t.company_id = f.company_id and t.duty_id = f.duty_id
      where (${CONTENT.map((name) => `t.${name}`).join(', ')}) is distinct from (${CONTENT.map((name) => `f.${name}`).join(', ')})
    ), put as (
      update duty_timeline t set ${COLUMNS.map((name) => `${name} = f.${name}`).join(', ')} from fresh f
      where t.company_id = f.company_id and t.duty_id = f.duty_id and (t.digest <> f.digest or t.turns_on is distinct from f.turns_on or f.duty_id in (select duty_id from differs)) returning 1
    ) select duty_id as id from differs where (select count(*) from put) >= 0`, flat(rows));
  return changed.map((row) => row.id);
}

// ── what is credited and met ────────────────────────────────────────────────

export interface CreditOfVisit { dutyId: string; checkId: string; checkKind: string }

/** Checks of one visit that are credited to some duties. */
export function creditsInVisit(tx: Sql, visitId: string, dutyIds: readonly string[]): Promise<CreditOfVisit[]> {
  return tx.sql(`select k.duty_id as "dutyId", k.check_id as "checkId", c.check_kind as "checkKind" from credit k join check_record c on c.company_id = k.company_id and c.id = k.check_id
    where k.company_id = current_company() and k.duty_id = any($2::uuid[]) and c.visit_id = $1::uuid order by k.duty_id, k.check_id`, [visitId, dutyIds]);
}

export interface CreditOfCheck { checkId: string; dutyId: string; title: string; regime: string; met: boolean; outcome: string | null; lateDays: number }

/** Duties that these checks are credited to, with the window that each closed. A check is credited at its own site only. */
export function creditsOfChecks(tx: Sql, checkIds: readonly string[]): Promise<CreditOfCheck[]> {
  return tx.sql(`with asked as materialized (select distinct site_id from check_record where company_id = current_company() and id = any($1::uuid[]))
    select k.check_id as "checkId", k.duty_id as "dutyId", d.title, d.regime, w.n is not null as met, w.outcome, coalesce(w.late_days, 0) as "lateDays"
    from credit k join duty d on d.company_id = k.company_id and d.id = k.duty_id
      left join lateral (select n, outcome, late_days from duty_window w where w.company_id = k.company_id and w.duty_id = k.duty_id and w.met_by = k.check_id order by n limit 1) w on true
    where k.company_id = current_company() and k.site_id in (select site_id from asked) and k.check_id = any($1::uuid[]) order by k.duty_id, k.check_id`, [checkIds]);
}

/** Of these duties the checks that met a window, in the order of the windows. */
export function metByOf(tx: Sql, dutyIds: readonly string[]): Promise<{ dutyId: string; metBy: string }[]> {
  return tx.sql(`select duty_id as "dutyId", met_by as "metBy" from duty_window where company_id = current_company() and duty_id = any($1::uuid[]) and met_by is not null order by duty_id, n`, [dutyIds]);
}

/** The last day in time of the window that governs each of these duties until further notice. */
export async function lapsesOf(tx: Sql, dutyIds: readonly string[]): Promise<Map<string, string>> {
  const rows = await tx.sql<{ id: string; lapses: string }>(`select duty_id as id, lapses::text from duty_timeline where company_id = current_company() and duty_id = any($1::uuid[]) and n is not null and governs_to is null`, [dutyIds]);
  return new Map(rows.map((row) => [row.id, row.lapses]));
}
