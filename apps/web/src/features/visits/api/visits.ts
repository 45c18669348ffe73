import { routes } from '@bellround/contracts';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';

export const visitsKeys = keysOf('visits');
const ABOUT = ['visit', 'check', 'hold', 'put-back', 'deficiency', 'week'];
const refresh = [visitsKeys.all];

export const useMyRound = (from: string | null, technicianId: string | null) => useAsk(visitsKeys, routes.myRound, { days: 7, ...(from ? { from } : {}), ...(technicianId ? { technicianId } : {}) }, { about: ABOUT });
export const useVisit = (visitId: string) => useAsk(visitsKeys, routes.showVisit, { visitId }, { about: ABOUT });
export const useStartVisit = () => useAct(routes.openVisit, { refresh });
export const useOpenHold = (onDone: () => void) => useAct(routes.openHold, { refresh, onDone });
export const useExtendHold = (onDone: () => void) => useAct(routes.extendHold, { refresh, onDone });
export const useCloseHold = (onDone: () => void) => useAct(routes.closeHold, { refresh, onDone });
export const usePutBack = () => useAct(routes.putBackDone, { refresh });
export const useHandOver = (onDone: () => void) => useAct(routes.handOver, { refresh, onDone });
export const useLiveProof = (onDone: () => void) => useAct(routes.liveProof, { refresh, onDone });
export const useCloseVisit = (onDone: () => void) => useAct(routes.closeVisit, { refresh: 'everything', onDone });
export const useStopVisit = (onDone: () => void) => useAct(routes.stopVisit, { refresh: 'everything', onDone });
export const useAttempt = (onDone: () => void) => useAct(routes.recordAttempt, { refresh: 'everything', onDone });
export const useUpload = () => useAct(routes.uploadAttachment);
