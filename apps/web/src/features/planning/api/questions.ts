import { routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { ABOUT, planningKeys } from './week.js';

const refresh = [planningKeys.all];

export const useAskWeek = () => useAct(routes.askWeek);
export const useKeepAnswer = () => useAct(routes.keepAnswer, { refresh });
export const useEndDayTravel = () => useAct(routes.endDayTravel, { refresh });
export const useWhy = (planId: string, visitId: string) => useAsk(planningKeys, routes.whyVisit, { planId, visitId }, { about: ABOUT });
export const useRankUrgent = () => useAct(routes.rankUrgent);
export const usePlaceUrgent = () => useAct(routes.placeUrgent, { refresh });
export const useFindSites = (search: string) => useAsk(planningKeys, routes.listSites, { search, limit: 20 }, { enabled: search.trim().length > 1, about: ['site'], keep: true });
