import type { Tx } from '../scoped.js';

/** A key that must be collected for a visit, and who had it last; holder null: nobody recorded it. */
export interface NeededKey {
  key_id: string; site_id: string; label: string; collect_at: string | null; collect_lat: number | null; collect_lon: number | null; collect_hours: unknown; hand_min: number; brought_back: boolean;
  holder_kind: string | null; technician_id: string | null; holder_name: string | null;
}

export async function neededKeys(tx: Tx, siteIds: readonly string[]): Promise<NeededKey[]> {
  if (siteIds.length === 0) return [];
  return tx.sql<NeededKey>(`
    select k.id::text as key_id, k.site_id::text, k.label, k.collect_at, k.collect_lat, k.collect_lon, k.collect_hours, k.hand_min, k.brought_back, c.holder_kind, c.technician_id::text, c.holder_name
    from site_key k
    left join lateral (
      select c.holder_kind, c.technician_id, c.holder_name from custody c
      where c.company_id = k.company_id and c.key_id = k.id order by c.at desc, c.id desc limit 1
    ) c on true
    where k.company_id = current_company() and k.site_id = any ($1::uuid[]) and k.needed and k.kind <> 'code'
    order by k.site_id, k.label, k.id`, [[...siteIds]]);
}

/** Parts that open deficiencies of these visits need, as the newest word of each deficiency and part says; fitted ones are left out. */
export async function partsWanted(tx: Tx, visitIds: readonly string[]): Promise<{ visit_id: string; part: string; n: number }[]> {
  if (visitIds.length === 0) return [];
  return tx.sql(`
    with said as (
      select distinct on (vd.visit_id, f.deficiency_id, lower(f.words)) vd.visit_id, f.words, coalesce(f.detail->>'state', 'needed') as state
      from visit_deficiency vd
      join deficiency d on d.company_id = vd.company_id and d.id = vd.deficiency_id and d.state = 'open'
      join deficiency_fact f on f.company_id = d.company_id and f.deficiency_id = d.id and f.kind = 'parts'
      where vd.company_id = current_company() and vd.visit_id = any ($1::uuid[])
      order by vd.visit_id, f.deficiency_id, lower(f.words), f.at desc, f.id desc
    )
    select visit_id::text, lower(trim(words)) as part, count(*)::int as n from said where state <> 'fitted' group by visit_id, lower(trim(words))`, [[...visitIds]]);
}

/** What past visits took against what was planned, by the kind of place: closed in one go, within believable bounds. */
export async function visitMinutes(tx: Tx, today: string): Promise<{ kind: string; minutes: number }[]> {
  return tx.sql(`
    select s.occupancy as kind, (100.0 * extract(epoch from v.closed_at - v.opened_at) / 60.0 / v.service_min)::float8 as minutes
    from visit v join site s on s.company_id = v.company_id and s.id = v.site_id
    where v.company_id = current_company() and v.state = 'closed' and v.service_min > 0 and v.opened_at is not null and v.closed_at > $1::date - 730
      and extract(epoch from v.closed_at - v.opened_at) / 60.0 between v.service_min * 0.25 and v.service_min * 4
    order by v.closed_at desc limit 20000`, [today]);
}
