import { routes, type AskOf } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const exposureKeys = keysOf('exposure');
export const SITES_PER_PAGE = 50;
export type CauseKey = NonNullable<AskOf<typeof routes.listExposure>['cause']>;
export const useExposure = (search: string, cause: CauseKey | null, offset: number) => useAsk(exposureKeys, routes.listExposure, { ...(search ? { search } : {}), ...(cause ? { cause } : {}), limit: SITES_PER_PAGE, offset }, { about: ['exposure', 'standing', 'check'], keep: true });
export const useSiteExposure = (siteId: string) => useAsk(exposureKeys, routes.showExposure, { siteId }, { about: ['exposure', 'check', 'deficiency', 'visit'], siteId });
export const useWhatIf = () => useAct(routes.whatIfExposure);
