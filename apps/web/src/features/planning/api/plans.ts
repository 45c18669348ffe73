import { routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { ABOUT, planningKeys } from './week.js';

const refresh = [planningKeys.all];

export const useCopyPlan = () => useAct(routes.copyPlan, { refresh });
export const useDropPlan = () => useAct(routes.dropPlan, { refresh });
export const useComparison = (planId: string, otherPlanId: string) => useAsk(planningKeys, routes.comparePlans, { planId, otherPlanId }, { about: ABOUT, enabled: planId !== '' && otherPlanId !== '' && planId !== otherPlanId, keep: true });
export const usePublications = (weekStart: string) => useAsk(planningKeys, routes.listPublications, { weekStart }, { about: ['week'] });
