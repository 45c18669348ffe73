import { routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { identityKeys } from './keys.js';

export const useUsers = () => useAsk(identityKeys, routes.listUsers, {}, { about: ['user'] });
export const useAddUser = (onDone: () => void) => useAct(routes.addUser, { refresh: [identityKeys.route(routes.listUsers)], onDone });
export const useDisableUser = (onDone: () => void) => useAct(routes.disableUser, { refresh: [identityKeys.route(routes.listUsers)], onDone });
/** Technicians by name, to say whose sign-in it is. */
export const useTechniciansToName = () => useAsk(identityKeys, routes.listTechnicians, { limit: 500 }, { about: ['technician', 'import'] });
