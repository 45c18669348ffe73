import type { EntryCodes } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { entryCodesOf } from './steps.js';

/** Which codes a site has, who saw them and when the asker may. Never the codes (IDN-2). */
export const listEntryCodes: Act<{ siteId: string }, EntryCodes> = (ctx, input) => entryCodesOf(ctx, input.siteId);
