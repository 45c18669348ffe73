import { routes } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';
import { identityKeys } from './keys.js';

const ABOUT = ['entry-code', 'visit', 'week'];
const refresh = [identityKeys.route(routes.entryCodes), identityKeys.route(routes.leaverReport)];

export const useEntryCodes = (siteId: string, enabled = true) => useAsk(identityKeys, routes.entryCodes, { siteId }, { about: ABOUT, siteId, enabled });
export const useSetEntryCode = (onDone: () => void) => useAct(routes.setEntryCode, { refresh, onDone });
export const useEndEntryCode = (onDone: () => void) => useAct(routes.endEntryCode, { refresh, onDone });
export const useRevealEntryCode = () => useAct(routes.revealEntryCode, { refresh: [identityKeys.route(routes.entryCodes)] });
export const useLeaverReport = (userId: string) => useAsk(identityKeys, routes.leaverReport, { userId }, { about: ['entry-code', 'user'] });
/** The visit that the screen shows anyway: asked under the same key, it is asked once. */
export const useVisitForCodes = (visitId: string) => useAsk(keysOf('visits'), routes.showVisit, { visitId }, { about: ['visit'] });
