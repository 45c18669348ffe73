import { routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { fleetKeys } from './keys.js';

export const SITES_PER_PAGE = 50;
const ABOUT = ['site', 'import'];

export const useSites = (search: string, offset: number) =>
  useAsk(fleetKeys, routes.listSites, { ...(search ? { search } : {}), limit: SITES_PER_PAGE, offset }, { about: ABOUT, keep: true });
export const useSite = (siteId: string) => useAsk(fleetKeys, routes.site, { siteId }, { about: ABOUT, siteId });

const refresh = [fleetKeys.route(routes.site), fleetKeys.route(routes.listSites)];
export const useEditSite = (onDone: () => void) => useAct(routes.editSite, { refresh, onDone });
export const useKeepContact = (onDone: () => void) => useAct(routes.keepContact, { refresh, onDone });
export const useAddBlackout = (onDone: () => void) => useAct(routes.addBlackout, { refresh, onDone });
export const useRemoveBlackout = (onDone: () => void) => useAct(routes.removeBlackout, { refresh, onDone });
