import type { Bulk } from '../scoped.js';
import type { ImportCounts } from './import-fleet.js';

/** Staged beside the file's own columns: ids made from the keys, so that a file read twice is one record. */
export const CHECK_STAGES = [{ name: 'check_id', type: 'uuid' }, { name: 'digest', type: 'text' }, { name: 'corrects_id', type: 'uuid' }] as const;

/** Joins past checks to what was checked, and holds those that name nothing known or would alter a record. */
export async function resolveChecks(bulk: Bulk, present: ReadonlySet<string>): Promise<void> {
  const given = (stage: string, type: string) => (present.has(stage) ? `s."${stage}"` : `null::${type}`);
  const join = (alias: string, table: string, on: string) => `left join ${table} ${alias} on ${alias}.company_id = current_company() and ${on}`;
  await bulk.sql(`create temp table resolved on commit drop as
    select s.row, s.check_id, s.digest, s.corrects_id, s.subject_kind, s.subject, ${given('system', 'text')} as system, ${given('technician', 'text')} as technician,
      s.check_kind, s.done_on, ${given('done_at', 'time')} as done_at, s.verdict, ${given('reason', 'text')} as reason, ${given('excuse_code', 'text')} as excuse_code,
      coalesce(${given('evidence', 'text')}, 'D') as evidence, ${given('readings', 'jsonb')} as readings, ${given('notes', 'text')} as notes, ${given('corrects', 'text')} as corrects,
      coalesce(a.id, b.id, d.id, e.id, p.id) as subject_id, coalesce(b.id, d.system_id, e.system_id, p.system_id, y.id) as system_id, n.id as technician_id,
      c.id as existing_id, c.body_digest as existing_digest, false as differs
    from staged s
    ${join('a', 'site', `s.subject_kind = 'site' and a.external_key = s.subject`)}
    ${join('b', 'system', `s.subject_kind = 'system' and b.external_key = s.subject`)}
    ${join('d', 'device', `s.subject_kind = 'device' and d.external_key = s.subject`)}
    ${join('e', 'battery', `s.subject_kind = 'battery' and e.external_key = s.subject`)}
    ${join('p', 'path', `s.subject_kind = 'path' and p.external_key = s.subject`)}
    ${join('y', 'system', `s.subject_kind = 'site' and y.external_key = ${given('system', 'text')} and y.site_id = a.id`)}
    ${join('n', 'technician', `n.external_key = ${given('technician', 'text')}`)}
    ${join('c', 'check_record', 'c.id = s.check_id')}`);
  await bulk.sql('analyze resolved');
  const hold = (select: string) => bulk.sql(`insert into problems ${select}`);
  await hold(`select row, 'subject', subject, 'is no ' || subject_kind || ' of your fleet', 'the key of a ' || subject_kind || ' imported before' from resolved where subject_id is null`);
  await hold(`select row, 'system', system, 'is no system of this site', 'the key of a system of that site' from resolved where subject_id is not null and system_id is null`);
  await hold(`select row, 'technician', technician, 'there is no technician with this key', 'the key of a technician of your company; import technicians first' from resolved where technician is not null and technician_id is null`);
  await hold(`select row, 'key', '', 'was kept before with other values; a record is never altered', 'a further check under a key of its own that names this one in "corrects"' from resolved where existing_id is not null and existing_digest <> digest`);
  await hold(`select r.row, 'corrects', r.corrects, 'no record has this key', 'the key of a check kept before or earlier in this file' from resolved r where r.corrects_id is not null
    and not exists (select 1 from check_record c where c.company_id = current_company() and c.id = r.corrects_id) and not exists (select 1 from staged s where s.check_id = r.corrects_id and s.row < r.row)`);
}

export async function countChecks(bulk: Bulk): Promise<ImportCounts> {
  const [counts] = await bulk.sql<ImportCounts>(`select count(*) filter (where existing_id is null)::int as "rowsNew", 0 as "rowsChanged", count(existing_id)::int as "rowsSame" from resolved`);
  return counts!;
}

/** Appends the new past checks with their readings. A check without a time of day stands at noon of the site's day. */
export async function writeChecks(bulk: Bulk, now: Date, actorId: string | null): Promise<void> {
  // A row whose corrected record is itself held cannot stand: the reference would break.
  await bulk.sql(`delete from resolved r where r.corrects_id is not null and not exists (select 1 from check_record c where c.company_id = current_company() and c.id = r.corrects_id) and not exists (select 1 from resolved o where o.check_id = r.corrects_id)`);
  await bulk.sql(`insert into check_record (company_id, id, body_digest, site_id, system_id, subject_kind, subject_id, check_kind, performed_on, performed_at, recorded_at,
      technician_id, recorded_by, verdict, reason, excuse_code, evidence, source, corrects_id, notes)
    select current_company(), r.check_id, r.digest, p.id, r.system_id, r.subject_kind, r.subject_id, r.check_kind, r.done_on, (r.done_on + coalesce(r.done_at, time '12:00')) at time zone p.time_zone, $1::timestamptz,
      r.technician_id, $2::uuid, r.verdict, coalesce(r.reason, ''), r.excuse_code, r.evidence, 'import', r.corrects_id, r.notes
    from resolved r join system y on y.company_id = current_company() and y.id = r.system_id join site p on p.company_id = current_company() and p.id = y.site_id
    where r.existing_id is null order by r.row`, [now, actorId]);
  await bulk.sql(`insert into reading (company_id, check_id, key, number, flag, text)
    select current_company(), r.check_id, given.key, given.number, given.flag, given.text
    from resolved r cross join lateral jsonb_to_recordset(r.readings) as given(key text, number float8, flag boolean, text text)
    where r.existing_id is null`);
}
