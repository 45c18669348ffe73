import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

/** A picture's kind and digest, and its bytes where they are kept here (before there was a store); NotFound for another company's as for none. */
export const readAttachment: Act<{ attachmentId: string }, { mime: string; digest: string; content: Uint8Array | null }> = async (ctx, input) => {
  const found = await ctx.tx.db.attachment.findUnique({ where: { companyId_id: { ...own(ctx), id: input.attachmentId } } });
  if (!found) throw new Refusal('NotFound', 'There is no picture by that id.');
  return { mime: found.mime, digest: found.digest, content: found.content };
};
