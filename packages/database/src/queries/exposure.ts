import type { Tx } from '../scoped.js';

/** One component of a system as risk needs it, with what its checks have shown. Unknown stays null. */
export interface ComponentRow {
  site_id: string; system_id: string; system_kind: string; id: string; part: 'supply' | 'control-unit' | 'battery' | 'path' | 'device';
  kind: string; link: string | null; label: string; room: string | null; installed_on: string | null; made_on: string | null; removed_on: string | null;
  temperature_c: number | null; rated_mah: number | null; supervision_s: number | null;
  /** what it lives in: its own word, else its site's; null: nobody recorded it */
  environment: 'mild' | 'harsh' | null;
  /** days on which it was looked at; first day on which anything at its site was */
  look_days: number; site_first_seen: string | null;
  failures: number; marginals: number; first_seen: string | null; last_seen: string | null; last_good: string | null; first_bad: string | null; last_bad: string | null; good_before_bad: string | null; down: boolean;
  /** last good day of each kind of check */
  looks: { check: string; day: string }[] | null;
  /** radio readings in order of time: link margin in dB where level and noise were read, else the class told; for paths the level */
  radio: RadioReading[] | null;
  life_safety: boolean; next_visit: string | null; next_due: string | null; overdue: boolean; last_heard: string | null;
}

export interface RadioReading { day: string; marginDb: number | null; linkClass: string | null; level: number | null; levelKind: string | null }

/** Check kinds by which a supply or a control unit (which have no rows of their own) is known. */
export interface PartKinds { readonly supply: readonly string[]; readonly controlUnit: readonly string[] }

/**
 * Components of the given sites as known on `today` (checks done later are not seen), removed ones too (their lives count for the rates). A
 * check on another subject does not count; a corrected check counts as its correction says. A fault found again by the same check, not
 * having been good in between, is the same failure.
 */
export async function siteComponents(tx: Tx, siteIds: readonly string[], today: string, kinds: PartKinds): Promise<ComponentRow[]> {
  return tx.sql<ComponentRow>(`
    with picked as (
      select s.id, s.sleeping_risk, s.occupancy, s.environment from site s where s.company_id = current_company() and s.id = any ($1::uuid[])
    ), part as (
      select y.site_id, y.id as system_id, y.kind as system_kind, y.id as id, 'supply' as part, 'supply' as kind, null::text as link, 'Mains supply' as label, null::text as room,
        y.installed_on, null::date as made_on, y.retired_on as removed_on, null::float as temperature_c, null::int as rated_mah, null::int as supervision_s, $3::text[] as kinds, null::text as environment
      from system y join picked p on p.id = y.site_id where y.company_id = current_company()
      union all
      select y.site_id, y.id, y.kind, y.id, 'control-unit', 'control-unit', null, coalesce(y.control_unit, 'Control unit'), null, y.installed_on, null, y.retired_on, null, null, null, $4::text[], null
      from system y join picked p on p.id = y.site_id where y.company_id = current_company()
      union all
      select y.site_id, y.id, y.kind, b.id, 'battery', b.chemistry, null, b.label, null, coalesce(b.fitted_on, b.first_seen_on), b.made_on, least(b.removed_on, y.retired_on), b.temperature_c, b.rated_mah, null, null, null
      from battery b join system y on y.company_id = b.company_id and y.id = b.system_id join picked p on p.id = y.site_id where b.company_id = current_company() and b.device_id is null
      union all
      select y.site_id, y.id, y.kind, t.id, 'path', t.technology, null, t.label, null, t.installed_on, null, least(t.removed_on, y.retired_on), null, null, t.supervision_s, null, null
      from path t join system y on y.company_id = t.company_id and y.id = t.system_id join picked p on p.id = y.site_id where t.company_id = current_company()
      union all
      select y.site_id, y.id, y.kind, d.id, 'device', d.kind, d.link, d.label, d.room, coalesce(d.installed_on, d.first_seen_on), d.made_on, least(d.removed_on, y.retired_on), null, null, null, null, d.environment
      from device d join system y on y.company_id = d.company_id and y.id = d.system_id join picked p on p.id = y.site_id where d.company_id = current_company()
    ), shown as (
      select c.id, c.subject_id, c.check_kind, c.performed_on, c.verdict,
        lag(c.verdict) over (partition by c.subject_id, c.check_kind order by c.performed_on, c.performed_at, c.id) as before
      from check_record c join picked p on p.id = c.site_id
      where c.company_id = current_company() and c.performed_on <= $2::date and c.verdict in ('pass', 'marginal', 'fail')
        and not exists (select 1 from check_record r where r.company_id = c.company_id and r.corrects_id = c.id)
    ), told as (
      select t.id, t.part, h.check_kind, h.performed_on, h.verdict, h.before, min(h.performed_on) filter (where h.verdict = 'fail') over (partition by t.id, t.part) as first_bad
      from part t join shown h on h.subject_id = t.id and (t.kinds is null or h.check_kind = any (t.kinds))
    ), seen as (
      select id, part,
        count(distinct performed_on) filter (where verdict = 'fail' and before is distinct from 'fail')::int as failures, count(distinct performed_on) filter (where verdict = 'marginal')::int as marginals,
        count(distinct performed_on)::int as look_days, min(performed_on) as first_seen, max(performed_on) as last_seen, max(performed_on) filter (where verdict in ('pass', 'marginal')) as last_good,
        min(first_bad) as first_bad, max(performed_on) filter (where verdict = 'fail') as last_bad,
        max(performed_on) filter (where verdict in ('pass', 'marginal') and performed_on < first_bad) as good_before_bad,
        max(performed_on) filter (where check_kind in ('transmission-path', 'periodic-signal', 'detector-actuation') and verdict in ('pass', 'marginal')) as last_heard
      from told group by id, part
    ), looked as (
      select id, part, jsonb_agg(jsonb_build_object('check', check_kind, 'day', to_char(day, 'YYYY-MM-DD')) order by check_kind) as looks
      from (select id, part, check_kind, max(performed_on) as day from told where verdict in ('pass', 'marginal') group by id, part, check_kind) k group by id, part
    ), radio as (
      select h.subject_id, jsonb_agg(jsonb_build_object('day', to_char(h.performed_on, 'YYYY-MM-DD'), 'marginDb', v.margin_db, 'linkClass', v.link_class, 'level', v.level, 'levelKind', v.level_kind) order by h.performed_on) as readings
      from shown h join lateral (
        select max(g.number) filter (where g.key = 'levelDbm') - max(g.number) filter (where g.key = 'noiseDbm') as margin_db, max(g.text) filter (where g.key = 'linkClass') as link_class,
          max(g.number) filter (where g.key = 'level') as level, max(g.text) filter (where g.key = 'levelKind') as level_kind
        from reading g where g.company_id = current_company() and g.check_id = h.id
      ) v on v.margin_db is not null or v.link_class is not null or v.level is not null
      where h.check_kind in ('wireless-margin', 'transmission-path') group by h.subject_id
    ), owed as (
      select w.site_id, min(w.due) filter (where w.due > $2::date) as next_due, bool_or(w.due <= $2::date) as overdue from windows_between($2::date, $2::date) w join picked p on p.id = w.site_id
      where w.company_id = current_company() and w.met_on is null group by w.site_id
    ), booked as (
      select v.site_id, min(v.day) as next_visit from visit v join picked p on p.id = v.site_id
      where v.company_id = current_company() and v.state in ('published', 'planned', 'open') and v.day >= $2::date group by v.site_id
    )
    select t.site_id::text, t.system_id::text, t.system_kind, t.id::text, t.part, t.kind, t.link, t.label, t.room, coalesce(t.environment, p.environment) as environment,
      to_char(t.installed_on, 'YYYY-MM-DD') as installed_on, to_char(t.made_on, 'YYYY-MM-DD') as made_on, to_char(t.removed_on, 'YYYY-MM-DD') as removed_on, t.temperature_c, t.rated_mah, t.supervision_s,
      coalesce(n.look_days, 0) as look_days, to_char(min(n.first_seen) over (partition by t.site_id), 'YYYY-MM-DD') as site_first_seen,
      coalesce(n.failures, 0) as failures, coalesce(n.marginals, 0) as marginals, to_char(n.first_seen, 'YYYY-MM-DD') as first_seen, to_char(n.last_seen, 'YYYY-MM-DD') as last_seen,
      to_char(n.last_good, 'YYYY-MM-DD') as last_good, to_char(n.first_bad, 'YYYY-MM-DD') as first_bad, to_char(n.last_bad, 'YYYY-MM-DD') as last_bad,
      to_char(n.good_before_bad, 'YYYY-MM-DD') as good_before_bad, k.looks, case when t.part in ('path', 'device') then g.readings end as radio,
      exists (select 1 from deficiency f where f.company_id = current_company() and f.subject_id = t.id and f.state = 'open' and f.severity = 'impairment' and (t.kinds is null or f.check_kind = any (t.kinds))) as down,
      (p.sleeping_risk or p.occupancy in ('care', 'school', 'hospitality') or t.system_kind in ('fire', 'co', 'panic')) as life_safety,
      to_char(b.next_visit, 'YYYY-MM-DD') as next_visit, to_char(o.next_due, 'YYYY-MM-DD') as next_due, coalesce(o.overdue, false) as overdue, to_char(n.last_heard, 'YYYY-MM-DD') as last_heard
    from part t join picked p on p.id = t.site_id
    left join seen n on n.id = t.id and n.part = t.part
    left join looked k on k.id = t.id and k.part = t.part
    left join radio g on g.subject_id = t.id
    left join owed o on o.site_id = t.site_id
    left join booked b on b.site_id = t.site_id
    order by t.site_id, t.system_id, t.part, t.id`, [[...siteIds], today, [...kinds.supply], [...kinds.controlUnit]]);
}

export interface LookedAtRow { site_id: string; id: string; part: 'supply' | 'control-unit' | 'own'; last_seen: string; failed: boolean }

/** What checks of an interval (after `from`, up to `to`) found, by subject; a check without a clear verdict says nothing. */
export async function looksBetween(tx: Tx, siteIds: readonly string[], from: string, to: string, kinds: PartKinds): Promise<LookedAtRow[]> {
  return tx.sql<LookedAtRow>(`
    select c.site_id::text, c.subject_id::text as id, case when c.check_kind = any ($4::text[]) then 'supply' when c.check_kind = any ($5::text[]) then 'control-unit' else 'own' end as part,
      to_char(max(c.performed_on), 'YYYY-MM-DD') as last_seen, bool_or(c.verdict = 'fail') as failed
    from check_record c
    where c.company_id = current_company() and c.site_id = any ($1::uuid[]) and c.performed_on > $2::date and c.performed_on <= $3::date and c.verdict in ('pass', 'marginal', 'fail')
      and not exists (select 1 from check_record r where r.company_id = c.company_id and r.corrects_id = c.id)
    group by 1, 2, 3`, [[...siteIds], from, to, [...kinds.supply], [...kinds.controlUnit]]);
}

/** First day on which any check of the company was done, and how many sites are open. */
export async function historyExtent(tx: Tx): Promise<{ first: string | null; sites: number }> {
  const [row] = await tx.sql<{ first: string | null; sites: number }>(`
    select (select to_char(min(performed_on), 'YYYY-MM-DD') from check_record where company_id = current_company()) as first,
      (select count(*)::int from site where company_id = current_company() and closed_on is null) as sites`);
  return row!;
}

/** Sites without any system, of the given ones: they are scored as one of which nothing is recorded. */
export async function sitesWithoutSystem(tx: Tx, siteIds: readonly string[]): Promise<{ id: string; life_safety: boolean }[]> {
  return tx.sql(`
    select s.id::text, (s.sleeping_risk or s.occupancy in ('care', 'school', 'hospitality')) as life_safety from site s
    where s.company_id = current_company() and s.id = any ($1::uuid[]) and not exists (select 1 from system y where y.company_id = s.company_id and y.site_id = s.id and y.retired_on is null)`, [[...siteIds]]);
}

/** Ids of the company's open sites after `after`, in order. */
export async function openSitesAfter(tx: Tx, after: string | null, limit: number): Promise<string[]> {
  const rows = await tx.sql<{ id: string }>(`select id::text from site where company_id = current_company() and closed_on is null and ($1::uuid is null or id > $1::uuid) order by id limit $2`, [after, limit]);
  return rows.map((row) => row.id);
}

export interface ExposureRow { siteId: string; modelId: string; scoredOn: string; exposureH: number; exposurePerYearH: number; score: number; detail: object; visitGain: object }

/** Writes scores, one statement for a batch; percentiles are filled by `rankExposure`. */
export async function writeExposure(tx: Tx, rows: readonly ExposureRow[]): Promise<void> {
  if (rows.length === 0) return;
  await tx.sql(`
    insert into site_exposure (company_id, site_id, model_id, scored_on, exposure_h, exposure_per_year_h, score, detail, visit_gain)
    select current_company(), x."siteId", x."modelId", x."scoredOn", x."exposureH", x."exposurePerYearH", x.score, x.detail, x."visitGain"
    from jsonb_to_recordset($1::jsonb) as x("siteId" uuid, "modelId" uuid, "scoredOn" date, "exposureH" float, "exposurePerYearH" float, score float, detail jsonb, "visitGain" jsonb)
    on conflict (company_id, site_id) do update set model_id = excluded.model_id, scored_on = excluded.scored_on, exposure_h = excluded.exposure_h,
      exposure_per_year_h = excluded.exposure_per_year_h, score = excluded.score, detail = excluded.detail, visit_gain = excluded.visit_gain`, [JSON.stringify(rows)]);
}

/** Takes closed sites out of the list; then the place of each site in the fleet, 0..100: the share of the fleet below it, ties counted half. */
export async function rankExposure(tx: Tx): Promise<void> {
  await tx.sql(`delete from site_exposure e using site s where e.company_id = current_company() and s.company_id = e.company_id and s.id = e.site_id and s.closed_on is not null`);
  await tx.sql(`
    update site_exposure e set percentile = r.percentile
    from (select site_id, 100 * (rank() over (order by score) - 1 + count(*) over (partition by score) / 2.0) / count(*) over () as percentile from site_exposure where company_id = current_company()) r
    where e.company_id = current_company() and e.site_id = r.site_id and e.percentile is distinct from r.percentile`);
}

export interface ExposureListRow { siteId: string; siteName: string; locality: string | null; score: number; percentile: number | null; exposureH: number; exposurePerYearH: number; scoredOn: string; detail: object }

/** A page of open sites by score, most exposed first; `cause` and `link` keep those whose largest cause or weakest link it is. */
export async function exposurePage(tx: Tx, asked: { search?: string | undefined; cause?: string | undefined; limit: number; offset: number }): Promise<{ rows: ExposureListRow[]; total: number; causes: { cause: string; sites: number }[] }> {
  const like = asked.search ? `%${asked.search.replace(/[\\%_]/g, '\\$&')}%` : null;
  const from = `from site_exposure e join site s on s.company_id = e.company_id and s.id = e.site_id
    where e.company_id = current_company() and s.closed_on is null and ($1::text is null or s.name ilike $1 or s.locality ilike $1)`;
  const causes = await tx.sql<{ cause: string; sites: number }>(`select e.detail->>'mainCause' as cause, count(*)::int as sites ${from} and e.detail ? 'mainCause' group by 1 order by 2 desc, 1`, [like]);
  const rows = await tx.sql<ExposureListRow & { total: number }>(`
    select e.site_id::text as "siteId", s.name as "siteName", s.locality, e.score, e.percentile, e.exposure_h as "exposureH", e.exposure_per_year_h as "exposurePerYearH", to_char(e.scored_on, 'YYYY-MM-DD') as "scoredOn", e.detail, count(*) over ()::int as total
    ${from} and ($2::text is null or e.detail->>'mainCause' = $2) order by e.score desc, e.site_id limit $3 offset $4`, [like, asked.cause ?? null, asked.limit, asked.offset]);
  const total = rows[0]?.total ?? (asked.offset === 0 ? 0 : (await tx.sql<{ n: number }>(`select count(*)::int as n ${from} and ($2::text is null or e.detail->>'mainCause' = $2)`, [like, asked.cause ?? null]))[0]!.n);
  return { rows, total, causes };
}

/** Days on which something is planned or due at a site, the soonest first. */
export async function plannedProofs(tx: Tx, siteId: string, today: string, most: number): Promise<{ on: string; why: string }[]> {
  return tx.sql(`
    select to_char(on_day, 'YYYY-MM-DD') as "on", string_agg(why, '; ' order by why) as why from (
      select v.day as on_day, v.title || ' (' || v.state || ')' as why from visit v where v.company_id = current_company() and v.site_id = $1::uuid and v.state in ('published', 'planned', 'open') and v.day >= $2::date
      union all
      select w.due, count(*) || ' ' || case when count(*) = 1 then 'duty' else 'duties' end || ' due' from windows_between($2::date, $2::date) w where w.company_id = current_company() and w.site_id = $1::uuid and w.met_on is null and w.due > $2::date group by w.due
    ) p group by on_day order by on_day limit $3`, [siteId, today, most]);
}

export interface StandbyBatteryRow {
  site_id: string; site_name: string; id: string; label: string; rated_mah: number | null; installed_on: string | null; made_on: string | null; temperature_c: number | null; failures: number; marginals: number; failed_now: boolean;
}

/** Standby batteries in service at open sites, with what their checks showed; `failed_now`: the last clear verdict is a failure. */
export async function standbyBatteries(tx: Tx, today: string): Promise<StandbyBatteryRow[]> {
  return tx.sql<StandbyBatteryRow>(`
    with shown as (
      select c.subject_id, count(distinct c.performed_on) filter (where c.verdict = 'fail')::int as failures, count(distinct c.performed_on) filter (where c.verdict = 'marginal')::int as marginals,
        max(c.performed_on) filter (where c.verdict = 'fail') as last_bad, max(c.performed_on) filter (where c.verdict in ('pass', 'marginal')) as last_good
      from check_record c where c.company_id = current_company() and c.subject_kind = 'battery' and c.performed_on <= $1::date
        and not exists (select 1 from check_record r where r.company_id = c.company_id and r.corrects_id = c.id) group by c.subject_id
    )
    select s.id::text as site_id, s.name as site_name, b.id::text, b.label, b.rated_mah, to_char(coalesce(b.fitted_on, b.first_seen_on), 'YYYY-MM-DD') as installed_on, to_char(b.made_on, 'YYYY-MM-DD') as made_on, b.temperature_c,
      coalesce(n.failures, 0) as failures, coalesce(n.marginals, 0) as marginals, coalesce(n.last_bad > coalesce(n.last_good, '-infinity'), false) as failed_now
    from battery b join system y on y.company_id = b.company_id and y.id = b.system_id join site s on s.company_id = y.company_id and s.id = y.site_id left join shown n on n.subject_id = b.id
    where b.company_id = current_company() and b.device_id is null and s.closed_on is null and (b.removed_on is null or b.removed_on > $1::date) and (y.retired_on is null or y.retired_on > $1::date)
    order by b.id`, [today]);
}

/** Tells the query planner what is in the tables now; after a fleet was written at once. */
export async function refreshStatistics(tx: Pick<Tx, 'sql'>): Promise<void> {
  await tx.sql('select refresh_statistics()::text');
}
