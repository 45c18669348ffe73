import { routes, type AskOf } from '@bellround/contracts';
import { askOptions, keysOf, useAsk } from '../../../shared/query.js';

export const standingKeys = keysOf('standing');
const ABOUT = ['standing', 'check', 'visit', 'deficiency', 'programme', 'import'];

/** Sites printed or shown on one page; scrolling knows no pages. */
export const SITES_PER_PAGE = 60;
/** Light rows fetched at once, and sites whose strips are fetched at once, as they come into sight. */
export const ROWS_AT_ONCE = 500;
export const STRIPS_AT_ONCE = 40;

export type StandingFilters = Omit<AskOf<typeof routes.listStanding>, 'limit' | 'offset' | 'strips'>;
export const rowsOptions = (filters: StandingFilters, block: number) =>
  ({ ...askOptions(standingKeys, routes.listStanding, { ...filters, strips: 'no', limit: ROWS_AT_ONCE, offset: block * ROWS_AT_ONCE }, { about: ABOUT }), staleTime: 60_000 });
export const stripsOptions = (siteIds: readonly string[], asOf: string | undefined) =>
  ({ ...askOptions(standingKeys, routes.standingStrips, { siteIds: siteIds.join(','), ...(asOf ? { asOf } : {}) }, { about: ABOUT }), staleTime: 60_000 });
export const useStanding = (input: AskOf<typeof routes.listStanding>) => useAsk(standingKeys, routes.listStanding, input, { about: ABOUT, keep: true });
export const useOnTime = (asOf: string | null) => useAsk(standingKeys, routes.onTime, { months: 12, ...(asOf ? { asOf } : {}) }, { about: [...ABOUT, 'lists'], keep: true });
export const useOverdue = (input: AskOf<typeof routes.overdue>) => useAsk(standingKeys, routes.overdue, input, { about: ABOUT, keep: true });
export const useSiteStanding = (siteId: string, asOf: string | null, knownOn: string | null = null) => useAsk(standingKeys, routes.siteStanding, { siteId, ...(asOf ? { asOf } : {}), ...(knownOn ? { knownOn } : {}) }, { about: ABOUT, siteId, keep: true });
export const useWindowBehind = (dutyId: string, n: number) => useAsk(standingKeys, routes.windowBehind, { dutyId, n }, { about: ABOUT });
export const useCheckBehind = (checkId: string) => useAsk(standingKeys, routes.checkBehind, { checkId }, { about: ABOUT });
export const useLateWindows = (input: AskOf<typeof routes.lateWindows>) => useAsk(standingKeys, routes.lateWindows, input, { about: [...ABOUT, 'attempt'], keep: true });
export const useSiteCondition = (siteId: string) => useAsk(standingKeys, routes.siteCondition, { siteId }, { about: [...ABOUT, 'site', 'station'], siteId });
export const useSiteTrends = (input: AskOf<typeof routes.siteTrends>) => useAsk(standingKeys, routes.siteTrends, input, { about: [...ABOUT, 'site'], siteId: input.siteId, keep: true });
export const useSiteDeficiencies = (siteId: string) => useAsk(standingKeys, routes.listDeficiencies, { siteId, state: 'all', limit: 50 }, { about: ['deficiency', 'check', 'visit'], siteId });
