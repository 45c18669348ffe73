import { routes } from '@bellround/contracts';
import { keysOf, useAsk } from '../../../shared/query.js';

export const exposureKeys = keysOf('exposure');
export const SITES_PER_PAGE = 50;
export const useExposure = (search: string, offset: number) => useAsk(exposureKeys, routes.listExposure, { ...(search ? { search } : {}), limit: SITES_PER_PAGE, offset }, { about: ['exposure', 'standing', 'check'], keep: true });
export const useSiteExposure = (siteId: string) => useAsk(exposureKeys, routes.showExposure, { siteId }, { about: ['exposure', 'check', 'deficiency'], siteId });
export const useRiskModel = () => useAsk(exposureKeys, routes.showRiskModel, {}, { about: ['exposure'] });
