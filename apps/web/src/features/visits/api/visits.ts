import { routes } from '@bellround/contracts';
import { useMemo, useSyncExternalStore } from 'react';
import { useOutbox } from '../../../shared/device-outbox.js';
import { draftTurn, draftsOf, watchDrafts } from '../../../shared/drafts.js';
import { keysOf, useAct, useAsk } from '../../../shared/query.js';
import { useMe } from '../../../shared/session.js';
import { withQueued, type QueuedView } from '../queued-view.js';

export const visitsKeys = keysOf('visits');
const ABOUT = ['visit', 'check', 'hold', 'put-back', 'deficiency', 'week'];

export const useMyRound = (from: string | null, technicianId: string | null) => useAsk(visitsKeys, routes.myRound, { days: 7, ...(from ? { from } : {}), ...(technicianId ? { technicianId } : {}) }, { about: ABOUT });

export const usePick = (siteId: string, dutyIds: readonly string[] | null) => useAsk(visitsKeys, routes.showPick, { siteId, ...(dutyIds === null ? {} : { dutyIds: [...dutyIds] }) }, { about: [...ABOUT, 'programme'], siteId, keep: true });
export const useCreateVisit = () => useAct(routes.createVisit, { refresh: [visitsKeys.all] });

/** The visit as the house answers it, with what waits on this device laid over it. */
export function useVisit(visitId: string) {
  const query = useAsk(visitsKeys, routes.showVisit, { visitId }, { about: ABOUT });
  const { entries, taken } = useOutbox();
  const { data, dataUpdatedAt } = query;
  const queued = useMemo<QueuedView | null>(() => (data ? withQueued(data, entries, taken, dataUpdatedAt) : null), [data, dataUpdatedAt, entries, taken]);
  return { query, queued };
}

/** Under whose name this device keeps drafts and waiting entries. */
export function useOwner(): string {
  const me = useMe();
  return `${me.company.id}/${me.userId}`;
}

/** Checks of a visit that are half-entered on this device. */
export function useDrafts(visitId: string): readonly string[] {
  const owner = useOwner();
  const turn = useSyncExternalStore(watchDrafts, draftTurn);
  return useMemo(() => draftsOf(owner, visitId), [owner, visitId, turn]);
}
