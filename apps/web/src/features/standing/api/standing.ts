import { routes, type AskOf } from '@bellround/contracts';
import { keysOf, useAsk } from '../../../shared/query.js';

export const standingKeys = keysOf('standing');
const ABOUT = ['standing', 'check', 'visit', 'deficiency', 'programme', 'import'];

export const SITES_PER_PAGE = 40;
export const useStanding = (input: AskOf<typeof routes.listStanding>) => useAsk(standingKeys, routes.listStanding, input, { about: ABOUT, keep: true });
export const useOnTime = (asOf: string | null) => useAsk(standingKeys, routes.onTime, { months: 12, ...(asOf ? { asOf } : {}) }, { about: [...ABOUT, 'lists'], keep: true });
export const useOverdue = (input: AskOf<typeof routes.overdue>) => useAsk(standingKeys, routes.overdue, input, { about: ABOUT, keep: true });
export const useSiteStanding = (siteId: string, asOf: string | null, knownOn: string | null = null) => useAsk(standingKeys, routes.siteStanding, { siteId, ...(asOf ? { asOf } : {}), ...(knownOn ? { knownOn } : {}) }, { about: ABOUT, siteId, keep: true });
export const useWindowBehind = (dutyId: string, n: number) => useAsk(standingKeys, routes.windowBehind, { dutyId, n }, { about: ABOUT });
export const useCheckBehind = (checkId: string) => useAsk(standingKeys, routes.checkBehind, { checkId }, { about: ABOUT });
export const useLateWindows = (input: AskOf<typeof routes.lateWindows>) => useAsk(standingKeys, routes.lateWindows, input, { about: [...ABOUT, 'attempt'], keep: true });
