import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';

/** A picture's bytes; NotFound for another company's as for none. */
export const readAttachment: Act<{ attachmentId: string }, { mime: string; content: Uint8Array }> = async (ctx, input) => {
  const found = await ctx.tx.db.attachment.findUnique({ where: { companyId_id: { ...own(ctx), id: input.attachmentId } } });
  if (!found) throw new Refusal('NotFound', 'There is no picture by that id.');
  return { mime: found.mime, content: found.content };
};
