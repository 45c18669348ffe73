import { routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { visitsKeys } from './visits.js';

const ABOUT = ['visit', 'check', 'deficiency', 'system'];
const refresh = 'everything' as const;

export const useRoundTrip = (visitId: string) => useAsk(visitsKeys, routes.showRoundTrip, { visitId }, { about: ABOUT });
export const useTakeEvents = () => useAct(routes.takeStationEvents, { refresh });
export const useRecordRoundTrip = () => useAct(routes.recordRoundTrip, { refresh });
export const useEvidence = (visitId: string) => useAsk(visitsKeys, routes.showEvidence, { visitId }, { about: ABOUT });
export const useZoneLists = (systemId: string, enabled: boolean) => useAsk(visitsKeys, routes.showZoneLists, { systemId }, { about: ABOUT, enabled });
export const useKeepZoneList = (onDone: () => void) => useAct(routes.keepZoneList, { refresh, onDone });
export const useCorrectZone = (onDone: () => void) => useAct(routes.correctZone, { refresh, onDone });
