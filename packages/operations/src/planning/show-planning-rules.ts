import type { PlanningRulesShown } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { planningRulesOf } from '../rounds-need.js';

/** How the company plans, and what was learned from its past. */
export const showPlanningRules: Act<object, PlanningRulesShown> = (ctx) => planningRulesOf(ctx);
