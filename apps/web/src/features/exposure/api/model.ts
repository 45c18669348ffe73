import { routes } from '@bellround/contracts';
import { useAsk } from '../../../shared/query.js';
import { exposureKeys } from './exposure.js';

export const VERSIONS_PER_PAGE = 20;
export const useRiskModel = (id: string | null) => useAsk(exposureKeys, routes.showRiskModel, id === null ? {} : { id }, { about: ['exposure'], keep: true });
export const useRiskVersions = (offset: number) => useAsk(exposureKeys, routes.listRiskVersions, { limit: VERSIONS_PER_PAGE, offset }, { about: ['exposure'], keep: true });
