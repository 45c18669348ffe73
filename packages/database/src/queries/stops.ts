import type { Tx } from '../scoped.js';

/**
 * Of a visit that was planned in two parts and stopped in its first: the stop of the other part, with its key's errands, becomes the
 * remainder's in the published plan, which then is published for that day. What was published stays on record as it was. Answers the
 * stop; null: there was no other part ahead.
 */
export async function handOverStop(tx: Tx, visitId: string, remainderId: string): Promise<{ plan_id: string; technician_id: string; day: string; start_min: number } | null> {
  const stops = await tx.sql<{ plan_id: string; part: string; technician_id: string; day: string; start_min: number }>(`
    select p.plan_id::text, p.part, p.technician_id::text, to_char(p.day, 'YYYY-MM-DD') as day, p.start_min from plan_stop p join week_plan w on w.company_id = p.company_id and w.id = p.plan_id and w.state = 'published'
    where p.company_id = current_company() and p.visit_id = $1::uuid and p.part in ('silent', 'sounding') order by p.day, p.start_min`, [visitId]);
  const other = stops[1];
  if (!other) return null;
  await tx.sql(`
    update plan_stop set visit_id = $3::uuid, part = case when part = $4 then '' else substr(part, length($4) + 2) end
    where company_id = current_company() and plan_id = $1::uuid and visit_id = $2::uuid and (part = $4 or part like $4 || '-%')`, [other.plan_id, visitId, remainderId, other.part]);
  await tx.sql(`
    update week_plan set revision = revision + 1, rounds = replace(replace(rounds::text, $2 || '#' || $4 || '"', $3 || '"'), $2 || '#' || $4 || '#', $3 || '#')::jsonb
    where company_id = current_company() and id = $1::uuid`, [other.plan_id, visitId, remainderId, other.part]);
  await tx.sql(`
    update visit set state = 'published', day = $2::date, start_min = $3::int, technician_id = $4::uuid where company_id = current_company() and id = $1::uuid`, [remainderId, other.day, other.start_min, other.technician_id]);
  return other;
}
