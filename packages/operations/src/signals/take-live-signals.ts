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
  const rows = [...new Map(signals.map((signal) => [signal.key, { ...signal, digest: ctx.sha256(signal.key) }])).values()];
  const numbers = [...new Set(rows.map((row) => row.account))];
  const since = new Date(Math.min(...rows.map((row) => Date.parse(row.receivedAt))) - RESEND_MS);
  const before = new Set((await db.stationEvent.findMany({ where: { ...own(ctx), accountNumber: { in: numbers }, receivedAt: { gte: since }, rawDigest: { in: rows.map((row) => row.digest) } }, select: { rawDigest: true } })).map((event) => event.rawDigest));
  const fresh = rows.filter((row) => !before.has(row.digest));
  const accounts = await accountsOf(ctx, numbers);
  await db.stationEvent.createMany({ skipDuplicates: true, data: fresh.map(({ digest, ...row }) => ({
    ...own(ctx), id: ctx.newId(), stationId: accounts.get(row.account)?.stationId ?? null, accountNumber: row.account, accountId: accounts.get(row.account)?.id ?? null, receivedAt: new Date(row.receivedAt), code: row.code, zone: row.zone, text: row.text,
    path: row.path, kind: row.kind, qualifier: row.qualifier, raw: row.key.slice(0, 1000), rawDigest: digest, source: 'live', recordedAt: ctx.now,
  })) });
  const heard = [...new Set(fresh.flatMap((row) => accounts.get(row.account) ?? []))];
  await tellOpenVisits(ctx, heard.map((account) => account.siteId), fresh.length);
  if (heard.length > 0 && (await db.delayedReport.count({ where: { ...own(ctx), state: { in: ['waiting', 'missing'] }, accountNumber: { in: heard.map((account) => account.number) } } })) > 0) await later(ctx, 'settle-delayed', {});
  return { stored: fresh.length, known: rows.length - fresh.length, unknownAccounts: numbers.filter((number) => !accounts.has(number)) };
};

type Account = NonNullable<Awaited<ReturnType<Ctx['tx']['db']['account']['findFirst']>>>;

/** Our accounts by the number that was sent: as it stands, else without its leading zeros. Two of one number at two stations: can't tell, none. */
async function accountsOf(ctx: Ctx, numbers: readonly string[]): Promise<Map<string, Account>> {
  const plain = (number: string) => number.replace(/^0+(?=.)/, '');
  const found = await ctx.tx.db.account.findMany({ where: { ...own(ctx), number: { in: [...new Set(numbers.flatMap((number) => [number, plain(number)]))] } } });
  const accounts = new Map<string, Account>();
  for (const number of numbers) {
    const exact = found.filter((account) => account.number === number);
    const near = exact.length > 0 ? exact : found.filter((account) => account.number === plain(number));
    if (near.length === 1) accounts.set(number, near[0]!);
  }
  return accounts;
}

/** Whoever works at one of these sites sees at once that something arrived. */
async function tellOpenVisits(ctx: Ctx, siteIds: readonly string[], count: number): Promise<void> {
  if (siteIds.length === 0) return;
  const visits = await ctx.tx.db.visit.findMany({ where: { ...own(ctx), state: 'open', siteId: { in: [...new Set(siteIds)] } }, include: { site: { select: { name: true } } } });
  for (const visit of visits) await note(ctx, { act: 'take-live-signals', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${count} ${count === 1 ? 'signal' : 'signals'} arrived while the visit at ${visit.site.name} is open` });
}
