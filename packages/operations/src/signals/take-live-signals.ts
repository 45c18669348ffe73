import { accountsByNumber, keepLiveEvents, type AccountHeard } from '@bellround/database';
import type { EventKind } from '@bellround/signals';
import type { Act, Ctx } from '../perform.js';
import { later, note, own } from '../steps.js';

/** One event as a receiver heard it. `key` names its frame: the same frame sent again has the same key. */
export interface LiveSignal {
  readonly key: string;
  readonly receivedAt: string;
  readonly account: string;
  readonly code: string;
  readonly kind: EventKind;
  readonly qualifier: 'new' | 'restore';
  readonly zone: string | null;
  readonly text: string | null;
  readonly path: string | null;
}
export interface LiveSignalsTaken { readonly stored: number; readonly known: number; readonly unknownAccounts: readonly string[] }

/** A sender that got no answer sends the same frame again within this time; later the same content is another event. */
const RESEND_MS = 10 * 60_000;

/**
 * Keeps what the receiver heard, of every account, known or not. SIG-OP-6: a frame that was kept before and is sent again, since its
 * answer was lost, is known and kept once. Nothing is concluded of a check from it, and nobody is dispatched.
 */
export const takeLiveSignals: Act<{ signals: readonly LiveSignal[] }, LiveSignalsTaken> = async (ctx, { signals }) => {
  if (signals.length === 0) return { stored: 0, known: 0, unknownAccounts: [] };
  const { db } = ctx.tx;
  const rows = [...new Map(signals.map((signal) => [signal.key, signal])).values()];
  const numbers = [...new Set(rows.map((row) => row.account))];
  const accounts = await accountsOf(ctx, numbers);
  const since = new Date(Math.min(...rows.map((row) => Date.parse(row.receivedAt))) - RESEND_MS);
  const kept = await keepLiveEvents(ctx.tx, rows.map(({ key, account, ...row }) => ({ ...row, id: ctx.newId(), stationId: accounts.get(account)?.stationId ?? null, accountNumber: account, accountId: accounts.get(account)?.id ?? null, raw: key.slice(0, 1000), rawDigest: ctx.sha256(key) })), since, ctx.now);
  const ids = new Set(kept);
  const heard = [...accounts.values()].filter((account) => ids.has(account.id));
  await tellOpenVisits(ctx, heard, kept);
  if (heard.length > 0 && (await db.delayedReport.count({ where: { ...own(ctx), state: { in: ['waiting', 'missing'] }, accountNumber: { in: heard.map((account) => account.number) } } })) > 0) await later(ctx, 'settle-delayed', {});
  return { stored: kept.length, known: rows.length - kept.length, unknownAccounts: numbers.filter((number) => !accounts.has(number)) };
};

/** Our accounts by the number that was sent: as it stands, else without its leading zeros. Two of one number at two stations: can't tell, none. */
async function accountsOf(ctx: Ctx, numbers: readonly string[]): Promise<Map<string, AccountHeard>> {
  const plain = (number: string) => number.replace(/^0+(?=.)/, '');
  const found = new Map<string, AccountHeard[]>();
  for (const account of await accountsByNumber(ctx.tx, [...new Set(numbers.flatMap((number) => [number, plain(number)]))])) found.set(account.number, [...(found.get(account.number) ?? []), account]);
  const accounts = new Map<string, AccountHeard>();
  for (const number of numbers) {
    const near = found.get(number) ?? found.get(plain(number)) ?? [];
    if (near.length === 1) accounts.set(number, near[0]!);
  }
  return accounts;
}

/** Whoever works at one of these sites sees at once that something arrived there. */
async function tellOpenVisits(ctx: Ctx, heard: readonly AccountHeard[], kept: readonly (string | null)[]): Promise<void> {
  if (heard.length === 0) return;
  const siteOf = new Map(heard.map((account) => [account.id, account.siteId]));
  const perSite = new Map<string, number>();
  for (const siteId of kept.flatMap((id) => (id === null ? [] : siteOf.get(id) ?? []))) perSite.set(siteId, (perSite.get(siteId) ?? 0) + 1);
  const visits = await ctx.tx.db.visit.findMany({ where: { ...own(ctx), state: 'open', siteId: { in: [...perSite.keys()] } }, include: { site: { select: { name: true } } } });
  for (const visit of visits) {
    const count = perSite.get(visit.siteId)!;
    await note(ctx, { act: 'take-live-signals', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${count} ${count === 1 ? 'signal' : 'signals'} arrived while the visit at ${visit.site.name} is open` });
  }
}
