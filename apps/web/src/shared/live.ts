import { type ChangeNotice, changesRoute } from '@bellround/contracts';
import { type Query, type QueryClient, useQueryClient } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import type { AskMeta } from './query.js';

/** Whether a notice makes a query stale: 'everything' always; a query that names its subjects only by those. */
export function concerns(notice: ChangeNotice, meta: AskMeta | undefined): boolean {
  if (notice.about === 'everything') return true;
  if (meta?.about && !meta.about.includes(notice.about)) return false;
  if (meta?.siteId && notice.siteId && meta.siteId !== notice.siteId) return false;
  return true;
}

function refresh(client: QueryClient, notices: readonly ChangeNotice[]): void {
  void client.invalidateQueries({ predicate: (query: Query) => notices.some((notice) => concerns(notice, query.meta as AskMeta | undefined)) });
}

/** Notices of a burst (an import, a publish) are gathered this long before screens ask again. */
const GATHER_MS = 400;

/**
 * Listens to live notices and refreshes what they concern. After a break it refreshes everything once, since notices of
 * the break are lost. Answers whether the line is up.
 */
export function useLiveChanges(enabled: boolean): boolean {
  const client = useQueryClient();
  const [up, setUp] = useState(true);
  useEffect(() => {
    if (!enabled) return undefined;
    const waiting = new Map<string, ChangeNotice>();
    let timer: ReturnType<typeof setTimeout> | undefined;
    let broken = false;
    const gather = (notice: ChangeNotice) => {
      waiting.set(`${notice.about} ${notice.siteId ?? ''}`, notice);
      timer ??= setTimeout(() => { timer = undefined; refresh(client, [...waiting.values()]); waiting.clear(); }, GATHER_MS);
    };
    // The browser opens it again by itself after a break; it gives up only on an answer that is no stream (signed out).
    const source = new EventSource(changesRoute.path);
    source.onopen = () => { setUp(true); if (broken) gather({ about: 'everything', siteId: null }); broken = false; };
    source.onerror = () => { broken = true; setUp(false); };
    source.onmessage = (event: MessageEvent<string>) => gather(JSON.parse(event.data) as ChangeNotice);
    return () => { source.close(); clearTimeout(timer); };
  }, [client, enabled]);
  return up;
}
