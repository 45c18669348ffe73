import { routes } from '@bellround/contracts';
import { useInfiniteQuery } from '@tanstack/react-query';
import { ask } from '../../../shared/client.js';
import { identityKeys } from './keys.js';

const PAGE = 100;

/** Who did what, newest first, page after page; of one site when it is named. */
export function useActivity(siteId?: string) {
  const input = { ...(siteId ? { siteId } : {}), limit: PAGE };
  return useInfiniteQuery({
    queryKey: identityKeys.of(routes.activity, input),
    queryFn: ({ pageParam, signal }) => ask(routes.activity, { ...input, ...(pageParam ? { before: pageParam } : {}) }, signal),
    initialPageParam: '',
    getNextPageParam: (last) => (last.rows.length < PAGE ? undefined : last.rows.at(-1)!.at),
    ...(siteId ? { meta: { siteId } } : {}),
  });
}
