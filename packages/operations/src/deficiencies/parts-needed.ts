import type { DeficiencyView, PartsNeeded } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note } from '../steps.js';
import { addFact, deficiencyView, factGivenBefore, lockedDeficiency } from './steps.js';

/** A part it needs and where that part is; it stands on the round of whoever goes there next. */
export const partsNeeded: Act<PartsNeeded, DeficiencyView> = async (ctx, input) => {
  const row = await lockedDeficiency(ctx, input.deficiencyId);
  const digest = ctx.sha256(JSON.stringify([input.deficiencyId, 'parts', input.words, input.state]));
  if (await factGivenBefore(ctx, input.id, digest)) return deficiencyView(ctx, row.id);
  const entry = await addFact(ctx, { id: input.id, deficiencyId: row.id, kind: 'parts', words: input.words, detail: { digest, state: input.state } });
  await note(ctx, { act: 'parts-needed', about: 'deficiency', id: row.id, siteId: row.siteId, summary: `${row.title}: ${input.words} ${input.state}` });
  await appendLeaves(ctx, [entry]);
  return deficiencyView(ctx, row.id);
};
