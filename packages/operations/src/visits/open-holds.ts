import type { HoldRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { holdRows } from './steps.js';

/** Every account on test now, for the clock on each screen. */
export const openHolds: Act<object, { rows: HoldRow[]; now: string }> = async (ctx) => ({ rows: await holdRows(ctx, { closedAt: null }), now: ctx.now.toISOString() });
