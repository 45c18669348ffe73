import type { Tx } from '../scoped.js';

type Sql = Pick<Tx, 'sql'>;

export interface Found { kind: string; id: string; siteId: string | null; title: string; detail: string; place: number }

/**
 * What a typed text names, of every kind at once: sites, accounts, clients, technicians and open deficiencies, at most
 * `each` of a kind. What begins with the text comes before what holds it. One statement over the company's own rows.
 */
export function findByText(tx: Sql, text: string, each: number): Promise<Found[]> {
  const literal = text.replaceAll(/[\\%_]/g, '\\$&');
  return tx.sql(`with found as (
      select 'site' as kind, s.id, s.id as site_id, s.name as title, s.external_key || ', ' || s.address || ', ' || c.name as detail,
        case when s.name ilike $2 or s.external_key ilike $2 then 0 when s.name ilike $1 or s.external_key ilike $1 then 1 else 2 end as place
      from site s join client c on c.company_id = s.company_id and c.id = s.client_id
      where s.company_id = current_company() and (s.name ilike $1 or s.external_key ilike $1 or s.address ilike $1 or s.postcode ilike $1)
      union all
      select 'account', a.id, a.site_id, a.number, w.name || ', ' || s.name || ', ' || a.status, case when a.number ilike $2 then 0 else 1 end
      from account a join station w on w.company_id = a.company_id and w.id = a.station_id join site s on s.company_id = a.company_id and s.id = a.site_id
      where a.company_id = current_company() and a.number ilike $1
      union all
      select 'client', c.id, null::uuid, c.name, c.external_key || ', ' || (select count(*) from site s where s.company_id = c.company_id and s.client_id = c.id) || ' sites', case when c.name ilike $2 or c.external_key ilike $2 then 0 else 1 end
      from client c where c.company_id = current_company() and (c.name ilike $1 or c.external_key ilike $1)
      union all
      select 'technician', t.id, null::uuid, t.name, t.external_key, case when t.name ilike $2 or t.external_key ilike $2 then 0 else 1 end
      from technician t where t.company_id = current_company() and (t.name ilike $1 or t.external_key ilike $1)
      union all
      select 'deficiency', f.id, f.site_id, f.title, f.severity || ', ' || s.name || ', ' || f.state, (case when f.title ilike $2 then 0 when f.title ilike $1 then 1 else 3 end) + (case when f.state = 'open' then 0 else 1 end)
      from deficiency f join site s on s.company_id = f.company_id and s.id = f.site_id
      where f.company_id = current_company() and (f.title ilike $1 or (f.state <> 'closed' and s.name ilike $1))
    ), placed as (select found.*, row_number() over (partition by kind order by place, title, id) as n from found)
    select kind, id, site_id as "siteId", title, detail, place::int from placed where n <= $3
    order by place, array_position(array['site', 'account', 'client', 'technician', 'deficiency'], kind), title, id`, [`%${literal}%`, `${literal}%`, each]);
}
