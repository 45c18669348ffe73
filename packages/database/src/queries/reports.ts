import type { Tx } from '../scoped.js';

type Sql = Pick<Tx, 'sql'>;

export interface ReportedReading { key: string; unit: string | null; number: number | null; flag: boolean | null; text: string | null; instrument: string | null; reliable: boolean | null }
export interface ReportedCheck {
  id: string; checkKind: string; systemName: string; subject: string; performedOn: string; verdict: string; reason: string; limitSource: string | null; marginValue: number | null; marginUnit: string | null;
  evidence: string; source: string; by: string | null; corrected: boolean; readings: ReportedReading[]; total: number;
}

/** Checks of a site between two local days, newest first, with their readings and instruments: one statement, however many. */
export function checksOfSite(tx: Sql, siteId: string, from: string, to: string, limit: number): Promise<ReportedCheck[]> {
  return tx.sql(`with page as (
      select c.*, count(*) over ()::int as total from check_record c
      where c.company_id = current_company() and c.site_id = $1::uuid and c.performed_on between $2::date and $3::date
      order by c.performed_on desc, c.performed_at desc, c.id desc limit $4
    )
    select p.id, p.check_kind as "checkKind", y.name as "systemName", coalesce(v.label, h.label, b.label, case when p.subject_kind = 'site' then s.name else y.name end) as subject,
      p.performed_on::text as "performedOn", p.verdict, p.reason, p.limit_source as "limitSource", p.margin_value as "marginValue", p.margin_unit as "marginUnit", p.evidence, p.source, coalesce(t.name, u.name) as by, p.total,
      exists (select 1 from check_record k where k.company_id = p.company_id and k.corrects_id = p.id) as corrected,
      coalesce((select json_agg(json_build_object('key', r.key, 'unit', r.unit, 'number', r.number, 'flag', r.flag, 'text', r.text, 'instrument', i.kind || ' ' || i.serial, 'reliable', r.reliable) order by r.key)
        from reading r left join instrument i on i.company_id = r.company_id and i.id = r.instrument_id where r.company_id = p.company_id and r.check_id = p.id), '[]') as readings
    from page p join site s on s.company_id = p.company_id and s.id = p.site_id join system y on y.company_id = p.company_id and y.id = p.system_id
      left join device v on v.company_id = p.company_id and v.id = p.subject_id and p.subject_kind = 'device'
      left join path h on h.company_id = p.company_id and h.id = p.subject_id and p.subject_kind = 'path'
      left join battery b on b.company_id = p.company_id and b.id = p.subject_id and p.subject_kind = 'battery'
      left join technician t on t.company_id = p.company_id and t.id = p.technician_id left join app_user u on u.company_id = p.company_id and u.id = p.recorded_by
    order by p.performed_on desc, p.performed_at desc, p.id desc`, [siteId, from, to, limit]);
}

export interface DutySource { dutyId: string; programmeId: string; ruleKey: string }

/** Which rule of which programme each duty of a site comes from. */
export function dutySources(tx: Sql, siteId: string): Promise<DutySource[]> {
  return tx.sql(`select d.id as "dutyId", a.programme_id as "programmeId", d.rule_key as "ruleKey" from duty d
    join programme_application a on a.company_id = d.company_id and a.id = d.application_id where d.company_id = current_company() and d.site_id = $1::uuid`, [siteId]);
}
