import type { Tx } from '../scoped.js';

// What the one operation that materialises duty_timeline reads, all set-based. The rows of duties and checks come as one text each,
// cut apart here: a sweep reads millions of them, and a client that makes an object of every column costs more than the query.

export interface LockedSite { id: string; timeZone: string }

/**
 * Locks sites against another refresh, in a fixed order so that two of them never wait for each other in a ring.
 * Taken before the facts are read: of two checks recorded at once, the later refresh sees both.
 */
export function lockSites(tx: Pick<Tx, 'sql'>, siteIds: readonly string[]): Promise<LockedSite[]> {
  return tx.sql(`select id, time_zone as "timeZone" from site where company_id = current_company() and id = any($1::uuid[]) order by id for no key update`, [siteIds]);
}

/** Some sites in the order of their ids and, where not all of their duties are meant, which; ids with a space between. */
export interface SiteStretch { sites: string; duties: string | null }

/** All sites, in stretches of so many. */
export function siteStretches(tx: Pick<Tx, 'sql'>, sites: number): Promise<SiteStretch[]> {
  return tx.sql(`select string_agg(id::text, ' ' order by id) as sites, null as duties
    from (select id, (row_number() over (order by id) - 1) / $1::int as stretch from site where company_id = current_company()) x group by stretch order by stretch`, [sites]);
}

/** Duties whose windows change by `now` without a new fact, in stretches of whole sites with about so many duties. */
export function turnedStretches(tx: Pick<Tx, 'sql'>, duties: number, now: Date): Promise<SiteStretch[]> {
  return tx.sql(`select string_agg(distinct site_id::text, ' ' order by site_id::text) as sites, string_agg(duty_id::text, ' ') as duties
    from (select t.site_id, t.duty_id, (rank() over (order by t.site_id) - 1) / $1::int as stretch from duty_timeline t join site s on s.company_id = t.company_id and s.id = t.site_id
      where t.company_id = current_company() and t.turns_on <= ($2::timestamptz at time zone s.time_zone)::date and t.turns_on <= ($2::timestamptz at time zone 'UTC')::date + 1) x group by stretch order by stretch`, [duties, now]);
}

/**
 * What is written in this transaction may be lost when the machine loses its power within a second or so, as if it had never
 * run; nothing else is at risk. Only for what is computed again from facts: a sweep writes thousands of duties a transaction and
 * would wait at each of them for the disk.
 */
export async function mayBeLost(tx: Pick<Tx, 'sql'>): Promise<void> {
  await tx.sql(`select set_config('synchronous_commit', 'off', true)`);
}

export interface DutyFact {
  id: string; siteId: string; systemId: string; subjectKind: string; subjectId: string; ruleKey: string; programmeId: string;
  basisOn: string | null; validFrom: string; validTo: string | null;
}

// Separators that stand in no key: between columns, between rows.
const [COLUMN, ROW] = ['\x1f', '\x1e'];

// A row that a duty names, looked up by its key: left to itself the planner reads whole tables for each few hundred sites of a fleet.
const ofDuty = (select: string, as: string): string => `left join lateral (${select} and company_id = current_company() limit 1) ${as} on true`;

/**
 * Every duty of these sites, or of `only` alone; with `knownBy`, those laid on by then. A duty ends with its application, with its
 * subject's removal, with its system and with its site, whichever is first.
 */
export async function dutyFacts(tx: Pick<Tx, 'sql'>, siteIds: readonly string[], knownBy: Date | null = null, only: readonly string[] | null = null): Promise<DutyFact[]> {
  const [row] = await tx.sql<{ lines: string | null }>(`select string_agg(concat_ws(E'\\x1f', x.id, x.site_id, x.system_id, x.subject_kind, x.subject_id, x.rule_key, x.programme_id, coalesce(x.basis_on::text, ''), x.valid_from,
      case when x.ends is null then '' else greatest(x.ends, x.valid_from - 1)::text end), E'\\x1e' order by x.id) as lines
    from (select d.id, d.site_id, d.system_id, d.subject_kind, d.subject_id, d.rule_key, a.programme_id, d.basis_on, d.valid_from,
        least(d.valid_to, y.retired_on, s.closed_on, u.removed_on) as ends
      from duty d join site s on s.company_id = current_company() and s.id = d.site_id and s.id = any($1::uuid[])
        ${ofDuty('select programme_id, applied_at from programme_application where id = d.application_id', 'a')} ${ofDuty('select retired_on from system where id = d.system_id', 'y')}
        ${ofDuty(['device', 'path', 'battery'].map((kind) => `select removed_on from ${kind} where d.subject_kind = '${kind}' and id = d.subject_id`).join(' and company_id = current_company() union all '), 'u')}
      where d.company_id = current_company() and ${only === null ? 'd.site_id = any($1::uuid[])' : 'd.id = any($3::uuid[])'} and ($2::timestamptz is null or a.applied_at <= $2::timestamptz)) x`, only === null ? [siteIds, knownBy] : [siteIds, knownBy, only]);
  if (!row?.lines) return [];
  return row.lines.split(ROW).map((line) => {
    const [id, siteId, systemId, subjectKind, subjectId, ruleKey, programmeId, basisOn, validFrom, validTo] = line.split(COLUMN) as [string, string, string, string, string, string, string, string, string, string];
    return { id, siteId, systemId, subjectKind, subjectId, ruleKey, programmeId, basisOn: basisOn || null, validFrom, validTo: validTo || null };
  });
}

export interface CheckFact { id: string; performedOn: string; verdict: string; evidence: string; source: string; technicianId: string | null }
/** The checks of one kind on one subject, each still to be cut out of `lines`: a sweep holds hundreds of thousands, and needs those of one duty at a time. */
export interface ChecksOfSubject { subjectId: string; subjectKind: string; kind: string; lines: string }

const VERDICTS: Record<string, string> = { p: 'pass', m: 'marginal', f: 'fail' };
const SOURCES: Record<string, string> = { f: 'field', i: 'import', r: 'remote', o: 'occupant' };
// A check is its id, its day, and the first letters of verdict, grade and source; then the technician, where one is named.
const [ID, DAY, LETTERS] = [36, 10, 3];

/** Checks that could be credited: done, not excused, not corrected and not contradicted in their visit (rule VIS-9; by `knownBy` and only on these subjects and of these kinds, where given). */
export async function checkFacts(tx: Pick<Tx, 'sql'>, siteIds: readonly string[], knownBy: Date | null = null, only: { subjectIds: readonly string[]; kinds: readonly string[] } | null = null): Promise<ChecksOfSubject[]> {
  const [row] = await tx.sql<{ lines: string | null }>(`select string_agg(concat_ws(E'\\x1f', x.subject_id, x.subject_kind, x.check_kind, x.checks), E'\\x1e') as lines
    from (select c.subject_id, c.subject_kind, c.check_kind, string_agg(c.id::text || c.performed_on::text || left(c.verdict, 1) || c.evidence || left(c.source, 1) || coalesce(c.technician_id::text, ''), ',') as checks
      from counting_checks($2::timestamptz) c
      where c.company_id = current_company() and c.verdict in ('pass', 'marginal', 'fail') and ${only === null ? 'c.site_id = any($1::uuid[])' : 'c.subject_id = any($1::uuid[]) and c.check_kind = any($3::text[])'}
      group by c.subject_id, c.subject_kind, c.check_kind) x`, only === null ? [siteIds, knownBy] : [only.subjectIds, knownBy, only.kinds]);
  if (!row?.lines) return [];
  return row.lines.split(ROW).map((line) => {
    const [subjectId, subjectKind, kind, lines] = line.split(COLUMN) as [string, string, string, string];
    return { subjectId, subjectKind, kind, lines };
  });
}

/** The checks of a group, one by one. */
export function checksOfGroup<T>({ lines }: ChecksOfSubject, made: (check: CheckFact) => T): T[] {
  const checks: T[] = [];
  for (let at = 0; at < lines.length;) {
    const letters = at + ID + DAY;
    let end = letters + LETTERS;
    const technicianId = end === lines.length || lines[end] === ',' ? null : lines.slice(end, (end += ID));
    checks.push(made({ id: lines.slice(at, at + ID), performedOn: lines.slice(at + ID, letters), verdict: VERDICTS[lines[letters]!]!, evidence: lines[letters + 1]!, source: SOURCES[lines[letters + 2]!]!, technicianId }));
    at = end + 1;
  }
  return checks;
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

/** Bodies of programmes by id, as they were validated when adopted. */
export function programmeBodies(tx: Pick<Tx, 'sql'>, programmeIds: readonly string[]): Promise<{ id: string; body: unknown }[]> {
  return programmeIds.length === 0 ? Promise.resolve([]) : tx.sql(`select id, body from programme where company_id = current_company() and id = any($1::uuid[])`, [programmeIds]);
}
