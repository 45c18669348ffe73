import type { ClosedDaysShown } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { closedDaysShown } from './steps.js';

/** Public holidays and shared days that close sites or keep them silent. */
export const showClosedDays: Act<object, ClosedDaysShown> = (ctx) => closedDaysShown(ctx);
