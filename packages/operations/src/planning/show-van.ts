import type { Van } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { vanOf } from '../rounds-need.js';

/** Where rounds begin and end, and what is on the van. Throws NotFound. */
export const showVan: Act<{ technicianId: string }, Van> = (ctx, { technicianId }) => vanOf(ctx, technicianId);
