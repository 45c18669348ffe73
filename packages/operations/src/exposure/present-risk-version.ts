import type { PresentVersion } from '@bellround/risk';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { twinOf } from './steps.js';

/** The version in use with the twin it was judged by; null before any. */
export const presentRiskVersion: Act<object, (PresentVersion & { id: string }) | null> = async (ctx) => {
  const row = await ctx.tx.db.riskModelVersion.findFirst({ where: { ...own(ctx), promoted: true }, orderBy: { fittedAt: 'desc' } });
  return row === null ? null : { id: row.id, version: (row.model as { version: string }).version, twin: twinOf(row.report) };
};
