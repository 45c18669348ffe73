import { addKeyCounts } from '@bellround/database';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

export interface ReceivedSoFar {
  readonly receiverId: string;
  /** where it listens now; null: nowhere, `trouble` says why */
  readonly listeningPort: number | null;
  readonly trouble: string | null;
  readonly connections: number;
  /** since it last spoke */
  readonly more: { readonly good: number; readonly again: number; readonly refused: number; readonly damaged: number; readonly heldBack: number };
  readonly lastGoodAt: string | null;
  readonly lastRefusedAt: string | null;
  readonly lastRefusal: string | null;
  readonly keys: readonly { readonly keyId: string; readonly good: number; readonly refused: number; readonly lastGoodAt: string | null }[];
}

/** SIG-OP-9. What the listener says of a receiver since it last spoke. Words of a machine: no line in the activity. */
export const noteReceived: Act<ReceivedSoFar, { known: boolean }> = async (ctx, { receiverId, more, keys, ...said }) => {
  const { db } = ctx.tx;
  if ((await db.receiver.count({ where: { ...own(ctx), id: receiverId } })) === 0) return { known: false };
  const now = { seenAt: ctx.now, listeningPort: said.listeningPort, trouble: said.trouble, connections: said.connections };
  const last = { ...(said.lastGoodAt === null ? {} : { lastGoodAt: new Date(said.lastGoodAt) }), ...(said.lastRefusedAt === null ? {} : { lastRefusedAt: new Date(said.lastRefusedAt), lastRefusal: said.lastRefusal }) };
  await db.receiverState.upsert({
    where: { companyId_receiverId: { ...own(ctx), receiverId } },
    create: { ...own(ctx), receiverId, ...now, ...more, ...last },
    update: { ...now, ...last, good: { increment: more.good }, again: { increment: more.again }, refused: { increment: more.refused }, damaged: { increment: more.damaged }, heldBack: { increment: more.heldBack } },
  });
  await addKeyCounts(ctx.tx, keys);
  return { known: true };
};
