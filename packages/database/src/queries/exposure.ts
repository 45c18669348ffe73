import type { Tx } from '../scoped.js';

/** One component of a system as risk needs it, with what its checks have shown. Unknown stays null. */
export interface ComponentRow {
  site_id: string; system_id: string; system_kind: string; id: string; part: 'supply' | 'control-unit' | 'battery' | 'path' | 'device';
  kind: string; link: string | null; label: string; room: string | null; installed_on: string | null; made_on: string | null; removed_on: string | null;
  temperature_c: number | null; supervision_s: number | null;
  failures: number; marginals: number; first_seen: string | null; last_good: string | null; first_bad: string | null; good_before_bad: string | null; margin_db: number | null; down: boolean;
  life_safety: boolean; next_due: string | null; last_heard: string | null;
}

/** Check kinds by which a supply or a control unit (which have no rows of their own) is known. */
const SUPPLY_KINDS = ['mains-supply', 'supply-voltage'];
const UNIT_KINDS = ['set-unset', 'indicators-keys', 'event-log-review', 'firmware-currency'];

/**
 * Components of the given sites, removed ones too (their lives count for the rates). A check on another subject does not
 * count; a corrected check counts as its correction says.
 */
export async function siteComponents(tx: Tx, siteIds: readonly string[], today: string): Promise<ComponentRow[]> {
  return tx.sql<ComponentRow>(`
    with picked as (
      select s.id, s.sleeping_risk, s.occupancy from site s where s.company_id = current_company() and s.id = any ($1::uuid[])
    ), part as (
      select y.site_id, y.id as system_id, y.kind as system_kind, y.id as id, 'supply' as part, 'supply' as kind, null::text as link, 'Mains supply' as label, null::text as room,
        y.installed_on, null::date as made_on, y.retired_on as removed_on, null::float as temperature_c, null::int as supervision_s, $3::text[] as kinds
      from system y join picked p on p.id = y.site_id where y.company_id = current_company()
      union all
      select y.site_id, y.id, y.kind, y.id, 'control-unit', 'control-unit', null, coalesce(y.control_unit, 'Control unit'), null, y.installed_on, null, y.retired_on, null, null, $4::text[]
      from system y join picked p on p.id = y.site_id where y.company_id = current_company()
      union all
      select y.site_id, y.id, y.kind, b.id, 'battery', b.chemistry, null, b.label, null, coalesce(b.fitted_on, b.first_seen_on), b.made_on, b.removed_on, b.temperature_c, null, null
      from battery b join system y on y.company_id = b.company_id and y.id = b.system_id join picked p on p.id = y.site_id where b.company_id = current_company() and b.device_id is null
      union all
      select y.site_id, y.id, y.kind, t.id, 'path', t.technology, null, t.label, null, t.installed_on, null, t.removed_on, null, t.supervision_s, null
      from path t join system y on y.company_id = t.company_id and y.id = t.system_id join picked p on p.id = y.site_id where t.company_id = current_company()
      union all
      select y.site_id, y.id, y.kind, d.id, 'device', d.kind, d.link, d.label, d.room, coalesce(d.installed_on, d.first_seen_on), d.made_on, d.removed_on, null, null, null
      from device d join system y on y.company_id = d.company_id and y.id = d.system_id join picked p on p.id = y.site_id where d.company_id = current_company()
    ), shown as (
      select c.subject_id, c.check_kind, c.performed_on, c.verdict, case when c.check_kind = 'wireless-margin' then c.margin_value end as margin
      from check_record c join picked p on p.id = c.site_id
      where c.company_id = current_company() and c.performed_on <= $2::date
        and not exists (select 1 from check_record r where r.company_id = c.company_id and r.corrects_id = c.id)
    ), told as (
      select t.id, t.part, h.check_kind, h.performed_on, h.verdict, h.margin, min(h.performed_on) filter (where h.verdict = 'fail') over (partition by t.id, t.part) as first_bad
      from part t join shown h on h.subject_id = t.id and (t.kinds is null or h.check_kind = any (t.kinds))
    ), seen as (
      select id, part,
        count(distinct performed_on) filter (where verdict = 'fail')::int as failures, count(distinct performed_on) filter (where verdict = 'marginal')::int as marginals,
        min(performed_on) as first_seen, max(performed_on) filter (where verdict in ('pass', 'marginal')) as last_good, min(first_bad) as first_bad,
        max(performed_on) filter (where verdict in ('pass', 'marginal') and performed_on < first_bad) as good_before_bad,
        (array_agg(margin order by performed_on desc) filter (where margin is not null))[1] as margin_db,
        max(performed_on) filter (where check_kind in ('transmission-path', 'periodic-signal', 'detector-actuation') and verdict in ('pass', 'marginal')) as last_heard
      from told group by id, part
    ), owed as (
      select w.site_id, min(w.due) as next_due from duty_window w join picked p on p.id = w.site_id
      where w.company_id = current_company() and w.met_on is null and w.governs_from <= $2::date and (w.governs_to is null or w.governs_to > $2::date) group by w.site_id
    )
    select t.site_id::text, t.system_id::text, t.system_kind, t.id::text, t.part, t.kind, t.link, t.label, t.room,
      to_char(t.installed_on, 'YYYY-MM-DD') as installed_on, to_char(t.made_on, 'YYYY-MM-DD') as made_on, to_char(t.removed_on, 'YYYY-MM-DD') as removed_on, t.temperature_c, t.supervision_s,
      coalesce(n.failures, 0) as failures, coalesce(n.marginals, 0) as marginals, to_char(n.first_seen, 'YYYY-MM-DD') as first_seen, to_char(n.last_good, 'YYYY-MM-DD') as last_good, to_char(n.first_bad, 'YYYY-MM-DD') as first_bad,
      to_char(n.good_before_bad, 'YYYY-MM-DD') as good_before_bad,
      n.margin_db,
      exists (select 1 from deficiency f where f.company_id = current_company() and f.subject_id = t.id and f.state = 'open' and f.severity = 'impairment' and (t.kinds is null or f.check_kind = any (t.kinds))) as down,
      (p.sleeping_risk or p.occupancy in ('care', 'school', 'hospitality') or t.system_kind in ('fire', 'co', 'panic')) as life_safety,
      to_char(o.next_due, 'YYYY-MM-DD') as next_due, to_char(n.last_heard, 'YYYY-MM-DD') as last_heard
    from part t join picked p on p.id = t.site_id
    left join seen n on n.id = t.id and n.part = t.part
    left join owed o on o.site_id = t.site_id
    order by t.site_id, t.system_id, t.part, t.id`, [[...siteIds], today, SUPPLY_KINDS, UNIT_KINDS]);
}

/** Ids of the company's open sites after `after`, in order. */
export async function openSitesAfter(tx: Tx, after: string | null, limit: number): Promise<string[]> {
  const rows = await tx.sql<{ id: string }>(`select id::text from site where company_id = current_company() and closed_on is null and ($1::uuid is null or id > $1::uuid) order by id limit $2`, [after, limit]);
  return rows.map((row) => row.id);
}

export interface ExposureRow { siteId: string; modelId: string; scoredOn: string; exposureH: number; exposurePerYearH: number; score: number; detail: object }

/** Writes scores, one statement for a batch; percentiles are filled by `rankExposure`. */
export async function writeExposure(tx: Tx, rows: readonly ExposureRow[]): Promise<void> {
  if (rows.length === 0) return;
  await tx.sql(`
    insert into site_exposure (company_id, site_id, model_id, scored_on, exposure_h, exposure_per_year_h, score, detail)
    select current_company(), x."siteId", x."modelId", x."scoredOn", x."exposureH", x."exposurePerYearH", x.score, x.detail
    from jsonb_to_recordset($1::jsonb) as x("siteId" uuid, "modelId" uuid, "scoredOn" date, "exposureH" float, "exposurePerYearH" float, score float, detail jsonb)
    on conflict (company_id, site_id) do update set model_id = excluded.model_id, scored_on = excluded.scored_on, exposure_h = excluded.exposure_h,
      exposure_per_year_h = excluded.exposure_per_year_h, score = excluded.score, detail = excluded.detail`, [JSON.stringify(rows)]);
}

/** Place of each site in the fleet, 0..100. */
export async function rankExposure(tx: Tx): Promise<void> {
  await tx.sql(`
    update site_exposure e set percentile = r.percentile
    from (select site_id, 100 * percent_rank() over (order by score) as percentile from site_exposure where company_id = current_company()) r
    where e.company_id = current_company() and e.site_id = r.site_id and e.percentile is distinct from r.percentile`);
}

/** Tells the query planner what is in the tables now; after a fleet was written at once. */
export async function refreshStatistics(tx: Pick<Tx, 'sql'>): Promise<void> {
  await tx.sql('select refresh_statistics()::text');
}
