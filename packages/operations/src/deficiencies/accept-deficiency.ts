import { Refusal, type AcceptDeficiency, type DeficiencyView } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { dbDay, note, own } from '../steps.js';
import { addFact, deficiencyView, factGivenBefore, lockedDeficiency, todayAtSite } from './steps.js';

/** Somebody entitled accepts it knowingly, by name, in words, until a day. It is not mended by that: its history and its failing check stay. */
export const acceptDeficiency: Act<AcceptDeficiency, DeficiencyView> = async (ctx, input) => {
  const row = await lockedDeficiency(ctx, input.deficiencyId);
  const digest = ctx.sha256(JSON.stringify([input.deficiencyId, 'accepted', input.acceptedBy, input.words, input.until]));
  if (await factGivenBefore(ctx, input.id, digest)) return deficiencyView(ctx, row.id);
  if (row.state === 'closed') throw new Refusal('WrongState', 'It is closed by a passing retest; there is nothing to accept.');
  const today = await todayAtSite(ctx, row.siteId);
  if (input.until <= today) throw new Refusal('BadInput', `until: ${input.until} must be a day after today (${today}).`, { errors: [{ path: 'until', message: `must be a day after ${today}` }] });
  await ctx.tx.db.deficiency.update({ where: { companyId_id: { ...own(ctx), id: row.id } }, data: { state: 'accepted', acceptedUntil: dbDay(input.until) } });
  const entry = await addFact(ctx, { id: input.id, deficiencyId: row.id, kind: 'accepted', words: input.words, detail: { digest, acceptedBy: input.acceptedBy, until: input.until } });
  await note(ctx, { act: 'accept-deficiency', about: 'deficiency', id: row.id, siteId: row.siteId, summary: `${input.acceptedBy} accepted until ${input.until}: ${row.title}` });
  await appendLeaves(ctx, [entry]);
  return deficiencyView(ctx, row.id);
};
