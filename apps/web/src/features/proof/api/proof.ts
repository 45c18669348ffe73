import { routes } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const proofKeys = keysOf('proof');
export const useLedger = () => useAsk(proofKeys, routes.ledgerState, {}, { about: ['check', 'visit', 'deficiency', 'attempt', 'hold'] });
export const useExportBundle = () => useAct(routes.exportBundle);
export const useSitesToProve = (search: string) => useAsk(proofKeys, routes.listSites, { search, limit: 20 }, { enabled: search.length >= 2, keep: true, about: ['import', 'site'] });
export const useSiteName = (siteId: string | null) => useAsk(proofKeys, routes.site, { siteId: siteId ?? '' }, { enabled: siteId !== null, about: ['site'] });
