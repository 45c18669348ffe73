import { routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { signalsKeys } from './silences.js';

const refresh = [signalsKeys.route(routes.listReceivers)];
/** What came is counted by the listener, without a notice: asked again while somebody looks. */
const AGAIN_MS = 5000;

export const useReceivers = () => useAsk(signalsKeys, routes.listReceivers, {}, { about: ['receiver', 'account'], refetchInterval: AGAIN_MS, keep: true });
export const useKeepReceiver = (onDone: () => void) => useAct(routes.keepReceiver, { refresh, onDone });
export const useRetireReceiver = (onDone: () => void) => useAct(routes.retireReceiver, { refresh, onDone });
export const useSetReceiverKey = (onDone: () => void) => useAct(routes.setReceiverKey, { refresh, onDone });
export const useEndReceiverKey = (onDone: () => void) => useAct(routes.endReceiverKey, { refresh, onDone });
