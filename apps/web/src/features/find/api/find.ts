import { routes } from '@bellround/contracts';
import { keysOf, useAsk } from '../../../shared/query.js';

const findKeys = keysOf('find');
/** Asked from two characters on. */
export const useFind = (text: string) => useAsk(findKeys, routes.find, { text }, { enabled: text.length >= 2, keep: true, staleTime: 10_000, about: ['site', 'import', 'deficiency', 'technician'] });
