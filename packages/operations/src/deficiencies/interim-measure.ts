import { INTERIM_MOST_DAYS, Refusal, type DeficiencyView, type InterimMeasure } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { note } from '../steps.js';
import { addFact, deficiencyView, factGivenBefore, lockedDeficiency } from './steps.js';

/** DEF-6. What protects the site until it is mended: what, by whom, until when. A further one takes the place of the one before; all stay in the history. */
export const interimMeasure: Act<InterimMeasure, DeficiencyView> = async (ctx, input) => {
  const row = await lockedDeficiency(ctx, input.deficiencyId);
  const digest = ctx.sha256(JSON.stringify([input.deficiencyId, 'interim', input.words, input.by, input.untilAt]));
  if (await factGivenBefore(ctx, input.id, digest)) return deficiencyView(ctx, row.id);
  if (row.state === 'closed') throw new Refusal('WrongState', 'It is closed by a passing retest; nothing has to protect the site in its place.');
  const ahead = new Date(input.untilAt).getTime() - ctx.now.getTime();
  const wrong = ahead <= 0 ? 'must be after now' : ahead > INTERIM_MOST_DAYS * 86_400_000 ? `must be within ${INTERIM_MOST_DAYS} days: then somebody looks again and gives it anew` : null;
  if (wrong) throw new Refusal('BadInput', `untilAt: ${input.untilAt} ${wrong}.`, { errors: [{ path: 'untilAt', message: wrong }] });
  const entry = await addFact(ctx, { id: input.id, deficiencyId: row.id, kind: 'interim', words: input.words, detail: { digest, by: input.by, untilAt: input.untilAt } });
  await note(ctx, { act: 'interim-measure', about: 'deficiency', id: row.id, siteId: row.siteId, summary: `${row.title}: until ${input.untilAt} ${input.by} sees to: ${input.words}` });
  await appendLeaves(ctx, [entry]);
  return deficiencyView(ctx, row.id);
};
