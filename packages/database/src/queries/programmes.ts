import type { Tx } from '../scoped.js';

// Laying programmes on whole fleets: systems are read in batches with what is installed in them, duties written by the thousand.

type Sql = Pick<Tx, 'sql'>;

export interface SystemFilter { programmeKey: string; systemIds?: readonly string[] | undefined; siteIds?: readonly string[] | undefined; clientId?: string | undefined; kinds?: readonly string[] | undefined; /** only systems on which this version stands */ standsOn?: string | undefined; /** only systems on which some version of the programme stands */ laidOnly?: boolean | undefined }

export interface SystemToLay {
  id: string; siteId: string; name: string; siteName: string; kind: string; grade: string | null; installedOn: string | null; retiredOn: string | null; siteClosedOn: string | null; monitored: boolean;
  devices: { id: string; kind: string; link: string; madeOn: string | null; installedOn: string | null; removedOn: string | null }[] | null;
  paths: { id: string; technology: string; category: string | null; installedOn: string | null; removedOn: string | null }[] | null;
  batteries: { id: string; chemistry: string; deviceId: string | null; madeOn: string | null; fittedOn: string | null; removedOn: string | null }[] | null;
  /** the newest application of any version of this programme that has not ended */
  application: { id: string; programmeId: string; version: number; validFrom: string } | null;
}

const CHOSEN = `y.company_id = current_company() and ($2::uuid[] is null or y.id = any($2::uuid[])) and ($3::uuid[] is null or y.site_id = any($3::uuid[]))
  and ($4::uuid is null or s.client_id = $4::uuid) and ($5::text[] is null or y.kind = any($5::text[]))`;
const chosen = (filter: SystemFilter) => [filter.systemIds ?? null, filter.siteIds ?? null, filter.clientId ?? null, filter.kinds ?? null];

/** The next systems by id with all that is installed in them and how the programme stands on them. */
export function systemsToLay(tx: Sql, filter: SystemFilter, from: string, after: string | null, limit: number): Promise<SystemToLay[]> {
  return tx.sql(`with chosen as materialized (
      select y.id, y.site_id, y.name, s.name as site_name, y.kind, y.grade, y.installed_on, y.retired_on, s.closed_on, y.account_id
      from system y join site s on s.company_id = y.company_id and s.id = y.site_id
      where ${CHOSEN} and ($6::uuid is null or y.id > $6::uuid)
        and ($9::uuid is null or exists (select 1 from programme_application n where n.company_id = y.company_id and n.system_id = y.id and n.programme_id = $9::uuid and (n.valid_to is null or n.valid_to >= $8::date)))
        and (not $10::boolean or exists (select 1 from programme_application n join programme h on h.company_id = n.company_id and h.id = n.programme_id
          where n.company_id = y.company_id and n.system_id = y.id and h.key = $1 and (n.valid_to is null or n.valid_to >= $8::date)))
      order by y.id limit $7
    ), d as (
      select system_id, json_agg(json_build_object('id', id, 'kind', kind, 'link', link, 'madeOn', made_on, 'installedOn', installed_on, 'removedOn', removed_on) order by id) as list
      from device where company_id = current_company() and system_id in (select id from chosen) group by system_id
    ), p as (
      select system_id, json_agg(json_build_object('id', id, 'technology', technology, 'category', category, 'installedOn', installed_on, 'removedOn', removed_on) order by id) as list
      from path where company_id = current_company() and system_id in (select id from chosen) group by system_id
    ), b as (
      select system_id, json_agg(json_build_object('id', id, 'chemistry', chemistry, 'deviceId', device_id, 'madeOn', made_on, 'fittedOn', fitted_on, 'removedOn', removed_on) order by id) as list
      from battery where company_id = current_company() and system_id in (select id from chosen) group by system_id
    ), a as (
      select distinct on (a.system_id) a.system_id, json_build_object('id', a.id, 'programmeId', a.programme_id, 'version', g.version, 'validFrom', a.valid_from) as one
      from programme_application a join programme g on g.company_id = a.company_id and g.id = a.programme_id
      where a.company_id = current_company() and g.key = $1 and a.system_id in (select id from chosen) and (a.valid_to is null or a.valid_to >= $8::date)
      order by a.system_id, a.valid_from desc
    )
    select chosen.id, chosen.site_id as "siteId", chosen.name, chosen.site_name as "siteName", chosen.kind, chosen.grade, chosen.installed_on::text as "installedOn", chosen.retired_on::text as "retiredOn",
      chosen.closed_on::text as "siteClosedOn", coalesce(k.status = 'live', false) as monitored, d.list as devices, p.list as paths, b.list as batteries, a.one as application
    from chosen left join d on d.system_id = chosen.id left join p on p.system_id = chosen.id left join b on b.system_id = chosen.id left join a on a.system_id = chosen.id
      left join account k on k.company_id = current_company() and k.id = chosen.account_id
    order by chosen.id`, [filter.programmeKey, ...chosen(filter), after, limit, from, filter.standsOn ?? null, filter.laidOnly ?? false]);
}

export interface LiveDuty { id: string; applicationId: string; ruleKey: string; title: string; subjectId: string; cadence: unknown }

/** Duties of these applications that are owed on `from` or later. */
export function liveDuties(tx: Sql, applicationIds: readonly string[], from: string): Promise<LiveDuty[]> {
  return tx.sql(`select id, application_id as "applicationId", rule_key as "ruleKey", title, subject_id as "subjectId", cadence from duty
    where company_id = current_company() and application_id = any($1::uuid[]) and (valid_to is null or valid_to >= $2::date)`, [applicationIds, from]);
}

export interface NewApplication { id: string; systemId: string }
export interface NewDuty {
  id: string; applicationId: string; siteId: string; systemId: string; subjectKind: string; subjectId: string; ruleKey: string; title: string; regime: string; mandated: boolean;
  cadence: unknown; basisOn: string | null; checkKinds: readonly string[]; minutes: number; skills: readonly string[]; licences: readonly string[]; remotely: boolean; sounds: boolean; by: string;
}

export async function insertApplications(tx: Sql, programmeId: string, from: string, at: Date, by: string | null, rows: readonly NewApplication[]): Promise<void> {
  await tx.sql(`insert into programme_application (company_id, id, programme_id, system_id, valid_from, applied_at, applied_by)
    select current_company(), r.id, $1::uuid, r."systemId", $2::date, $3::timestamptz, $4::uuid from json_to_recordset($5::json) as r(id uuid, "systemId" uuid)`, [programmeId, from, at, by, JSON.stringify(rows)]);
}

export async function insertDuties(tx: Sql, from: string, rows: readonly NewDuty[]): Promise<void> {
  await tx.sql(`insert into duty (company_id, id, application_id, site_id, system_id, subject_kind, subject_id, rule_key, title, regime, mandated, cadence, basis_on, check_kinds, minutes, skills, licences, remotely, sounds, by_whom, valid_from)
    select current_company(), r.id, r."applicationId", r."siteId", r."systemId", r."subjectKind", r."subjectId", r."ruleKey", r.title, r.regime, r.mandated, r.cadence, r."basisOn",
      coalesce((select array_agg(x) from json_array_elements_text(r."checkKinds") x), '{}'), r.minutes, coalesce((select array_agg(x) from json_array_elements_text(r.skills) x), '{}'),
      coalesce((select array_agg(x) from json_array_elements_text(r.licences) x), '{}'), r.remotely, r.sounds, r.by, $1::date
    from json_to_recordset($2::json) as r(id uuid, "applicationId" uuid, "siteId" uuid, "systemId" uuid, "subjectKind" text, "subjectId" uuid, "ruleKey" text, title text, regime text,
      mandated boolean, cadence jsonb, "basisOn" date, "checkKinds" json, minutes int, skills json, licences json, remotely boolean, sounds boolean, by text)
    on conflict (company_id, application_id, rule_key, subject_id) do update set valid_to = null`, [from, JSON.stringify(rows)]);
}

/** Ends applications, and all their duties, after a day; one that begins later never begins. */
export async function endApplications(tx: Sql, applicationIds: readonly string[], lastDay: string): Promise<void> {
  await tx.sql(`update programme_application set valid_to = greatest($2::date, valid_from - 1) where company_id = current_company() and id = any($1::uuid[])`, [applicationIds, lastDay]);
  await tx.sql(`update duty set valid_to = greatest($2::date, valid_from - 1) where company_id = current_company() and application_id = any($1::uuid[]) and (valid_to is null or valid_to > $2::date)`, [applicationIds, lastDay]);
}

export async function endDuties(tx: Sql, dutyIds: readonly string[], lastDay: string): Promise<void> {
  await tx.sql(`update duty set valid_to = greatest($2::date, valid_from - 1) where company_id = current_company() and id = any($1::uuid[])`, [dutyIds, lastDay]);
}

/** One application that ends: its duties by rule, and what its system owes under other programmes after that day. */
export interface EndingApplication { id: string; systemId: string; systemName: string; siteId: string; siteName: string; rules: { ruleKey: string; title: string; duties: number }[]; otherDuties: number }

/** Applications of one version on the chosen systems that are owed after a day, with what ends and what stays on their systems. */
export function applicationsToEnd(tx: Sql, programmeId: string, filter: Omit<SystemFilter, 'programmeKey'>, lastDay: string): Promise<EndingApplication[]> {
  return tx.sql(`with ending as materialized (
      select a.id, a.system_id, y.name as system_name, y.site_id, s.name as site_name
      from programme_application a join system y on y.company_id = a.company_id and y.id = a.system_id join site s on s.company_id = y.company_id and s.id = y.site_id
      where ${CHOSEN} and a.programme_id = $1::uuid and (a.valid_to is null or a.valid_to > $6::date)
    ), owed as (
      select application_id, system_id, rule_key, min(title) as title, count(*)::int as duties from duty
      where company_id = current_company() and system_id in (select system_id from ending) and (valid_to is null or valid_to > $6::date) group by 1, 2, 3
    ), mine as (
      select application_id, json_agg(json_build_object('ruleKey', rule_key, 'title', title, 'duties', duties) order by rule_key) as rules from owed where application_id in (select id from ending) group by 1
    ), others as (
      select system_id, sum(duties)::int as duties from owed where application_id not in (select id from ending) group by 1
    )
    select e.id, e.system_id as "systemId", e.system_name as "systemName", e.site_id as "siteId", e.site_name as "siteName", coalesce(m.rules, '[]') as rules, coalesce(o.duties, 0) as "otherDuties"
    from ending e left join mine m on m.application_id = e.id left join others o on o.system_id = e.system_id order by e.site_name, e.id`, [programmeId, ...chosen({ ...filter, programmeKey: '' }), lastDay]);
}

/** Systems and duties each version is laid on, on a day. */
export function programmeCounts(tx: Sql, day: string): Promise<{ programmeId: string; systems: number; duties: number }[]> {
  return tx.sql(`select a.programme_id as "programmeId", count(distinct a.system_id)::int as systems, count(d.id)::int as duties
    from programme_application a left join duty d on d.company_id = a.company_id and d.application_id = a.id and (d.valid_to is null or d.valid_to >= $1::date)
    where a.company_id = current_company() and (a.valid_to is null or a.valid_to >= $1::date) group by 1`, [day]);
}

export interface ApplicationListed { applicationId: string; systemId: string; systemName: string; systemKind: string; siteId: string; siteName: string; clientName: string; version: number; validFrom: string; validTo: string | null; duties: number; total: number }

export function applicationPage(tx: Sql, programmeId: string, search: string | null, limit: number, offset: number): Promise<ApplicationListed[]> {
  return tx.sql(`with page as materialized (
      select a.id, a.system_id, a.valid_from, a.valid_to, y.name as system_name, y.kind, y.site_id, s.name as site_name, c.name as client_name, g.version, count(*) over ()::int as total
      from programme_application a join programme g on g.company_id = a.company_id and g.id = a.programme_id
        join system y on y.company_id = a.company_id and y.id = a.system_id join site s on s.company_id = y.company_id and s.id = y.site_id join client c on c.company_id = s.company_id and c.id = s.client_id
      where a.company_id = current_company() and a.programme_id = $1::uuid and ($2::text is null or s.name ilike $2 or y.name ilike $2 or c.name ilike $2 or s.external_key ilike $2)
      order by a.valid_to nulls first, s.name, y.name, a.id limit $3 offset $4
    )
    select page.id as "applicationId", system_id as "systemId", system_name as "systemName", kind as "systemKind", site_id as "siteId", site_name as "siteName", client_name as "clientName", version,
      valid_from::text as "validFrom", valid_to::text as "validTo", (select count(*) from duty d where d.company_id = current_company() and d.application_id = page.id)::int as duties, total
    from page order by valid_to nulls first, site_name, system_name, page.id`, [programmeId, search === null ? null : `%${search.replaceAll(/[\\%_]/g, '\\$&')}%`, limit, offset]);
}

/** A line of activity out of a streaming session, which has no Prisma. */
export async function writeActivity(tx: Sql, row: { id: string; at: Date; actorId: string | null; actorName: string; act: string; subjectKind: string; subjectId: string | null; summary: string }): Promise<void> {
  await tx.sql(`insert into activity (company_id, id, at, actor_id, actor_name, act, subject_kind, subject_id, summary) values (current_company(), $1, $2, $3, $4, $5, $6, $7, $8)`,
    [row.id, row.at, row.actorId, row.actorName, row.act, row.subjectKind, row.subjectId, row.summary]);
}

/** A job that follows, out of a streaming session. */
export async function writeOutboxJob(tx: Sql, job: string, payload: object, at: Date): Promise<void> {
  await tx.sql(`insert into outbox_job (company_id, job, payload, created_at) values (current_company(), $1, $2::jsonb, $3)`, [job, JSON.stringify(payload), at]);
}

/** A subject's name for people, whatever it is. */
export function subjectNames(tx: Sql, ids: readonly string[]): Promise<{ id: string; name: string }[]> {
  return tx.sql(`select id, name from site where company_id = current_company() and id = any($1::uuid[])
    union all select id, name from system where company_id = current_company() and id = any($1::uuid[])
    union all select id, label from device where company_id = current_company() and id = any($1::uuid[])
    union all select id, label from path where company_id = current_company() and id = any($1::uuid[])
    union all select id, label from battery where company_id = current_company() and id = any($1::uuid[])`, [ids]);
}

/** The company's own zone. */
export async function companyTimeZone(tx: Sql): Promise<string> {
  return (await tx.sql<{ zone: string }>('select time_zone as zone from company where id = current_company()'))[0]!.zone;
}
