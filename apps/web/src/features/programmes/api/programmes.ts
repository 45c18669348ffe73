import { routes } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const programmesKeys = keysOf('programmes');
const ABOUT = ['programme'];
const refresh = 'everything' as const;
export const useLibrary = () => useAsk(programmesKeys, routes.programmeLibrary, {}, { about: ABOUT });
export const useProgrammes = () => useAsk(programmesKeys, routes.listProgrammes, {}, { about: ABOUT });
export const useAdopt = () => useAct(routes.adoptProgramme, { refresh: [programmesKeys.all] });
export const useApply = () => useAct(routes.applyProgramme, { refresh });
export const useCount = () => useAct(routes.applyProgramme);
export const useRetire = () => useAct(routes.retireProgramme, { refresh });
