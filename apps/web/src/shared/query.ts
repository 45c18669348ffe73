import { type AnswerOf, type AskOf, type Route } from '@bellround/contracts';
import {
  type QueryKey, QueryClient, keepPreviousData, queryOptions, useMutation, useQuery, useQueryClient,
} from '@tanstack/react-query';
import { ask, isProblem } from './client.js';
import { askKeeping } from './day-pack.js';

/** Tries again only what may come right by itself: no answer, or the server away. A refusal is an answer. */
function worthTrying(failures: number, error: unknown): boolean {
  return failures < 2 && isProblem(error, 'Unreachable', 'Unavailable');
}

export function createQueryClient(): QueryClient {
  return new QueryClient({
    defaultOptions: {
      queries: { staleTime: 15_000, gcTime: 30 * 60_000, retry: worthTrying, refetchOnWindowFocus: true, networkMode: 'always' },
      mutations: { retry: false, networkMode: 'always' },
    },
  });
}

export interface Keys {
  readonly all: readonly [string];
  of<R extends Route>(route: R, input: AskOf<R>): QueryKey;
  route(route: Route): QueryKey;
}

/** One factory per capability: `const keys = keysOf('fleet')`. `keys.all` covers every query of the capability. */
export function keysOf(capability: string): Keys {
  return {
    all: [capability],
    of: (route, input) => [capability, route.name, input],
    route: (route) => [capability, route.name],
  };
}

export interface AskMeta {
  /** subject kinds of live notices that make this stale; absent: any notice does */
  readonly about?: readonly string[];
  /** only notices of this site, or of no site, make it stale */
  readonly siteId?: string;
}

/** Query options of a route: for `useQuery`, `prefetchQuery` and route loaders. */
export function askOptions<R extends Route>(keys: Keys, route: R, input: AskOf<R>, meta: AskMeta = {}) {
  return queryOptions<AnswerOf<R>>({
    queryKey: keys.of(route, input),
    // What is on screen is never older than the pack: without an answer it stays, with the time at which it was true.
    queryFn: ({ signal, client, queryKey }) => askKeeping(route, input, signal, client.getQueryData(queryKey) === undefined),
    meta: { ...meta },
  });
}

export interface AskSettings extends AskMeta {
  readonly enabled?: boolean;
  /** shows the last page while the next loads */
  readonly keep?: boolean;
  readonly refetchInterval?: number | false;
  readonly staleTime?: number;
}

/** Asks a route and stays up to date through live notices. */
export function useAsk<R extends Route>(keys: Keys, route: R, input: AskOf<R>, settings: AskSettings = {}) {
  const { enabled = true, keep = false, refetchInterval = false, staleTime, ...meta } = settings;
  return useQuery({
    ...askOptions(keys, route, input, meta),
    enabled, refetchInterval,
    ...(staleTime === undefined ? {} : { staleTime }),
    ...(keep ? { placeholderData: keepPreviousData } : {}),
  });
}

export interface ActSettings<R extends Route> {
  /** keys to ask again once it is done: `fleetKeys.all`, `keys.route(routes.x)`. 'everything' asks all again. */
  readonly refresh?: readonly QueryKey[] | 'everything';
  readonly onDone?: (answer: AnswerOf<R>, input: AskOf<R>) => void;
}

/** Does an act by its route: `const add = useAct(routes.addUser, { refresh: [keys.all] }); add.mutate(input)`. */
export function useAct<R extends Route>(route: R, settings: ActSettings<R> = {}) {
  const client = useQueryClient();
  return useMutation<AnswerOf<R>, Error, AskOf<R>>({
    mutationFn: (input) => ask(route, input),
    onSuccess: async (answer, input) => {
      const refresh = settings.refresh ?? [];
      if (refresh === 'everything') void client.invalidateQueries();
      else for (const queryKey of refresh) void client.invalidateQueries({ queryKey });
      settings.onDone?.(answer, input);
    },
  });
}
