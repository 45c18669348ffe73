import { routes } from '@bellround/contracts';
import { useAsk } from '../../../shared/query.js';
import { fleetKeys } from './keys.js';

export const useFirstRun = (enabled = true) => useAsk(fleetKeys, routes.firstRun, {}, { about: ['import', 'everything', 'programme', 'user', 'week', 'technician'], enabled, staleTime: 60_000 });
