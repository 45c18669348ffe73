import { lockFrontier } from '@bellround/database';
import { canonicalJson, frontierAppendAll, leafHash, type JsonValue } from '@bellround/proof';
import type { Ctx } from '../perform.js';
import { own } from '../steps.js';

/** Records that go into the company's ledger, each once. */
export type LedgerKind = 'check' | 'visit-fact' | 'hold-fact' | 'deficiency-fact' | 'attempt';

/** One entry: the record as a bundle will show it. It is rebuilt from its append-only rows when a bundle is made. */
export interface LedgerEntry { readonly kind: LedgerKind; readonly id: string; readonly record: JsonValue }

/**
 * Appends entries to the company's Merkle log in the same transaction as the records themselves. Appends of one company
 * wait for each other on the frontier's row, so this is called last, when all else is written.
 */
export async function appendLeaves(ctx: Ctx, entries: readonly LedgerEntry[]): Promise<void> {
  if (entries.length === 0) return;
  const before = await lockFrontier(ctx.tx);
  const hashes = entries.map((entry) => leafHash(canonicalJson(entry.record)));
  const { frontier } = frontierAppendAll(before, hashes);
  await ctx.tx.db.ledgerLeaf.createMany({ data: entries.map((entry, at) => ({
    ...own(ctx), index: BigInt(before.size + at), recordKind: entry.kind, recordId: entry.id, leafHash: hashes[at]!, at: ctx.now,
  })) });
  await ctx.tx.db.ledgerFrontier.update({ where: own(ctx), data: { size: BigInt(frontier.size), frontier: [...frontier.nodes] } });
}

export function appendLeaf(ctx: Ctx, kind: LedgerKind, id: string, record: JsonValue): Promise<void> {
  return appendLeaves(ctx, [{ kind, id, record }]);
}

/** A row as canonical data: dates become UTC text, and the company stays out, since the head names it. */
function plain(value: unknown): JsonValue {
  if (value instanceof Date) return value.toISOString();
  if (typeof value === 'bigint') return Number(value);
  if (Array.isArray(value)) return value.map(plain);
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(Object.entries(value).filter(([key, part]) => key !== 'companyId' && part !== undefined).map(([key, part]) => [key, plain(part)]));
  }
  return (value ?? null) as JsonValue;
}

interface CheckRecordRow { id: string; performedOn: Date; readings: readonly { key: string }[] }

/** A check with its readings as the ledger holds it. */
export function checkEntry(check: CheckRecordRow & object): LedgerEntry {
  const { readings, ...row } = check;
  const ordered = [...readings].sort((a, b) => (a.key < b.key ? -1 : 1)).map(({ ...reading }) => {
    const { checkId: _, ...rest } = plain(reading) as Record<string, JsonValue>;
    return rest;
  });
  return { kind: 'check', id: check.id, record: { ...(plain(row) as Record<string, JsonValue>), performedOn: check.performedOn.toISOString().slice(0, 10), record: 'check', readings: ordered } };
}

/** A fact of a visit, a hold or a deficiency, or an attempt at access, as the ledger holds it. */
export function factEntry(kind: Exclude<LedgerKind, 'check'>, row: { id: string } & object): LedgerEntry {
  return { kind, id: row.id, record: { ...(plain(row) as Record<string, JsonValue>), record: kind } };
}
