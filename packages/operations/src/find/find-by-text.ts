import type { FoundThing } from '@bellround/contracts';
import { findByText } from '@bellround/database';
import type { Act } from '../perform.js';

/** What a typed text names, best first: sites, accounts, clients, technicians and deficiencies of the company. */
export const find: Act<{ text: string; each: number }, { rows: FoundThing[] }> = async (ctx, input) => {
  const rows = await findByText(ctx.tx, input.text, input.each);
  return { rows: rows.map(({ kind, id, siteId, title, detail }) => ({ kind: kind as FoundThing['kind'], id, siteId, title, detail })) };
};
