import { type AnswerOf, type AskOf, type Route, routes } from '@bellround/contracts';
import { clear, createStore, del, get, keys, set, type UseStore } from 'idb-keyval';
import { useSyncExternalStore } from 'react';
import { ask, isProblem } from './client.js';
import { noteSilence } from './contact.js';

// The day pack: answers that a technician needs for a day without a network, kept under the signed-in person's name. Only
// answers of the routes below, and never an entry code: those are asked for one by one and kept nowhere.

/** What each visit's page asks: fetched and let go of together. */
export const VISIT_ROUTES = [routes.showVisit, routes.showRoundTrip, routes.showEvidence] as const;

/** Which answers are kept, and what tells one from another. Null: this question is not of the pack. */
const OF_THE_PACK: Readonly<Record<string, (input: Record<string, unknown>) => string | null>> = {
  [routes.myRound.name]: (input) => (input['technicianId'] === undefined && input['from'] === undefined ? 'mine' : null),
  ...Object.fromEntries(VISIT_ROUTES.map((route) => [route.name, (input: Record<string, unknown>) => String(input['visitId'])])),
  [routes.openHolds.name]: () => 'all',
};

export interface KeptAnswer { readonly at: string; readonly answer: unknown }

/** What stands of the day pack, told in the shell and under Settings. */
export interface DayPackState {
  /** instant of the last round fetched, this device's clock; null: none is here */
  readonly at: string | null;
  /** visits of today and tomorrow that are here, of so many */
  readonly visits: number;
  readonly of: number;
  /** why some are missing */
  readonly trouble: 'full' | 'no-answer' | null;
}

const STATE_KEY = 'bellround.day-pack';
const NOTHING: DayPackState = { at: null, visits: 0, of: 0, trouble: null };
let store: UseStore | null = null;
let owner: string | null = null;
let state: DayPackState = readState();
const watchers = new Set<() => void>();

const answers = (): UseStore => (store ??= createStore('bellround-day-pack', 'answers'));

function readState(): DayPackState {
  try {
    return { ...NOTHING, ...(JSON.parse(globalThis.localStorage?.getItem(STATE_KEY) ?? '{}') as Partial<DayPackState>) };
  } catch {
    return NOTHING;
  }
}

export function setDayPackState(next: DayPackState): void {
  state = next;
  try {
    if (next.at === null) localStorage.removeItem(STATE_KEY);
    else localStorage.setItem(STATE_KEY, JSON.stringify(next));
  } catch { /* storage is off or full: it holds for this page */ }
  for (const watcher of watchers) watcher();
}

export function useDayPack(): DayPackState {
  return useSyncExternalStore((watcher) => { watchers.add(watcher); return () => watchers.delete(watcher); }, () => state);
}

/** Under which name an answer is kept; null: it is not kept at all. */
export function packKey(whose: string | null, route: Route, input: unknown): string | null {
  const part = OF_THE_PACK[route.name]?.((input ?? {}) as Record<string, unknown>) ?? null;
  return whose === null || part === null ? null : `${whose} ${route.name} ${part}`;
}

/** Says whose pack this device keeps now; another person's is wiped. */
export async function dayPackBelongsTo(companyId: string, userId: string): Promise<void> {
  owner = `${companyId}/${userId}`;
  const foreign = (await keys<string>(answers()).catch(() => [])).filter((key) => !key.startsWith(`${owner} `));
  if (foreign.length > 0) setDayPackState(NOTHING);
  for (const key of foreign) await del(key, answers());
}

/** Wipes all that was kept for reading: at sign-out, when access has ended, and after a day without contact. */
export async function wipeDayPack(): Promise<void> {
  owner = null;
  setDayPackState(NOTHING);
  await clear(answers()).catch(() => undefined);
}

/** Keeps an answer. Throws when the device has no room. */
export async function keepAnswer<R extends Route>(route: R, input: AskOf<R>, answer: AnswerOf<R>): Promise<void> {
  const key = packKey(owner, route, input);
  if (key !== null) await set(key, { at: new Date().toISOString(), answer } satisfies KeptAnswer, answers());
}

export async function keptAnswer<R extends Route>(route: R, input: AskOf<R>): Promise<{ at: string; answer: AnswerOf<R> } | null> {
  const key = packKey(owner, route, input);
  if (key === null) return null;
  return ((await get<KeptAnswer>(key, answers()).catch(() => undefined)) ?? null) as { at: string; answer: AnswerOf<R> } | null;
}

/** Lets go of visits that are no longer of the pack, so that it holds a day and not a history. */
export async function keepOnlyVisits(visitIds: readonly string[]): Promise<void> {
  const wanted = new Set(VISIT_ROUTES.flatMap((route) => visitIds.map((visitId) => packKey(owner, route, { visitId }))));
  const isOfAVisit = (key: string) => VISIT_ROUTES.some((route) => key.includes(` ${route.name} `));
  for (const key of await keys<string>(answers()).catch(() => [])) if (isOfAVisit(key) && !wanted.has(key)) await del(key, answers());
}

/** Every visit of the pack, for finding a device or a site without a network. */
export async function keptVisits(): Promise<readonly AnswerOf<typeof routes.showVisit>[]> {
  const own = (await keys<string>(answers()).catch(() => [])).filter((key) => owner !== null && key.startsWith(`${owner} ${routes.showVisit.name} `));
  const found = await Promise.all(own.map((key) => get<KeptAnswer>(key, answers())));
  return found.flatMap((one) => (one ? [one.answer as AnswerOf<typeof routes.showVisit>] : []));
}

/** A network that says nothing for so long is as good as none for a screen that has the answer already. */
const PATIENCE_MS = 6000;

/**
 * Asks the server; without an answer, answers from the pack what is in it, unless `isFirst` is false: then there is an
 * answer on screen already, and it is not replaced by an older one. What the server answers refreshes the pack; a device
 * without room answers all the same.
 */
export async function askKeeping<R extends Route>(route: R, input: AskOf<R>, signal?: AbortSignal, isFirst = true): Promise<AnswerOf<R>> {
  const asked = ask(route, input, signal).then((answer) => {
    void keepAnswer(route, input, answer).catch(() => undefined);
    return answer;
  });
  if (!isFirst || packKey(owner ?? 'nobody yet', route, input) === null) return asked;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const patience = new Promise<null>((resolve) => { timer = setTimeout(() => resolve(null), PATIENCE_MS); });
  try {
    const first = await Promise.race([asked, patience]);
    if (first !== null) return first;
    const kept = await keptAnswer(route, input);
    if (!kept) return await asked;
    noteSilence();
    return kept.answer;
  } catch (error) {
    const kept = isProblem(error, 'Unreachable', 'Unavailable') ? await keptAnswer(route, input) : null;
    if (kept) return kept.answer;
    throw error;
  } finally {
    clearTimeout(timer);
  }
}
