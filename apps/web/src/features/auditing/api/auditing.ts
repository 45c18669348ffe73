import { routes } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const auditingKeys = keysOf('auditing');
export const useAuditorLinks = () => useAsk(auditingKeys, routes.listAuditorLinks, {}, { about: ['auditor-link'] });
export const useOpenAuditorLink = (onDone: (made: { url: string }) => void) => useAct(routes.openAuditorLink, { refresh: [auditingKeys.all], onDone });
export const useRevokeAuditorLink = () => useAct(routes.revokeAuditorLink, { refresh: [auditingKeys.all] });
export const useSitesToName = (search: string) => useAsk(auditingKeys, routes.listSites, { search, limit: 500 }, { enabled: search.length >= 2, keep: true, about: ['import', 'site'] });
export const useAuditedSites = (secret: string) => useAsk(auditingKeys, routes.auditedSites, { secret });
export const useAuditedSite = (secret: string, siteId: string) => useAsk(auditingKeys, routes.auditedSite, { secret, siteId });
