import { writeDelayedReports } from '@bellround/database';
import { checkDefinition } from '@bellround/programmes';
import { openBook, raiseOrUpdate, writeBook } from '../deficiency-book.js';
import type { Act, Ctx } from '../perform.js';
import { appendLeaves, type LedgerEntry } from '../proof/steps.js';
import { noteAll, own, type Note } from '../steps.js';
import { settleHeard } from './steps.js';

/** So long after its time a report that nobody could look for counts as not shown (company rule). */
const UNREAD_MS = 24 * 3_600_000;

/**
 * SIG-OP-4. Settles what the stations must still hear: heard closes it; over its time without it becomes a deficiency. Where no
 * history of that time was read nothing is known yet: it waits a day for one, and then stands as not shown, in those words.
 */
export const settleDelayed: Act<object, { heard: number; missing: number }> = async (ctx) => {
  const heard = await settleHeard(ctx);
  const entries = [...heard.entries];
  const over = await ctx.tx.db.delayedReport.findMany({ where: { ...own(ctx), state: 'waiting', dueAt: { lt: ctx.now } }, include: { check: true, site: { select: { name: true } } }, orderBy: [{ dueAt: 'asc' }, { id: 'asc' }], take: 200 });
  if (over.length === 0) {
    await appendLeaves(ctx, entries);
    return { heard: heard.count, missing: 0 };
  }
  const missing: { id: string; eventId: null; deficiencyId: string }[] = [];
  const told: Note[] = [];
  const book = await openBook(ctx, over.map((row) => row.check), { isRecorded: true });
  const readUntil = await lastReadOf(ctx, over.map((row) => row.accountNumber));
  for (const row of over) {
    const isRead = (readUntil.get(row.accountNumber) ?? 0) >= row.dueAt.getTime();
    if (!isRead && ctx.now.getTime() < row.dueAt.getTime() + UNREAD_MS) continue;
    const severity = isRead ? 'critical' as const : 'non-critical' as const;
    const words = isRead ? `${row.what}: provoked at ${row.fromAt.toISOString()}, and the station's history to ${row.dueAt.toISOString()} holds nothing of it.` : `${row.what}: provoked at ${row.fromAt.toISOString()}; no history of the station to ${row.dueAt.toISOString()} was read, so nobody has shown that it was heard. Read the history, or ask the station.`;
    const deficiencyId = raiseOrUpdate(book, row.check, { checkKind: `signal/not-reported/${row.check.checkKind}`, severity, title: `${isRead ? 'Not heard at the station' : 'Not shown to be heard'}: ${row.what} (${checkDefinition(row.check.checkKind)?.title ?? row.check.checkKind})`, words });
    missing.push({ id: row.id, eventId: null, deficiencyId });
    told.push({ act: 'settle-delayed', about: 'deficiency', id: deficiencyId, siteId: row.siteId, summary: `${row.what} of the visit at ${row.site.name}: ${isRead ? 'the station never heard it' : 'nobody has shown that the station heard it'}` });
  }
  entries.push(...await writeBook(book));
  await writeDelayedReports(ctx.tx, 'missing', missing, ctx.now);
  await noteAll(ctx, told);
  await appendLeaves(ctx, entries satisfies LedgerEntry[]);
  return { heard: heard.count, missing: missing.length };
};

/** Until when the history of each account's station is known to have been read: its newest event there, of any account. */
async function lastReadOf(ctx: Ctx, numbers: readonly string[]): Promise<Map<string, number>> {
  const { db } = ctx.tx;
  const accounts = await db.account.findMany({ where: { ...own(ctx), number: { in: [...new Set(numbers)] } }, select: { number: true, stationId: true } });
  const newest = await db.stationEvent.groupBy({ by: ['stationId'], where: { ...own(ctx), stationId: { in: [...new Set(accounts.map((account) => account.stationId))] } }, _max: { receivedAt: true } });
  const of = new Map(newest.map((row) => [row.stationId, row._max.receivedAt?.getTime() ?? 0]));
  return new Map(accounts.map((account) => [account.number, of.get(account.stationId) ?? 0]));
}
