import type { Tx } from '../scoped.js';

/**
 * The next sites by id with a remote duty of these check kinds whose window is open and not met, and an account of which the
 * station has told something since then: where reading its history can credit without a visit.
 */
export async function sitesToReadRemotely(tx: Pick<Tx, 'sql'>, after: string | null, limit: number, kinds: readonly string[], now: Date): Promise<string[]> {
  const rows = await tx.sql<{ id: string }>(`select distinct d.site_id as id
    from duty d join site s on s.company_id = d.company_id and s.id = d.site_id
      join windows_between(($4::timestamptz at time zone 'UTC')::date - 1, ($4::timestamptz at time zone 'UTC')::date + 1) w on w.company_id = d.company_id and w.duty_id = d.id
    where d.company_id = current_company() and d.remotely and d.check_kinds && $3::text[] and ($1::uuid is null or d.site_id > $1::uuid) and s.closed_on is null
      and w.met_on is null and w.opens <= ($4::timestamptz at time zone s.time_zone)::date and w.governs_from <= ($4::timestamptz at time zone s.time_zone)::date
      and (w.governs_to is null or w.governs_to >= ($4::timestamptz at time zone s.time_zone)::date)
      and exists (select 1 from account a join station_event e on e.company_id = a.company_id and e.account_id = a.id
        where a.company_id = d.company_id and a.site_id = d.site_id and a.status = 'live' and e.received_at > $4::timestamptz - interval '64 days')
    order by 1 limit $2`, [after, limit, kinds, now]);
  return rows.map((row) => row.id);
}
