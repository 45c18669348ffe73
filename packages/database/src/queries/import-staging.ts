import type { Bulk } from '../scoped.js';

// Imports are staged in tables of their own transaction: `staged` (what was read), `problems` (what is held and why).
// Everything after the COPY is set-based, so that a file of any length costs no memory here.

export interface StagedColumnSql { readonly name: string; readonly type: string }
export interface ImportProblemSql { row: number; column: string; value: string; problem: string; accepted: string }

/** One import of a company at a time; then the tables of this transaction, and the file's rows into `staged`. */
export async function stageRows(bulk: Bulk, columns: readonly StagedColumnSql[], lines: AsyncIterable<string>): Promise<void> {
  await bulk.sql(`select pg_advisory_xact_lock(hashtextextended('import ' || current_company()::text, 0))`);
  await bulk.sql(`create temp table staged (row int not null, ${columns.map((one) => `"${one.name}" ${one.type}`).join(', ')}) on commit drop`);
  await bulk.sql(`create temp table problems (row int not null, col text not null, value text not null, problem text not null, accepted text not null) on commit drop`);
  await bulk.copy(`staged (row, ${columns.map((one) => `"${one.name}"`).join(', ')})`, lines);
  await bulk.sql('analyze staged');
}

/** COPY's text form of one row. */
export function copyLine(row: number, values: readonly (string | null)[]): string {
  let line = String(row);
  for (const value of values) line += value === null ? '\t\\N' : `\t${/[\\\t\n\r]/.test(value) ? value.replace(/[\\\t\n\r]/g, (found) => ESCAPES[found]!) : value}`;
  return `${line}\n`;
}
const ESCAPES: Record<string, string> = { '\\': '\\\\', '\t': '\\t', '\n': '\\n', '\r': '\\r' };

/** Problems found while reading, beside those that statements find. */
export async function addProblems(bulk: Bulk, found: readonly ImportProblemSql[]): Promise<void> {
  if (found.length === 0) return;
  await bulk.sql('insert into problems select * from unnest($1::int[], $2::text[], $3::text[], $4::text[], $5::text[])',
    [found.map((one) => one.row), found.map((one) => one.column), found.map((one) => one.value), found.map((one) => one.problem), found.map((one) => one.accepted)]);
}

/** Rows whose key stands in an earlier row of the same file. Empty cells of `keys` never match. */
export async function holdRepeated(bulk: Bulk, keys: readonly string[], accepted: string): Promise<void> {
  const columns = keys.map((key) => `"${key}"`).join(', ');
  await bulk.sql(`insert into problems
    select row, $1, concat_ws(' / ', ${columns}), 'stands in row ' || first || ' already', $2
    from (select row, ${columns}, min(row) over same as first from staged where ${keys.map((key) => `"${key}" is not null`).join(' and ')} window same as (partition by ${columns})) s
    where row > first`, [keys.join(', '), accepted]);
}

/** Takes held rows out of what is written, and says how many there are. */
export async function dropHeld(bulk: Bulk, from: string): Promise<number> {
  await bulk.sql(`delete from ${from} where row in (select row from problems)`);
  const [held] = await bulk.sql<{ n: number }>(`select count(distinct row)::int as n from problems where row in (select row from staged)`);
  return held!.n;
}

/** The first `limit` problems by row, and how many there are. */
export async function firstProblems(bulk: Bulk, limit: number): Promise<{ problems: ImportProblemSql[]; total: number }> {
  const problems = await bulk.sql<ImportProblemSql>('select row, col as "column", value, problem, accepted from problems order by row, col limit $1', [limit]);
  const [count] = await bulk.sql<{ n: number }>('select count(*)::int as n from problems');
  return { problems, total: count!.n };
}

export interface RunSql {
  id: string; kind: string; fileName: string; digest: string; state: string; rowsRead: number; rowsGood: number; rowsHeld: number;
  rowsNew: number; rowsChanged: number; rowsSame: number; problemsTotal: number; startedBy: string;
}

export async function findRun(bulk: Pick<Bulk, 'sql'>, id: string): Promise<RunSql | null> {
  const [run] = await bulk.sql<RunSql>(`select id, kind, file_name as "fileName", digest, state, rows_read as "rowsRead", rows_good as "rowsGood", rows_held as "rowsHeld",
    rows_new as "rowsNew", rows_changed as "rowsChanged", rows_same as "rowsSame", problems_total as "problemsTotal", started_by as "startedBy"
    from import_run where company_id = current_company() and id = $1 for update`, [id]);
  return run ?? null;
}

/** Keeps the run of a preview with its first problems. */
export async function insertRun(bulk: Bulk, run: RunSql, problems: readonly ImportProblemSql[], now: Date): Promise<void> {
  await bulk.sql(`insert into import_run (company_id, id, kind, file_name, digest, state, rows_read, rows_good, rows_held, rows_new, rows_changed, rows_same, problems_total, started_at, started_by)
    values (current_company(), $1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`,
  [run.id, run.kind, run.fileName, run.digest, run.state, run.rowsRead, run.rowsGood, run.rowsHeld, run.rowsNew, run.rowsChanged, run.rowsSame, run.problemsTotal, now, run.startedBy]);
  await bulk.sql(`insert into import_problem (company_id, run_id, n, row, "column", value, problem, accepted)
    select current_company(), $1, n, row, col, value, problem, accepted
    from unnest($2::int[], $3::text[], $4::text[], $5::text[], $6::text[]) with ordinality as given(row, col, value, problem, accepted, n)`,
  [run.id, problems.map((one) => one.row), problems.map((one) => one.column), problems.map((one) => one.value), problems.map((one) => one.problem), problems.map((one) => one.accepted)]);
}

export async function markKept(bulk: Bulk, id: string, counts: Pick<RunSql, 'rowsNew' | 'rowsChanged' | 'rowsSame'>, now: Date): Promise<void> {
  await bulk.sql(`update import_run set state = 'kept', ended_at = $2, rows_new = $3, rows_changed = $4, rows_same = $5 where company_id = current_company() and id = $1`,
    [id, now, counts.rowsNew, counts.rowsChanged, counts.rowsSame]);
}

/** An activity line and, where named, follow-up work, for an act whose session is a COPY session. */
export async function noteImport(bulk: Bulk, entry: { id: string; at: Date; actorId: string | null; actorName: string; act: string; about: string; runId: string; summary: string }, job: string | null): Promise<void> {
  await bulk.sql(`insert into activity (company_id, id, at, actor_id, actor_name, act, subject_kind, subject_id, summary) values (current_company(), $1, $2, $3, $4, $5, $6, $7, $8)`,
    [entry.id, entry.at, entry.actorId, entry.actorName, entry.act, entry.about, entry.runId, entry.summary]);
  if (job !== null) await bulk.sql(`insert into outbox_job (company_id, job, payload, created_at) values (current_company(), $1, jsonb_build_object('companyId', current_company()), $2)`, [job, entry.at]);
}

export interface RunDetailSql {
  id: string; kind: string; fileName: string; state: string; startedAt: Date; endedAt: Date | null;
  rowsRead: number; rowsGood: number; rowsHeld: number; rowsNew: number; rowsChanged: number; rowsSame: number; problemsTotal: number; problems: ImportProblemSql[];
}

/** A run with the problems kept of it, or null. */
export async function runWithProblems(sql: Pick<Bulk, 'sql'>, id: string): Promise<RunDetailSql | null> {
  const [run] = await sql.sql<RunDetailSql>(`select id, kind, file_name as "fileName", state, started_at as "startedAt", ended_at as "endedAt", rows_read as "rowsRead", rows_good as "rowsGood", rows_held as "rowsHeld",
      rows_new as "rowsNew", rows_changed as "rowsChanged", rows_same as "rowsSame", problems_total as "problemsTotal",
      coalesce((select jsonb_agg(jsonb_build_object('row', p.row, 'column', p."column", 'value', p.value, 'problem', p.problem, 'accepted', p.accepted) order by p.n) from import_problem p where p.company_id = r.company_id and p.run_id = r.id), '[]') as problems
    from import_run r where company_id = current_company() and id = $1::uuid`, [id]);
  return run ?? null;
}

/** The company's own time zone: by it 'today' is meant. */
export async function companyZone(sql: Pick<Bulk, 'sql'>): Promise<string> {
  const [company] = await sql.sql<{ zone: string }>('select time_zone as zone from company where id = current_company()');
  return company!.zone;
}
