import { Refusal, type AgreeDate } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayInWords } from '../reminders/steps.js';
import { dayTextOrNull, dbDay, note, own } from '../steps.js';
import { clockText } from './steps.js';

/**
 * Keeps what was agreed with a client about a visit. It takes the place of what was agreed before; both stay on record, and
 * a later plan holds to it. Throws VisitClosed when the visit has ended, IdReused for another body under this id.
 */
export const agreeDate: Act<AgreeDate, { promise: string }> = async (ctx, input) => {
  const visit = await ctx.tx.db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.visitId } }, include: { site: true } });
  if (!visit) throw new Refusal('NotFound', 'There is no visit by that id.');
  const promise = `${dayInWords(input.day)}, start between ${clockText(input.fromMin)} and ${clockText(input.toMin)}${input.words ? `: ${input.words}` : ''}${input.priceMin === null ? '' : ` (may be broken; counts as ${input.priceMin} min of driving)`}`;
  const before = await ctx.tx.db.promise.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } } });
  if (before) {
    const same = before.visitId === visit.id && dayTextOrNull(before.day) === input.day && before.fromMin === input.fromMin && before.toMin === input.toMin && before.madeTo === input.madeTo && before.words === promise && before.priceMin === input.priceMin;
    if (!same) throw new Refusal('IdReused', 'This id belongs to something else that was agreed.');
    return { promise };
  }
  if (!['wanted', 'planned', 'published', 'no-access'].includes(visit.state)) throw new Refusal('VisitClosed', `The visit is ${visit.state}; no date is agreed for it any more.`, { data: { state: visit.state } });
  const standing = await ctx.tx.db.promise.findMany({ where: { ...own(ctx), visitId: visit.id }, orderBy: { at: 'asc' } });
  const withdrawn = new Set(standing.map((one) => one.withdrawsId));
  const [last, ...older] = standing.filter((one) => !withdrawn.has(one.id) && (one.withdrawsId === null || one.day !== null || one.technicianId !== null)).reverse();
  const row = { ...own(ctx), siteId: visit.siteId, visitId: visit.id, madeTo: input.madeTo, madeBy: ctx.who.userId!, at: ctx.now };
  await ctx.tx.db.promise.create({ data: { ...row, id: input.id, day: dbDay(input.day), fromMin: input.fromMin, toMin: input.toMin, priceMin: input.priceMin, words: promise, withdrawsId: last?.id ?? null } });
  await ctx.tx.db.promise.createMany({ data: older.map((one) => ({ ...row, id: ctx.newId(), words: 'replaced by a later agreement', withdrawsId: one.id })) });
  if (visit.state === 'no-access') await ctx.tx.db.visit.update({ where: { companyId_id: { ...own(ctx), id: visit.id } }, data: { state: 'wanted', day: null, startMin: null, technicianId: null, openedAt: null, closedAt: null } });
  await note(ctx, { act: 'agree-date', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${visit.site.name}: agreed with ${input.madeTo}: ${promise}` });
  return { promise };
};
