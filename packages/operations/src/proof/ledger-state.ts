import { EMPTY_ROOT, frontierRoot, publicKeyOf } from '@bellround/proof';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

/** How many records the company's ledger holds, and the root that stands for all of them. */
export const ledgerState: Act<{ ledgerKey: string | null }, { size: number; rootHash: string; lastAt: string | null; publicKey: string | null }> = async (ctx, input) => {
  const row = await ctx.tx.db.ledgerFrontier.findUnique({ where: own(ctx) });
  const last = await ctx.tx.db.ledgerLeaf.findFirst({ where: own(ctx), orderBy: { index: 'desc' }, select: { at: true } });
  const size = Number(row?.size ?? 0);
  return {
    size, rootHash: row ? frontierRoot({ size, nodes: row.frontier as string[] }) : EMPTY_ROOT, lastAt: last?.at.toISOString() ?? null,
    publicKey: input.ledgerKey === null ? null : publicKeyOf(input.ledgerKey),
  };
};
