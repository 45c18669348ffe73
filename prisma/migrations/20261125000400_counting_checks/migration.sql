-- What the judging added to a check: notes, findings, what was missing, what the phone had computed.
alter table check_record add column judgement jsonb not null default '{}';

-- Rule VIS-9. The checks that count, as they were known by a moment (null: now): not corrected by a further check, and, if
-- good, not contradicted. A good check is contradicted when, in the same visit, the same kind of check on the same subject
-- failed and the good one is no retry of that failure. It is a retry when it was done later, and either by the person who
-- recorded the failure, or after the failure had reached the house. So when two phones disagree the failure stands until
-- somebody who can know of it tries again; neither record is lost.
-- One select and no more, so that the planner folds it into the query that uses it.
create function counting_checks(known_by timestamptz) returns setof check_record language sql stable as $$
  select c.* from check_record c
  where (known_by is null or c.recorded_at <= known_by)
    and not exists (select 1 from check_record x where x.company_id = c.company_id and x.corrects_id = c.id and (known_by is null or x.recorded_at <= known_by))
    and (c.verdict not in ('pass', 'marginal') or c.visit_id is null or not exists (
      select 1 from check_record f
      where f.company_id = c.company_id and f.visit_id = c.visit_id and f.subject_id = c.subject_id and f.check_kind = c.check_kind
        and f.verdict = 'fail' and f.id <> c.id and (known_by is null or f.recorded_at <= known_by)
        and not exists (select 1 from check_record x where x.company_id = f.company_id and x.corrects_id = f.id and (known_by is null or x.recorded_at <= known_by))
        and not (c.performed_at > f.performed_at and (c.recorded_by is not distinct from f.recorded_by or c.performed_at > f.recorded_at)))) $$;
