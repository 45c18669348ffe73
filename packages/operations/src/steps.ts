import { JOBS, type JobName } from '@bellround/contracts';
import type { Ctx } from './perform.js';

/** Every act of one company writes under its id; this saves naming it and cannot name another. */
export function own(ctx: Pick<Ctx, 'who'>): { companyId: string } {
  return { companyId: ctx.who.companyId };
}

export interface Note { act: string; about: string; id?: string | null; siteId?: string | null; summary: string }

/** One line for the activity list; it also tells open screens that `about` changed. */
export async function note(ctx: Ctx, entry: Note): Promise<void> {
  await noteAll(ctx, [entry]);
}

/** Lines for the activity list, in one statement. */
export async function noteAll(ctx: Ctx, entries: readonly Note[]): Promise<void> {
  if (entries.length === 0) return;
  await ctx.tx.db.activity.createMany({ data: entries.map((entry) => ({
    ...own(ctx), id: ctx.newId(), at: ctx.now, actorId: ctx.who.userId, actorName: ctx.who.name, act: entry.act,
    subjectKind: entry.about, subjectId: entry.id ?? null, siteId: entry.siteId ?? null, summary: entry.summary,
  })) });
}

/** Work that follows this change: a row written in the same transaction; the relay hands it to the queue. */
export async function later(ctx: Ctx, job: JobName, payload: Record<string, unknown>): Promise<void> {
  const declared = Object.values(JOBS).find((candidate) => candidate.name === job);
  if (!declared) throw new Error(`no job is declared by the name ${job}`);
  await ctx.tx.db.outboxJob.create({ data: { ...own(ctx), job, payload: declared.payload.parse({ ...own(ctx), ...payload }) as object, createdAt: ctx.now } });
}

/** Local calendar day of an instant in an IANA zone, `YYYY-MM-DD`. */
export function localDayOf(instant: Date, timeZone: string): string {
  return new Intl.DateTimeFormat('en-CA', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit' }).format(instant);
}

/** The last millisecond of a local day in an IANA zone. */
export function endOfDay(day: string, timeZone: string): Date {
  let low = Date.parse(`${day}T00:00:00Z`) - 24 * 3_600_000;
  let high = low + 72 * 3_600_000;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (localDayOf(new Date(middle), timeZone) > day) high = middle;
    else low = middle;
  }
  return new Date(low);
}

/** A database date (midnight UTC) from `YYYY-MM-DD`. */
export function dbDay(day: string): Date {
  return new Date(`${day}T00:00:00Z`);
}

/** `YYYY-MM-DD` of a database date. */
export function dayText(date: Date): string {
  return date.toISOString().slice(0, 10);
}

export function dayTextOrNull(date: Date | null): string | null {
  return date === null ? null : dayText(date);
}

/** Rows by a key, in the order in which they came; `value`: what is kept of each. */
export function grouped<T, V = T>(rows: readonly T[], key: (row: T) => string, value: (row: T) => V = (row) => row as unknown as V): Map<string, V[]> {
  const groups = new Map<string, V[]>();
  for (const row of rows) {
    const group = groups.get(key(row));
    if (group) group.push(value(row));
    else groups.set(key(row), [value(row)]);
  }
  return groups;
}
