import { routes, type AskOf } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const dutiesKeys = keysOf('duties');
const ABOUT = ['standing', 'check', 'visit', 'programme', 'site', 'closed-days'];
const refresh = 'everything' as const;
export const useTogether = (input: AskOf<typeof routes.doTogether>) => useAsk(dutiesKeys, routes.doTogether, input, { about: ABOUT, siteId: input.siteId, keep: true });
export const useYearsAhead = (input: AskOf<typeof routes.yearsAhead>, enabled: boolean) => useAsk(dutiesKeys, routes.yearsAhead, input, { about: ['programme', 'closed-days'], enabled, keep: true });
export const useCatchUp = (input: AskOf<typeof routes.catchUp>) => useAsk(dutiesKeys, routes.catchUp, input, { about: [...ABOUT, 'exposure'], keep: true });
export const useClosedDays = () => useAsk(dutiesKeys, routes.closedDays, {}, { about: ['closed-days'] });
export const useHolidayRegions = () => useAsk(dutiesKeys, routes.holidayRegions, {}, { about: [], staleTime: Number.POSITIVE_INFINITY });
export const useAddClosedDays = (onDone: () => void) => useAct(routes.addClosedDays, { refresh, onDone });
export const useRemoveClosedDays = (onDone: () => void) => useAct(routes.removeClosedDays, { refresh, onDone });
export const useChooseHolidays = (onDone: () => void) => useAct(routes.chooseHolidays, { refresh, onDone });
export const useChooseSiteHolidays = (onDone: () => void) => useAct(routes.chooseSiteHolidays, { refresh, onDone });
export const useReadHistory = () => useAct(routes.readHistory, { refresh });
