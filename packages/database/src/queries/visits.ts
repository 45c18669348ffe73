import type { Tx } from '../scoped.js';

// Locks and set-based reads of the work on site.

/** Locks one visit until the transaction ends: two phones, or one sending twice, wait here. False when there is none. */
export async function lockVisitRow(tx: Pick<Tx, 'sql'>, visitId: string): Promise<boolean> {
  return (await tx.sql('select 1 from visit where company_id = current_company() and id = $1::uuid for update', [visitId])).length > 0;
}

/** Locks one account, so that of two holds opened at once the second sees the first. */
export async function lockAccountRow(tx: Pick<Tx, 'sql'>, accountId: string): Promise<boolean> {
  return (await tx.sql('select 1 from account where company_id = current_company() and id = $1::uuid for update', [accountId])).length > 0;
}

export async function lockHoldRow(tx: Pick<Tx, 'sql'>, holdId: string): Promise<boolean> {
  return (await tx.sql('select 1 from hold where company_id = current_company() and id = $1::uuid for update', [holdId])).length > 0;
}

export async function lockDeficiencyRows(tx: Pick<Tx, 'sql'>, ids: readonly string[]): Promise<void> {
  await tx.sql('select 1 from deficiency where company_id = current_company() and id = any($1::uuid[]) order by id for update', [ids]);
}

export interface CountingCheck { id: string; subjectKind: string; subjectId: string; checkKind: string; verdict: string; evidence: string; performedAt: Date; excuseCode: string | null }

/** The checks of one visit that count (rule VIS-9, counting_checks): not corrected, and good ones not contradicted. */
export function countingChecksOfVisit(tx: Pick<Tx, 'sql'>, visitId: string): Promise<CountingCheck[]> {
  return tx.sql(`select id, subject_kind as "subjectKind", subject_id as "subjectId", check_kind as "checkKind", verdict, evidence, performed_at as "performedAt", excuse_code as "excuseCode"
    from counting_checks(null) where company_id = current_company() and visit_id = $1::uuid order by performed_at, id`, [visitId]);
}

export interface LastCheck { id: string; subjectId: string; checkKind: string; performedOn: string; verdict: string }

/** The newest check of each kind on each of these subjects, of another visit than `visitId`. */
export function lastChecks(tx: Pick<Tx, 'sql'>, subjectIds: readonly string[], visitId: string): Promise<LastCheck[]> {
  return tx.sql(`select distinct on (subject_id, check_kind) id, subject_id as "subjectId", check_kind as "checkKind", performed_on::text as "performedOn", verdict
    from check_record where company_id = current_company() and subject_id = any($1::uuid[]) and visit_id is distinct from $2::uuid and verdict <> 'not-done'
    order by subject_id, check_kind, performed_on desc, performed_at desc`, [subjectIds, visitId]);
}

export interface PastReading { subjectId: string; checkKind: string; performedOn: string; key: string; number: number }

/** Earlier numbers of other visits that trends are computed from; readings that are not to be relied on and corrected checks are left out. */
export function pastNumbers(tx: Pick<Tx, 'sql'>, subjectIds: readonly string[], visitId: string, keys: readonly string[]): Promise<PastReading[]> {
  return tx.sql(`select c.subject_id as "subjectId", c.check_kind as "checkKind", c.performed_on::text as "performedOn", r.key, r.number
    from check_record c join reading r on r.company_id = c.company_id and r.check_id = c.id
    where c.company_id = current_company() and c.subject_id = any($1::uuid[]) and c.visit_id is distinct from $2::uuid and r.key = any($3::text[]) and r.number is not null and r.reliable is distinct from false
      and not exists (select 1 from check_record x where x.company_id = c.company_id and x.corrects_id = c.id)
    order by c.subject_id, c.performed_on, c.id`, [subjectIds, visitId, keys]);
}

export interface MarginRead { checkId: string; subjectId: string; performedOn: string; levelDbm: number; noiseDbm: number }

/** The radio margins that a visit has read so far, the newest of each device; what is not to be relied on or was corrected is left out. */
export function marginsOfVisit(tx: Pick<Tx, 'sql'>, visitId: string): Promise<MarginRead[]> {
  return tx.sql(`select distinct on (c.subject_id) c.id as "checkId", c.subject_id as "subjectId", c.performed_on::text as "performedOn", level.number as "levelDbm", noise.number as "noiseDbm"
    from check_record c join reading level on level.company_id = c.company_id and level.check_id = c.id and level.key = 'levelDbm' join reading noise on noise.company_id = c.company_id and noise.check_id = c.id and noise.key = 'noiseDbm'
    where c.company_id = current_company() and c.visit_id = $1::uuid and c.check_kind = 'wireless-margin' and c.verdict <> 'not-done' and level.number is not null and noise.number is not null
      and level.reliable is distinct from false and noise.reliable is distinct from false and not exists (select 1 from check_record x where x.company_id = c.company_id and x.corrects_id = c.id)
    order by c.subject_id, c.performed_at desc, c.id desc`, [visitId]);
}

export interface OpenWindow { dutyId: string; opens: string; due: string; lapses: string; carried: string }

/** The window that governs each duty on a day. */
export function windowsOn(tx: Pick<Tx, 'sql'>, dutyIds: readonly string[], day: string): Promise<OpenWindow[]> {
  return tx.sql(`select duty_id as "dutyId", opens::text, due::text, lapses::text, carried from windows_between($2::date, $2::date)
    where company_id = current_company() and duty_id = any($1::uuid[])`, [dutyIds, day]);
}

/** Duties of a site that are owed on a day: window open, late or lapsed, or nothing can be told. */
export async function dutiesOwedOn(tx: Pick<Tx, 'sql'>, siteId: string, day: string): Promise<string[]> {
  const rows = await tx.sql<{ id: string }>(`select d.id from duty d join windows_between($2::date, $2::date) w on w.company_id = d.company_id and w.duty_id = d.id
    where d.company_id = current_company() and d.site_id = $1::uuid and d.valid_from <= $2::date and (d.valid_to is null or d.valid_to >= $2::date)
      and standing_on(w.opens, w.due, w.lapses, w.carried, $2::date) <> 'proven' and not d.remotely order by d.id`, [siteId, day]);
  return rows.map((row) => row.id);
}

export interface RoundRow { visitId: string; day: string; startMin: number | null; arriveMin: number | null; travelMin: number | null; endMin: number | null; second: string | null; part: string }

/** Stops of one technician between two days: of published plans, and visits given to them directly. A visit stands once a day. */
export function roundRows(tx: Pick<Tx, 'sql'>, technicianId: string, from: string, to: string): Promise<RoundRow[]> {
  return tx.sql(`with planned as (
      select s.visit_id, s.day, s.start_min, s.arrive_min, s.travel_min, s.end_min, s.part, t.name as second
      from plan_stop s join week_plan p on p.company_id = s.company_id and p.id = s.plan_id and p.state = 'published'
      left join technician t on t.company_id = s.company_id and t.id = case when s.technician_id = $1::uuid then s.second_technician_id else s.technician_id end
      where s.company_id = current_company() and (s.technician_id = $1::uuid or s.second_technician_id = $1::uuid) and s.day between $2::date and $3::date)
    select v.id as "visitId", coalesce(p.day, v.day)::text as day, coalesce(p.start_min, v.start_min) as "startMin", p.arrive_min as "arriveMin", p.travel_min as "travelMin", p.end_min as "endMin", p.second, coalesce(p.part, '') as part
    from visit v left join planned p on p.visit_id = v.id
    where v.company_id = current_company() and v.state not in ('cancelled', 'wanted', 'planned')
      and (p.visit_id is not null or (v.technician_id = $1::uuid and v.day between $2::date and $3::date))
    order by 2, 3 nulls last, v.id, part`, [technicianId, from, to]);
}

export interface StopExtra { visitId: string; checks: number; deficiencies: number; holdUntil: Date | null }

/** What a round shows beside each stop. */
export function stopExtras(tx: Pick<Tx, 'sql'>, visitIds: readonly string[]): Promise<StopExtra[]> {
  return tx.sql(`select v.id as "visitId", (select count(*)::int from visit_duty d where d.company_id = v.company_id and d.visit_id = v.id) as checks,
      (select count(*)::int from deficiency f where f.company_id = v.company_id and f.site_id = v.site_id and f.state = 'open') as deficiencies,
      (select max(h.until_at) from hold h where h.company_id = v.company_id and h.visit_id = v.id and h.closed_at is null) as "holdUntil"
    from visit v where v.company_id = current_company() and v.id = any($1::uuid[])`, [visitIds]);
}

/** Parts named for open deficiencies of these visits, newest word of each. */
export function partsForVisits(tx: Pick<Tx, 'sql'>, visitIds: readonly string[]): Promise<{ visitId: string; words: string }[]> {
  return tx.sql(`select distinct v.id as "visitId", f.words from visit v
    join deficiency d on d.company_id = v.company_id and d.site_id = v.site_id and d.state = 'open'
    join deficiency_fact f on f.company_id = d.company_id and f.deficiency_id = d.id and f.kind = 'parts' and coalesce(f.detail->>'state', 'needed') <> 'fitted'
    where v.company_id = current_company() and v.id = any($1::uuid[])`, [visitIds]);
}

export interface BatteryCapacity { batteryId: string; siteId: string; label: string; nominalMv: number | null; ratedMah: number | null; madeOn: string | null; firstSeenOn: string | null; readings: { on: string; capacityPct: number }[] }

/** Batteries fitted at these sites with every capacity that was measured of each, oldest first; readings not to be relied on and corrected checks are left out. */
export function batteryCapacities(tx: Pick<Tx, 'sql'>, siteIds: readonly string[]): Promise<BatteryCapacity[]> {
  return tx.sql(`select b.id as "batteryId", s.site_id as "siteId", b.label, b.nominal_mv as "nominalMv", b.rated_mah as "ratedMah", case when b.made_on_state = 'known' then b.made_on::text end as "madeOn", b.first_seen_on::text as "firstSeenOn",
      coalesce((select json_agg(json_build_object('on', c.performed_on, 'capacityPct', r.number) order by c.performed_on, c.id)
        from check_record c join reading r on r.company_id = c.company_id and r.check_id = c.id and r.key = 'capacityPct' and r.number is not null and r.reliable is distinct from false
        where c.company_id = b.company_id and c.subject_id = b.id and not exists (select 1 from check_record x where x.company_id = c.company_id and x.corrects_id = c.id)), '[]') as readings
    from battery b join system s on s.company_id = b.company_id and s.id = b.system_id
    where b.company_id = current_company() and b.removed_on is null and s.retired_on is null and b.device_id is null and s.site_id = any($1::uuid[]) order by b.label, b.id`, [siteIds]);
}
