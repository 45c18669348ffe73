import type { ZoneLists } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { zoneListsOf } from './steps.js';

/** Control unit, our list and the station's list of a system's zones, compared. */
export const showZoneLists: Act<{ systemId: string }, ZoneLists> = (ctx, input) => zoneListsOf(ctx, input.systemId);
