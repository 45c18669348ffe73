import { routes } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const peopleKeys = keysOf('people');
export const PEOPLE_PER_PAGE = 50;
const ABOUT = ['technician', 'import'];

export const useTechnicians = (search: string, offset: number) =>
  useAsk(peopleKeys, routes.listTechnicians, { ...(search ? { search } : {}), limit: PEOPLE_PER_PAGE, offset }, { about: ABOUT, keep: true });
export const useTechnician = (technicianId: string) => useAsk(peopleKeys, routes.technician, { technicianId }, { about: ABOUT });

const refresh = [peopleKeys.all];
export const useEditTechnician = (onDone: () => void) => useAct(routes.editTechnician, { refresh, onDone });
export const useKeepLicence = (onDone: () => void) => useAct(routes.keepLicence, { refresh, onDone });
export const useAddAbsence = (onDone: () => void) => useAct(routes.addAbsence, { refresh, onDone });
export const useRemoveAbsence = (onDone: () => void) => useAct(routes.removeAbsence, { refresh, onDone });
export const useVan = (technicianId: string) => useAsk(peopleKeys, routes.van, { technicianId }, { about: ABOUT });
export const useKeepVan = (onDone: () => void) => useAct(routes.keepVan, { refresh, onDone });
