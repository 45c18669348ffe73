import { routes } from '@bellround/contracts';
import { askOptions } from '../../../shared/query.js';
import { identityKeys } from './keys.js';

export const meOptions = () => ({ ...askOptions(identityKeys, routes.me, {}, { about: ['user'] }), staleTime: 5 * 60_000 });
