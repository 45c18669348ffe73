import type { Tx } from '../scoped.js';

// Locks and set-based writes of deficiencies, and of reports that are still awaited.

/** Locks every deficiency of these subjects, and these, until the transaction ends, in one order. */
export async function lockDeficienciesOf(tx: Pick<Tx, 'sql'>, subjectIds: readonly string[], ids: readonly string[]): Promise<void> {
  await tx.sql('select 1 from deficiency where company_id = current_company() and (subject_id = any($1::uuid[]) or id = any($2::uuid[])) order by id for update', [subjectIds, ids]);
}

export interface DeficiencyState { id: string; state: string; severity: string; dueOn: Date; closedAt: Date | null; closedByCheckId: string | null; acceptedUntil: Date | null }

/** Writes the state of many deficiencies in one statement. */
export async function writeDeficiencyStates(tx: Pick<Tx, 'sql'>, rows: readonly DeficiencyState[]): Promise<void> {
  if (rows.length === 0) return;
  await tx.sql(`update deficiency d set state = x.state, severity = x.severity, due_on = x."dueOn"::date, closed_at = x."closedAt"::timestamptz, closed_by_check_id = x."closedByCheckId", accepted_until = x."acceptedUntil"::date
    from jsonb_to_recordset($1::text::jsonb) as x(id uuid, state text, severity text, "dueOn" text, "closedAt" text, "closedByCheckId" uuid, "acceptedUntil" text)
    where d.company_id = current_company() and d.id = x.id`, [JSON.stringify(rows.map((row) => ({ ...row, dueOn: row.dueOn.toISOString().slice(0, 10), acceptedUntil: row.acceptedUntil?.toISOString().slice(0, 10) ?? null })))]);
}

/** Settles awaited reports in one statement: heard by an event, or missing with the deficiency that says so. */
export async function writeDelayedReports(tx: Pick<Tx, 'sql'>, state: 'heard' | 'missing', rows: readonly { id: string; eventId: string | null; deficiencyId: string | null }[], at: Date): Promise<void> {
  if (rows.length === 0) return;
  await tx.sql(`update delayed_report d set state = $2, event_id = x."eventId", deficiency_id = x."deficiencyId", settled_at = $3::timestamptz
    from jsonb_to_recordset($1::text::jsonb) as x(id uuid, "eventId" uuid, "deficiencyId" uuid) where d.company_id = current_company() and d.id = x.id`, [JSON.stringify(rows), state, at.toISOString()]);
}

export interface DeficiencyExtra {
  deficiencyId: string; photos: number;
  /** when it began to be what it is now: raised, reopened, or graded an impairment */
  since: Date | null;
  toldAuthorityAt: Date | null;
  interim: { factId: string; words: string; by: string; untilAt: string; at: string } | null;
}

/** What the history of each deficiency says of measures meanwhile, of the authority, and how many pictures there are: one statement. */
export function deficiencyExtras(tx: Pick<Tx, 'sql'>, ids: readonly string[]): Promise<DeficiencyExtra[]> {
  return tx.sql(`select deficiency_id as "deficiencyId", count(*) filter (where kind = 'photo')::int as photos,
      max(at) filter (where kind in ('raised', 'reopened') or (kind = 'regraded' and detail->>'to' = 'impairment')) as since,
      max(at) filter (where kind = 'told' and lower(detail->>'capacity') = 'authority') as "toldAuthorityAt",
      (array_agg(json_build_object('factId', id, 'words', words, 'by', detail->>'by', 'untilAt', detail->>'untilAt', 'at', at) order by recorded_at desc, id desc) filter (where kind = 'interim'))[1] as interim
    from deficiency_fact where company_id = current_company() and deficiency_id = any($1::uuid[]) group by deficiency_id`, [ids]);
}

export interface WatchedDeficiency { id: string; title: string; siteId: string; siteName: string; siteAddress: string; factId: string | null; words: string; by: string; endedAt: Date | string }

const ABOUT = `d.id, d.title, d.site_id as "siteId", s.name as "siteName", s.address as "siteAddress"`;

/** Measures meanwhile whose end has passed while the deficiency is not closed, and that nobody was told of yet. */
export function interimsOver(tx: Pick<Tx, 'sql'>, now: Date): Promise<WatchedDeficiency[]> {
  return tx.sql(`with newest as (
      select distinct on (deficiency_id) deficiency_id, id, at, words, detail->>'by' as by, (detail->>'untilAt')::timestamptz as until_at
      from deficiency_fact where company_id = current_company() and kind = 'interim' order by deficiency_id, recorded_at desc, id desc)
    select ${ABOUT}, n.id as "factId", n.words, n.by, n.until_at as "endedAt"
    from newest n join deficiency d on d.company_id = current_company() and d.id = n.deficiency_id and d.state <> 'closed' join site s on s.company_id = d.company_id and s.id = d.site_id
    where n.until_at <= $1::timestamptz
      and not exists (select 1 from deficiency_fact o where o.company_id = d.company_id and o.deficiency_id = d.id and (o.kind = 'interim-over' and o.detail->>'interimId' = n.id::text or o.kind = 'reopened' and o.at > n.at))
    order by n.until_at, d.id`, [now.toISOString()]);
}

/** Impairments of fire systems whose authority should have been told by now, and was not; told of once each time they begin. */
export function impairmentClocksOver(tx: Pick<Tx, 'sql'>, now: Date, tellHours: number): Promise<WatchedDeficiency[]> {
  return tx.sql(`select ${ABOUT}, null as "factId", '' as words, '' as by, b.since + make_interval(secs => $2::float8 * 3600) as "endedAt"
    from deficiency d join system y on y.company_id = d.company_id and y.id = d.system_id and y.kind = 'fire' join site s on s.company_id = d.company_id and s.id = d.site_id
    cross join lateral (select max(f.at) as since from deficiency_fact f where f.company_id = d.company_id and f.deficiency_id = d.id and (f.kind in ('raised', 'reopened') or (f.kind = 'regraded' and f.detail->>'to' = 'impairment'))) b
    where d.company_id = current_company() and d.state <> 'closed' and d.severity = 'impairment' and b.since + make_interval(secs => $2::float8 * 3600) <= $1::timestamptz
      and not exists (select 1 from deficiency_fact o where o.company_id = d.company_id and o.deficiency_id = d.id and o.at >= b.since and (o.kind = 'clock-over' or o.kind = 'told' and lower(o.detail->>'capacity') = 'authority'))
    order by b.since, d.id`, [now.toISOString(), tellHours]);
}

/** Deferrals whose last day, at the site, is over. */
export function acceptancesOver(tx: Pick<Tx, 'sql'>, now: Date): Promise<(WatchedDeficiency & { severity: string; dueOn: Date })[]> {
  return tx.sql(`select ${ABOUT}, f.id as "factId", coalesce(f.words, '') as words, coalesce(f.detail->>'acceptedBy', '') as by, d.accepted_until::text as "endedAt", d.severity, d.due_on as "dueOn"
    from deficiency d join site s on s.company_id = d.company_id and s.id = d.site_id
    left join lateral (select id, words, detail from deficiency_fact a where a.company_id = d.company_id and a.deficiency_id = d.id and a.kind = 'accepted' order by a.recorded_at desc, a.id desc limit 1) f on true
    where d.company_id = current_company() and d.state = 'accepted' and d.accepted_until < ($1::timestamptz at time zone s.time_zone)::date order by d.id for update of d`, [now.toISOString()]);
}

export interface DeficiencyPhoto { deficiencyId: string; attachmentId: string; words: string; at: Date }

/** The pictures of these deficiencies, oldest first. */
export function photosOf(tx: Pick<Tx, 'sql'>, ids: readonly string[]): Promise<DeficiencyPhoto[]> {
  return tx.sql(`select deficiency_id as "deficiencyId", (detail->>'attachmentId')::uuid as "attachmentId", words, at from deficiency_fact
    where company_id = current_company() and deficiency_id = any($1::uuid[]) and kind = 'photo' order by at, id`, [ids]);
}
