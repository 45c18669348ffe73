import type { OnTime, OnTimeAsked } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { onTimeOf } from './steps.js';

/** On-time share by month and over the whole stretch: of all live accounts, and beside it of those on the schedule. */
export const onTime: Act<OnTimeAsked, OnTime> = (ctx, input) => onTimeOf(ctx, input);
