import type { RiskVersionRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText, dayTextOrNull, own } from '../steps.js';
import { reportView } from './steps.js';

/** Every fitted version, promoted or refused, newest first. */
export const listRiskVersions: Act<{ limit: number; offset: number }, { rows: RiskVersionRow[]; total: number }> = async (ctx, { limit, offset }) => {
  const total = await ctx.tx.db.riskModelVersion.count({ where: own(ctx) });
  const rows = await ctx.tx.db.riskModelVersion.findMany({ where: own(ctx), orderBy: [{ fittedAt: 'desc' }, { id: 'desc' }], skip: offset, take: limit });
  return { total, rows: rows.map((row): RiskVersionRow => {
    const report = reportView(row.report);
    return {
      id: row.id, version: (row.model as { version: string }).version, fittedAt: row.fittedAt.toISOString(), fromDay: dayTextOrNull(row.fromDay), toDay: dayText(row.toDay), inUse: row.promoted, accepted: report?.promote ?? true, why: report?.why ?? 'fitted before reports were kept',
      cases: report?.cases ?? 0, happened: report?.happened ?? 0, areaUnderCurve: report?.ours?.areaUnderCurve ?? null, brier: report?.ours?.brier ?? null, slope: report?.ours?.slope ?? null,
    };
  }) };
};
