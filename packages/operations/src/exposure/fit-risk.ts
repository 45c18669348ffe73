import { fitModel } from '@bellround/risk';
import type { Act } from '../perform.js';
import { dbDay, note, own } from '../steps.js';
import { gatherHistory, todayOf } from './steps.js';

/** Fits the company's failure rates to its own history and promotes the version. A version equal to the present one adds nothing. */
export const fitRisk: Act<object, { modelId: string; version: string; isNew: boolean }> = async (ctx) => {
  const today = await todayOf(ctx);
  const { history, from } = await gatherHistory(ctx, today);
  const model = fitModel(history, from === null ? {} : { window: { from, to: today } });
  const present = await ctx.tx.db.riskModelVersion.findFirst({ where: { ...own(ctx), promoted: true }, orderBy: { fittedAt: 'desc' } });
  if (present && (present.model as { version?: string }).version === model.version) return { modelId: present.id, version: model.version, isNew: false };
  await ctx.tx.db.riskModelVersion.updateMany({ where: { ...own(ctx), promoted: true }, data: { promoted: false } });
  const row = await ctx.tx.db.riskModelVersion.create({ data: { ...own(ctx), id: ctx.newId(), fittedAt: ctx.now, fromDay: from === null ? null : dbDay(from), toDay: dbDay(today), model: model as unknown as object, promoted: true } });
  await note(ctx, { act: 'fit-risk', about: 'exposure', id: row.id, summary: `Failure rates fitted to ${history.reduce((sum, one) => sum + (one.perComponent?.length ?? 0), 0)} components` });
  return { modelId: row.id, version: model.version, isNew: true };
};
