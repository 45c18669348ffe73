import type { DeficiencyView, ToldOf } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note } from '../steps.js';
import { addFact, deficiencyView, factGivenBefore, lockedDeficiency } from './steps.js';

/** Somebody was told of it: who, as what, how, in which words. */
export const toldOf: Act<ToldOf, DeficiencyView> = async (ctx, input) => {
  const row = await lockedDeficiency(ctx, input.deficiencyId);
  const digest = ctx.sha256(JSON.stringify([input.deficiencyId, 'told', input.to, input.capacity, input.how, input.words]));
  if (await factGivenBefore(ctx, input.id, digest)) return deficiencyView(ctx, row.id);
  const entry = await addFact(ctx, { id: input.id, deficiencyId: row.id, kind: 'told', words: input.words, detail: { digest, to: input.to, capacity: input.capacity, how: input.how } });
  await note(ctx, { act: 'told-of', about: 'deficiency', id: row.id, siteId: row.siteId, summary: `${input.to} was told (${input.how}): ${row.title}` });
  await appendLeaves(ctx, [entry]);
  return deficiencyView(ctx, row.id);
};
