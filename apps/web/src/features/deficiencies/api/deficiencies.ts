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
