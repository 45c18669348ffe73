import { Refusal } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note } from '../steps.js';

/** Makes an empty company whose id is the asker's: it becomes visible only under that id. */
export const addCompany: Act<{ slug: string; name: string; timeZone: string }, { id: string; slug: string; name: string }> = async (ctx, input) => {
  const before = await ctx.tx.db.company.findUnique({ where: { id: ctx.who.companyId } });
  if (before) throw new Refusal('IdReused', 'This id belongs to a company already.');
  const company = await ctx.tx.db.company.create({ data: { id: ctx.who.companyId, slug: input.slug, name: input.name, timeZone: input.timeZone, createdAt: ctx.now } });
  await note(ctx, { act: 'add-company', about: 'everything', summary: `${company.name} begins` });
  return { id: company.id, slug: company.slug, name: company.name };
};
