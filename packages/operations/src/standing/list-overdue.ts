import type { OverdueRow } from '@bellround/contracts';
import { overduePage } from '@bellround/database';
import type { Act } from '../perform.js';
import { asOfDay } from './steps.js';

export interface OverdueAsked { asOf?: string | undefined; search?: string | undefined; standing?: 'lapsed' | 'cant-tell' | 'late' | undefined; limit: number; offset: number }

/** Duties that are lapsed, can't be told or late on a day, the longest lapsed first. */
export const listOverdue: Act<OverdueAsked, { asOf: string; rows: OverdueRow[]; total: number }> = async (ctx, input) => {
  const { asOf } = await asOfDay(ctx, input.asOf);
  const rows = await overduePage(ctx.tx, asOf, input);
  return { asOf, total: rows[0]?.total ?? 0, rows: rows.map(({ total: _, ...row }) => ({ ...row, standing: row.standing as OverdueRow['standing'] })) };
};
