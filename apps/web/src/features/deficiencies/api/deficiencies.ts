import { routes, type AskOf } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const deficienciesKeys = keysOf('deficiencies');
const ABOUT = ['deficiency', 'check', 'visit'];
export const PER_PAGE = 50;
export const useDeficiencies = (input: AskOf<typeof routes.listDeficiencies>) => useAsk(deficienciesKeys, routes.listDeficiencies, input, { about: ABOUT, keep: true });
export const useDeficiency = (deficiencyId: string) => useAsk(deficienciesKeys, routes.showDeficiency, { deficiencyId }, { about: ABOUT });
const refresh = 'everything' as const;
export const useAccept = (onDone: () => void) => useAct(routes.acceptDeficiency, { refresh, onDone });
export const useTold = (onDone: () => void) => useAct(routes.toldOf, { refresh, onDone });
export const usePlanRetest = () => useAct(routes.planRetest, { refresh });
export const useRegrade = (onDone: () => void) => useAct(routes.regradeDeficiency, { refresh, onDone });
export const usePartsNeeded = (onDone: () => void) => useAct(routes.partsNeeded, { refresh, onDone });
export const useInterim = (onDone: () => void) => useAct(routes.interimMeasure, { refresh, onDone });
/** Others of the site that are open and wait for no visit yet. */
export const useOthersOfSite = (siteId: string) => useAsk(deficienciesKeys, routes.listDeficiencies, { siteId, state: 'open', limit: 50, offset: 0 }, { about: ABOUT });
export const useWhoMayGo = () => useAsk(deficienciesKeys, routes.listTechnicians, { limit: 200, offset: 0 }, { about: ['technician'] });
