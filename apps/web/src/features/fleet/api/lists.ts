import { type DifferenceKind, routes } from '@bellround/contracts';
import { useAct, useAsk } from '../../../shared/query.js';
import { fleetKeys } from './keys.js';

export const DIFFERENCES_PER_PAGE = 50;
export type Shown = 'unsettled' | 'settled' | 'gone' | 'all';
const ABOUT = ['lists', 'import'];

export const useLists = () => useAsk(fleetKeys, routes.lists, {}, { about: ABOUT });
export const useDifferences = (kind: DifferenceKind | null, show: Shown, search: string, offset: number) =>
  useAsk(fleetKeys, routes.listDifferences, { ...(kind ? { kind } : {}), show, ...(search ? { search } : {}), limit: DIFFERENCES_PER_PAGE, offset }, { about: ABOUT, keep: true });
/** Who may be named to settle a difference; an owner sees everybody, others name themselves. */
export const useSettlers = (isOwner: boolean) => useAsk(fleetKeys, routes.listUsers, {}, { about: ['user'], enabled: isOwner });

const refresh = [fleetKeys.route(routes.lists), fleetKeys.route(routes.listDifferences)];
export const useCompareLists = (onDone: () => void) => useAct(routes.compareLists, { refresh, onDone });
export const useAssignDifference = (onDone: () => void) => useAct(routes.assignDifference, { refresh, onDone });
export const useSettleDifference = (onDone: () => void) => useAct(routes.settleDifference, { refresh, onDone });
