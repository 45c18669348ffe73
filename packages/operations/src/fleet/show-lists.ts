import type { ListComparison } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { listComparison } from './steps.js';

/** The three lists side by side on a day (today when none is given). */
export const showLists: Act<{ asOf?: string | undefined }, ListComparison> = (ctx, input) => listComparison(ctx, input.asOf ?? null);
