import { routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { planningKeys } from './week.js';

const refresh = [planningKeys.all];

export const useEditVisit = (onDone: () => void) => useAct(routes.editVisit, { refresh, onDone });
export const usePlanningRules = () => useAsk(planningKeys, routes.planningRules, {}, { about: ['week'] });
export const useSavePlanningRules = (onDone: () => void) => useAct(routes.savePlanningRules, { refresh, onDone });
export const useForgetRoadTimes = (onDone: () => void) => useAct(routes.forgetRoadTimes, { refresh, onDone });
export const useSiteNeeds = (siteId: string) => useAsk(planningKeys, routes.siteNeeds, { siteId }, { about: ['site'] });
export const useEditSiteNeeds = (onDone: () => void) => useAct(routes.editSiteNeeds, { refresh, onDone });
export const useKeepPermit = (onDone: () => void) => useAct(routes.keepPermit, { refresh, onDone });
export const useRemovePermit = (onDone: () => void) => useAct(routes.removePermit, { refresh, onDone });
export const useKeepKey = (onDone: () => void) => useAct(routes.keepKey, { refresh, onDone });
export const useHandKey = (onDone: () => void) => useAct(routes.handKey, { refresh, onDone });
