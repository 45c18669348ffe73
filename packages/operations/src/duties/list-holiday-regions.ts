import { holidayRegions } from '../holidays.js';
import type { Act } from '../perform.js';

/** Countries and regions whose public holidays are known. */
export const listHolidayRegions: Act<object, { rows: { code: string; words: string }[] }> = async () => ({ rows: holidayRegions() });
