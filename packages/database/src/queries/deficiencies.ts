import type { Tx } from '../scoped.js';

// Locks and set-based writes of deficiencies, and of reports that are still awaited.

/** Locks every deficiency of these subjects, and these, until the transaction ends, in one order. */
export async function lockDeficienciesOf(tx: Pick<Tx, 'sql'>, subjectIds: readonly string[], ids: readonly string[]): Promise<void> {
  await tx.sql('select 1 from deficiency where company_id = current_company() and (subject_id = any($1::uuid[]) or id = any($2::uuid[])) order by id for update', [subjectIds, ids]);
}

export interface DeficiencyState { id: string; state: string; severity: string; dueOn: Date; closedAt: Date | null; closedByCheckId: string | null; acceptedUntil: Date | null }

/** Writes the state of many deficiencies in one statement. */
export async function writeDeficiencyStates(tx: Pick<Tx, 'sql'>, rows: readonly DeficiencyState[]): Promise<void> {
  if (rows.length === 0) return;
  await tx.sql(`update deficiency d set state = x.state, severity = x.severity, due_on = x."dueOn"::date, closed_at = x."closedAt"::timestamptz, closed_by_check_id = x."closedByCheckId", accepted_until = x."acceptedUntil"::date
    from jsonb_to_recordset($1::text::jsonb) as x(id uuid, state text, severity text, "dueOn" text, "closedAt" text, "closedByCheckId" uuid, "acceptedUntil" text)
    where d.company_id = current_company() and d.id = x.id`, [JSON.stringify(rows.map((row) => ({ ...row, dueOn: row.dueOn.toISOString().slice(0, 10), acceptedUntil: row.acceptedUntil?.toISOString().slice(0, 10) ?? null })))]);
}

/** Settles awaited reports in one statement: heard by an event, or missing with the deficiency that says so. */
export async function writeDelayedReports(tx: Pick<Tx, 'sql'>, state: 'heard' | 'missing', rows: readonly { id: string; eventId: string | null; deficiencyId: string | null }[], at: Date): Promise<void> {
  if (rows.length === 0) return;
  await tx.sql(`update delayed_report d set state = $2, event_id = x."eventId", deficiency_id = x."deficiencyId", settled_at = $3::timestamptz
    from jsonb_to_recordset($1::text::jsonb) as x(id uuid, "eventId" uuid, "deficiencyId" uuid) where d.company_id = current_company() and d.id = x.id`, [JSON.stringify(rows), state, at.toISOString()]);
}
