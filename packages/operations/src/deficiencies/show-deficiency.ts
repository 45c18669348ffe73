import type { DeficiencyView } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { deficiencyView } from './steps.js';

export const showDeficiency: Act<{ deficiencyId: string }, DeficiencyView> = (ctx, input) => deficiencyView(ctx, input.deficiencyId);
