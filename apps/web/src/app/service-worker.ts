// The service worker: keeps the app itself (page, scripts, styles, type) on the device, so that it opens without a network.
// It never keeps an answer of /api: what a person may see is kept by shared/day-pack.ts, under their name, and wiped with it.
// The build puts two constants before this text: the files to keep, and a digest of them all.

interface Waiting extends Event { waitUntil(work: Promise<unknown>): void }
interface Asked extends Event { readonly request: Request; respondWith(answer: Promise<Response>): void }
interface Told extends Event { readonly data: unknown }
interface KeeperScope {
  readonly location: Location;
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(kind: 'install' | 'activate', listener: (event: Waiting) => void): void;
  addEventListener(kind: 'fetch', listener: (event: Asked) => void): void;
  addEventListener(kind: 'message', listener: (event: Told) => void): void;
}
declare const KEPT_FILES: readonly string[];
declare const KEPT_VERSION: string;

const scope = globalThis as unknown as KeeperScope;
const PREFIX = 'bellround-app-';
const NAME = `${PREFIX}${KEPT_VERSION}`;
const AT_ONCE = 6;

/** Names under /assets carry a digest of their content: a copy of an older version is the same file. */
async function copyKeptBefore(path: string): Promise<Response | undefined> {
  return path.startsWith('/assets/') ? caches.match(path) : undefined;
}

/** Fetches what is missing. A fetch that fails ends the install; the next try goes on where this one stopped. */
async function keepAll(): Promise<void> {
  const cache = await caches.open(NAME);
  const missing: string[] = [];
  for (const path of KEPT_FILES) if (!(await cache.match(path))) missing.push(path);
  const work = async () => {
    for (let path = missing.pop(); path !== undefined; path = missing.pop()) {
      const before = await copyKeptBefore(path);
      const answer = before ?? (await fetch(path, { cache: path.startsWith('/assets/') ? 'default' : 'no-cache', credentials: 'same-origin' }));
      if (!answer.ok) throw new Error(`${path} answered ${answer.status}`);
      await cache.put(path, answer);
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, work));
}

async function dropOlder(): Promise<void> {
  for (const name of await caches.keys()) if (name.startsWith(PREFIX) && name !== NAME) await caches.delete(name);
  await scope.clients.claim();
}

/** The kept page and its scripts belong to one version: they are answered together, from here, and quickly. */
async function answer(request: Request, path: string): Promise<Response> {
  const cache = await caches.open(NAME);
  const kept = await cache.match(path);
  return kept ?? fetch(request);
}

scope.addEventListener('install', (event) => event.waitUntil(keepAll()));
scope.addEventListener('activate', (event) => event.waitUntil(dropOlder()));
scope.addEventListener('message', (event) => { if (event.data === 'take-over') void scope.skipWaiting(); });
scope.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== scope.location.origin || url.pathname.startsWith('/api')) return;
  if (request.mode === 'navigate') event.respondWith(answer(request, '/'));
  else if (KEPT_FILES.includes(url.pathname)) event.respondWith(answer(request, url.pathname));
});

export {};
