import type { DeficiencyView, PhotoOfDeficiency } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note } from '../steps.js';
import { addFact, deficiencyView, factGivenBefore, lockedDeficiency, photoDetail } from './steps.js';
import { doneAt } from '../visits/steps.js';

/** DEF-7. A picture of a deficiency, uploaded before; sent again it is one. */
export const photoOfDeficiency: Act<PhotoOfDeficiency, DeficiencyView> = async (ctx, input) => {
  const row = await lockedDeficiency(ctx, input.deficiencyId);
  const detail = await photoDetail(ctx, input, row.id);
  if (await factGivenBefore(ctx, input.id, detail.digest)) return deficiencyView(ctx, row.id);
  const entry = await addFact(ctx, { id: input.id, deficiencyId: row.id, kind: 'photo', at: doneAt(ctx, input), words: input.words, detail });
  await note(ctx, { act: 'photo-of-deficiency', about: 'deficiency', id: row.id, siteId: row.siteId, summary: `${row.title}: a picture of it` });
  await appendLeaves(ctx, [entry]);
  return deficiencyView(ctx, row.id);
};
