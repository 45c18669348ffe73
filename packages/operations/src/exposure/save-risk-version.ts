import { Refusal } from '@bellround/contracts';
import { fitModel, type FittedVersion } from '@bellround/risk';
import type { Act } from '../perform.js';
import { dbDay, note, own } from '../steps.js';
import { todayOf } from './steps.js';

/**
 * Keeps a fitted version with its report. It is promoted when its back-test says so, and otherwise kept beside the one in use; a first
 * version that is worse than the starting rules leaves those in use. A version equal to the one in use adds nothing.
 */
export const saveRiskVersion: Act<{ fitted: FittedVersion; presentId: string | null }, { modelId: string; version: string; isNew: boolean; promoted: boolean; why: string }> = async (ctx, { fitted, presentId }) => {
  const { model, twin, report } = fitted;
  // Two nights at once: the later one waits here and finds that the version it was judged against is no longer in use.
  await ctx.tx.sql(`select pg_advisory_xact_lock(hashtext('risk-version:' || current_company()::text))::text`);
  const present = await ctx.tx.db.riskModelVersion.findFirst({ where: { ...own(ctx), promoted: true }, orderBy: { fittedAt: 'desc' } });
  if ((present?.id ?? null) !== presentId) throw new Refusal('Stale', 'Another version was promoted while this one was fitted; fit again.');
  if (present && (present.model as { version?: string }).version === model.version) return { modelId: present.id, version: model.version, isNew: false, promoted: true, why: report.why };
  const today = dbDay(await todayOf(ctx));
  const keep = (what: { model: object; report: object; promoted: boolean }) => ctx.tx.db.riskModelVersion.create({ data: { ...own(ctx), id: ctx.newId(), fittedAt: ctx.now, fromDay: model.window === null ? null : dbDay(model.window.from), toDay: today, ...what } });
  if (report.promote && present) await ctx.tx.db.riskModelVersion.updateMany({ where: { ...own(ctx), promoted: true }, data: { promoted: false } });
  const row = await keep({ model: model as unknown as object, report: JSON.parse(JSON.stringify({ ...report, twin })) as object, promoted: report.promote });
  if (!report.promote && !present) await keep({ model: fitModel([]) as unknown as object, report: { promote: true, why: 'the starting rules, until a version is better than they are' }, promoted: true });
  await note(ctx, { act: 'fit-risk', about: 'exposure', id: row.id, summary: report.promote ? `Failure rates fitted anew: ${report.why}` : `A newly fitted version was refused: ${report.why}` });
  return { modelId: row.id, version: model.version, isNew: true, promoted: report.promote, why: report.why };
};
