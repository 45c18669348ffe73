import { routes, type AskOf } from '@bellround/contracts';
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
export const useCountRetired = () => useAct(routes.retireProgramme);
export const useProgramme = (programmeId: string) => useAsk(programmesKeys, routes.showProgramme, { programmeId }, { about: ABOUT });
export const useLaidOn = (input: AskOf<typeof routes.programmeSystems>) => useAsk(programmesKeys, routes.programmeSystems, input, { about: [...ABOUT, 'import'], keep: true });
export const useSave = () => useAct(routes.saveProgramme, { refresh: [programmesKeys.all] });
export const useTrySave = () => useAct(routes.saveProgramme);
export const useDuty = (dutyId: string) => useAsk(programmesKeys, routes.showDuty, { dutyId }, { about: ['standing', 'check', 'visit', 'programme'] });
