import { routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { identityKeys } from './keys.js';

export const useUsers = () => useAsk(identityKeys, routes.listUsers, {}, { about: ['user'] });
export const useAddUser = (onDone: () => void) => useAct(routes.addUser, { refresh: [identityKeys.route(routes.listUsers)], onDone });
export const useDisableUser = (onDone: () => void) => useAct(routes.disableUser, { refresh: [identityKeys.route(routes.listUsers)], onDone });
