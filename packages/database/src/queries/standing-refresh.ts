import type { Tx } from '../scoped.js';

// What the one operation that materialises duty_window, duty_turn and credit reads and writes, all set-based.

export interface LockedSite { id: string; timeZone: string }

/**
 * Locks sites against another refresh, in a fixed order so that two of them never wait for each other in a ring.
 * Taken before the facts are read: of two checks recorded at once, the later refresh sees both.
 */
export function lockSites(tx: Pick<Tx, 'sql'>, siteIds: readonly string[]): Promise<LockedSite[]> {
  return tx.sql(`select id, time_zone as "timeZone" from site where company_id = current_company() and id = any($1::uuid[]) order by id for no key update`, [siteIds]);
}

/** The next sites by id. `staleOnly`: those with a duty whose windows change by `now` without a new fact. */
export async function nextSites(tx: Pick<Tx, 'sql'>, after: string | null, limit: number, staleOnly: boolean, now: Date): Promise<string[]> {
  const rows = staleOnly
    ? await tx.sql<{ id: string }>(`select distinct t.site_id as id from duty_turn t join site s on s.company_id = t.company_id and s.id = t.site_id
        where t.company_id = current_company() and t.turns_on <= ($3::timestamptz at time zone s.time_zone)::date
          and t.turns_on <= ($3::timestamptz at time zone 'UTC')::date + 1
          and ($1::uuid is null or t.site_id > $1::uuid) order by 1 limit $2`, [after, limit, now])
    : await tx.sql<{ id: string }>(`select id from site where company_id = current_company() and ($1::uuid is null or id > $1::uuid) order by id limit $2`, [after, limit]);
  return rows.map((row) => row.id);
}

/** Of these sites the duties whose windows change by `now` without a new fact. */
export async function turnedDuties(tx: Pick<Tx, 'sql'>, siteIds: readonly string[], now: Date): Promise<string[]> {
  const rows = await tx.sql<{ id: string }>(`select t.duty_id as id from duty_turn t join site s on s.company_id = t.company_id and s.id = t.site_id
    where t.company_id = current_company() and t.site_id = any($1::uuid[]) and t.turns_on <= ($2::timestamptz at time zone s.time_zone)::date`, [siteIds, now]);
  return rows.map((row) => row.id);
}

export interface DutyFact {
  id: string; siteId: string; systemId: string; subjectKind: string; subjectId: string; ruleKey: string; programmeId: string;
  basisOn: string | null; validFrom: string; validTo: string | null;
}

/**
 * Every duty of these sites; with `knownBy`, those laid on by then. A duty ends with its application, with its subject's
 * removal, with its system and with its site, whichever is first.
 */
export function dutyFacts(tx: Pick<Tx, 'sql'>, siteIds: readonly string[], knownBy: Date | null = null): Promise<DutyFact[]> {
  return tx.sql(`select d.id, d.site_id as "siteId", d.system_id as "systemId", d.subject_kind as "subjectKind", d.subject_id as "subjectId",
      d.rule_key as "ruleKey", a.programme_id as "programmeId", d.basis_on::text as "basisOn", d.valid_from::text as "validFrom",
      case when least(d.valid_to, y.retired_on, s.closed_on, v.removed_on, p.removed_on, b.removed_on) is null then null
        else greatest(least(d.valid_to, y.retired_on, s.closed_on, v.removed_on, p.removed_on, b.removed_on), d.valid_from - 1)::text end as "validTo"
    from duty d join programme_application a on a.company_id = d.company_id and a.id = d.application_id
      join site s on s.company_id = d.company_id and s.id = d.site_id
      join system y on y.company_id = d.company_id and y.id = d.system_id
      left join device v on v.company_id = d.company_id and v.id = d.subject_id and d.subject_kind = 'device'
      left join path p on p.company_id = d.company_id and p.id = d.subject_id and d.subject_kind = 'path'
      left join battery b on b.company_id = d.company_id and b.id = d.subject_id and d.subject_kind = 'battery'
    where d.company_id = current_company() and d.site_id = any($1::uuid[]) and ($2::timestamptz is null or a.applied_at <= $2::timestamptz)
    order by d.id`, [siteIds, knownBy]);
}

export interface CheckFact {
  id: string; siteId: string; subjectKind: string; subjectId: string; kind: string; verdict: string; evidence: string;
  performedOn: string; source: string; technicianId: string | null;
}

/** Checks that could be credited: done, not excused, not corrected and not contradicted in their visit (rule VIS-9; by `knownBy` and of these kinds, where given). */
export function checkFacts(tx: Pick<Tx, 'sql'>, siteIds: readonly string[], knownBy: Date | null = null, kinds: readonly string[] | null = null): Promise<CheckFact[]> {
  return tx.sql(`select c.id, c.site_id as "siteId", c.subject_kind as "subjectKind", c.subject_id as "subjectId", c.check_kind as kind, c.verdict, c.evidence,
      c.performed_on::text as "performedOn", c.source, c.technician_id as "technicianId"
    from counting_checks($2::timestamptz) c
    where c.company_id = current_company() and c.site_id = any($1::uuid[]) and c.verdict in ('pass', 'marginal', 'fail') and ($3::text[] is null or c.check_kind = any($3::text[]))`, [siteIds, knownBy, kinds]);
}

export interface LicenceFact { technicianId: string; kind: string; validFrom: string | null; validTo: string }

/** Licences with a known end; one without can never be told valid. */
export function licenceFacts(tx: Pick<Tx, 'sql'>): Promise<LicenceFact[]> {
  return tx.sql(`select technician_id as "technicianId", kind, valid_from::text as "validFrom", valid_to::text as "validTo" from licence where company_id = current_company() and valid_to is not null`);
}

export interface UnitFact { id: string; systemId: string; kind: string; link: string; from: string | null; to: string | null }

/** Devices that were ever part of these systems: the populations of shares. */
export function unitFacts(tx: Pick<Tx, 'sql'>, systemIds: readonly string[]): Promise<UnitFact[]> {
  return tx.sql(`select id, system_id as "systemId", kind, link, coalesce(installed_on, first_seen_on)::text as "from", removed_on::text as "to"
    from device where company_id = current_company() and system_id = any($1::uuid[])`, [systemIds]);
}

export interface BlackoutFact { siteId: string; kind: string; from: string; to: string | null; reason: string; authority: string }

export function blackoutFacts(tx: Pick<Tx, 'sql'>, siteIds: readonly string[]): Promise<BlackoutFact[]> {
  return tx.sql(`select site_id as "siteId", kind, from_day::text as "from", to_day::text as "to", reason, authority
    from site_blackout where company_id = current_company() and site_id = any($1::uuid[]) order by from_day, id`, [siteIds]);
}

export interface RepairFact { systemId: string; on: string; ref: string }

/** Repairs, the events that after-event duties count from: the site's local day on which a deficiency was closed. */
export function repairFacts(tx: Pick<Tx, 'sql'>, siteIds: readonly string[], knownBy: Date | null = null): Promise<RepairFact[]> {
  return tx.sql(`select d.system_id as "systemId", (d.closed_at at time zone s.time_zone)::date::text as "on", d.id as ref
    from deficiency d join site s on s.company_id = d.company_id and s.id = d.site_id
    where d.company_id = current_company() and d.site_id = any($1::uuid[]) and d.closed_at is not null and ($2::timestamptz is null or d.closed_at <= $2::timestamptz)`, [siteIds, knownBy]);
}

export interface WindowRow {
  dutyId: string; n: number; siteId: string; opens: string; due: string; lapses: string; governsFrom: string; governsTo: string | null;
  metOn: string | null; metBy: string | null; outcome: string | null; lateDays: number; carried: string; basisOn: string | null; why: string;
}
export interface CreditRow { dutyId: string; checkId: string; creditedOn: string }
export interface TurnRow { dutyId: string; siteId: string; turnsOn: string | null; digest: string }

/** Rows written and removed; both 0 when the table already said the same. */
export interface Written { put: number; gone: number }
const written = async (rows: Promise<{ put: number; gone: number }[]>): Promise<Written> => (await rows)[0] ?? { put: 0, gone: 0 };

/** Makes duty_window of these duties equal to `rows`, touching only rows that differ. */
export function settleWindows(tx: Pick<Tx, 'sql'>, dutyIds: readonly string[], rows: readonly WindowRow[]): Promise<Written> {
  return written(tx.sql(`with fresh as materialized (
      select * from json_to_recordset($2::json) as r("dutyId" uuid, n int, "siteId" uuid, opens date, due date, lapses date, "governsFrom" date, "governsTo" date,
        "metOn" date, "metBy" uuid, outcome text, "lateDays" int, carried text, "basisOn" date, why text)
    ), held as materialized (
      select duty_id, n, site_id, opens, due, lapses, governs_from, governs_to, met_on, met_by, outcome, late_days, carried, basis_on, why
      from duty_window where company_id = current_company() and duty_id = any($1::uuid[])
    ), changed as (
      select * from fresh except select * from held
    ), put as (
      insert into duty_window as w (company_id, duty_id, n, site_id, opens, due, lapses, governs_from, governs_to, met_on, met_by, outcome, late_days, carried, basis_on, why)
      select current_company(), * from changed
      on conflict (company_id, duty_id, n) do update set site_id = excluded.site_id, opens = excluded.opens, due = excluded.due, lapses = excluded.lapses,
        governs_from = excluded.governs_from, governs_to = excluded.governs_to, met_on = excluded.met_on, met_by = excluded.met_by, outcome = excluded.outcome,
        late_days = excluded.late_days, carried = excluded.carried, basis_on = excluded.basis_on, why = excluded.why
      returning 1
    ), gone as (
      delete from duty_window w using (select duty_id, n from held except select "dutyId", n from fresh) old
      where w.company_id = current_company() and w.duty_id = old.duty_id and w.n = old.n returning 1
    ) select (select count(*) from put)::int as put, (select count(*) from gone)::int as gone`, [dutyIds, JSON.stringify(rows)]));
}

/** Makes credit of these duties equal to `rows`. */
export function settleCredits(tx: Pick<Tx, 'sql'>, dutyIds: readonly string[], rows: readonly CreditRow[]): Promise<Written> {
  return written(tx.sql(`with fresh as materialized (
      select * from json_to_recordset($2::json) as r("dutyId" uuid, "checkId" uuid, "creditedOn" date)
    ), held as materialized (
      select duty_id, check_id, credited_on from credit where company_id = current_company() and duty_id = any($1::uuid[])
    ), put as (
      insert into credit (company_id, duty_id, check_id, credited_on) select current_company(), * from (select * from fresh except select * from held) changed
      on conflict (company_id, duty_id, check_id) do update set credited_on = excluded.credited_on returning 1
    ), gone as (
      delete from credit c using (select duty_id, check_id from held except select "dutyId", "checkId" from fresh) old
      where c.company_id = current_company() and c.duty_id = old.duty_id and c.check_id = old.check_id returning 1
    ) select (select count(*) from put)::int as put, (select count(*) from gone)::int as gone`, [dutyIds, JSON.stringify(rows)]));
}

/** What was materialised of these duties when they were last refreshed. */
export function heldTurns(tx: Pick<Tx, 'sql'>, dutyIds: readonly string[]): Promise<TurnRow[]> {
  return tx.sql(`select duty_id as "dutyId", site_id as "siteId", turns_on::text as "turnsOn", digest from duty_turn where company_id = current_company() and duty_id = any($1::uuid[])`, [dutyIds]);
}

/** Makes duty_turn of these duties equal to `rows`. */
export function settleTurns(tx: Pick<Tx, 'sql'>, dutyIds: readonly string[], rows: readonly TurnRow[]): Promise<Written> {
  return written(tx.sql(`with fresh as materialized (
      select * from json_to_recordset($2::json) as r("dutyId" uuid, "siteId" uuid, "turnsOn" date, digest text)
    ), held as materialized (
      select duty_id, site_id, turns_on, digest from duty_turn where company_id = current_company() and duty_id = any($1::uuid[])
    ), put as (
      insert into duty_turn (company_id, duty_id, site_id, turns_on, digest) select current_company(), * from (select * from fresh except select * from held) changed
      on conflict (company_id, duty_id) do update set site_id = excluded.site_id, turns_on = excluded.turns_on, digest = excluded.digest returning 1
    ), gone as (
      delete from duty_turn t using (select duty_id from held except select "dutyId" from fresh) old
      where t.company_id = current_company() and t.duty_id = old.duty_id returning 1
    ) select (select count(*) from put)::int as put, (select count(*) from gone)::int as gone`, [dutyIds, JSON.stringify(rows)]));
}

/** Bodies of programmes by id, as they were validated when adopted. */
export function programmeBodies(tx: Pick<Tx, 'sql'>, programmeIds: readonly string[]): Promise<{ id: string; body: unknown }[]> {
  return programmeIds.length === 0 ? Promise.resolve([]) : tx.sql(`select id, body from programme where company_id = current_company() and id = any($1::uuid[])`, [programmeIds]);
}
