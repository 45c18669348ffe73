import type { CheckBody, CheckToDo, ExtendHold, HoldRow, KeepInstrument, OpenHold, PutBackByName, PutBackRow, VisitView } from '@bellround/contracts';
import type { OutboxEntry } from '../../shared/outbox.js';
import { phrase } from '../../shared/language/index.js';

/** How far a write has come: kept only on this device, refused by the house, or taken by it and not asked again yet. */
export type Way = 'waiting' | 'refused' | 'taken';
export interface QueuedHold extends HoldRow { readonly openingWay: Way | null; readonly extendingWay: Way | null; readonly closingWay: Way | null }
export interface QueuedPutBack extends PutBackRow { readonly takingOutWay: Way | null; readonly way: Way | null }

/** A visit as this phone knows it: what the house has answered, and on top of it what waits here, each marked as such. */
export interface QueuedView {
  readonly view: VisitView;
  readonly startWay: Way | null;
  readonly endWay: Way | null;
  readonly liveProofWay: Way | null;
  readonly holds: readonly QueuedHold[];
  readonly putBack: readonly QueuedPutBack[];
  readonly checks: ReadonlyMap<string, { readonly way: Way; readonly title: string }>;
  /** entries of this visit that only this device knows */
  readonly waiting: number;
  readonly refused: number;
}

interface Written { readonly route: string; readonly input: Record<string, unknown>; readonly title: string; readonly way: Way; readonly at: string }
const LAST = '9999-12-31T00:00:00.000Z';
export const checkKey = (one: { subjectId: string; checkKind: string }): string => `${one.subjectId} ${one.checkKind}`;

/** Lays what this device has entered for the visit over what the house has answered. `asked` is when that answer came (ms). */
export function withQueued(view: VisitView, entries: readonly OutboxEntry[], taken: readonly { entry: OutboxEntry; at: number }[], asked: number): QueuedView {
  const ofVisit = (entry: OutboxEntry) => entry.lane === view.visit.id && entry.state !== 'aside';
  const written: Written[] = [
    ...taken.filter((one) => ofVisit(one.entry) && one.at >= asked).map(({ entry }) => entry).map((entry) => ({ ...entry, input: entry.input as Record<string, unknown>, way: 'taken' as const })),
    ...entries.filter(ofVisit).map((entry) => ({ ...entry, input: entry.input as Record<string, unknown>, way: entry.state === 'refused' ? 'refused' as const : 'waiting' as const })),
  ];
  const last = (...routes: string[]): Way | null => written.filter((one) => routes.includes(one.route)).at(-1)?.way ?? null;
  const startWay = view.visit.state === 'open' ? null : last('openVisit');
  const endWay = last('closeVisit', 'stopVisit', 'recordAttempt');
  const isOpen = (view.visit.state === 'open' || (startWay !== null && startWay !== 'refused')) && (endWay === null || endWay === 'refused');
  const holds = holdsOf(view, written);
  // A live proof that a hold follows proves nothing of that hold.
  const afterHolds = written.slice(written.findLastIndex((one) => one.way !== 'refused' && (one.route === 'openHold' || one.route === 'closeHold')) + 1);
  const liveProofWay = afterHolds.filter((one) => one.route === 'liveProof').at(-1)?.way ?? null;
  return {
    view: { ...view, visit: { ...view.visit, state: isOpen ? 'open' : view.visit.state }, instruments: instrumentsOf(view, written) },
    startWay, endWay, liveProofWay, holds, putBack: putBackOf(view, written),
    checks: new Map(written.filter((one) => one.route === 'recordCheck').map((one) => [checkKey(one.input as unknown as CheckToDo), { way: one.way, title: one.title }])),
    waiting: written.filter((one) => one.way === 'waiting').length, refused: written.filter((one) => one.way === 'refused').length,
  };
}

function holdsOf(view: VisitView, written: readonly Written[]): QueuedHold[] {
  const holds = new Map<string, QueuedHold>(view.holds.map((hold) => [hold.id, { ...hold, openingWay: null, extendingWay: null, closingWay: null }]));
  for (const { route, input, way, at } of written) {
    if (route === 'openHold') {
      const { id, accountId, parts = [], stationReference, operatorName, untilAt } = input as unknown as OpenHold;
      const known = holds.get(id);
      if (!known && way !== 'refused') holds.set(id, {
        id, visitId: view.visit.id, accountId, accountNumber: view.accounts.find((one) => one.id === accountId)?.number ?? '', siteId: view.site.id, siteName: view.site.name, timeZone: view.site.timeZone, parts, stationReference, operatorName,
        openedAt: momentOf(input, at), untilAt, openedBy: '', closedAt: null, closeConfirmedBy: null, signalsReceived: null, openingWay: way, extendingWay: null, closingWay: null,
      });
    }
    const hold = holds.get(String(input['holdId'] ?? ''));
    if (!hold || way === 'refused') continue;
    if (route === 'extendHold') holds.set(hold.id, { ...hold, untilAt: (input as unknown as ExtendHold).untilAt, extendingWay: way });
    if (route === 'closeHold') holds.set(hold.id, { ...hold, closedAt: momentOf(input, at), closeConfirmedBy: String(input['confirmedBy']), signalsReceived: Number(input['signalsReceived']), closingWay: way });
  }
  return [...holds.values()];
}

function instrumentsOf(view: VisitView, written: readonly Written[]): VisitView['instruments'] {
  const added = written.filter((one) => one.route === 'keepInstrument' && one.way !== 'refused').map(({ input }) => input as unknown as KeepInstrument);
  return [...view.instruments.filter((one) => !added.some((fresh) => fresh.id === one.id)), ...added.map(({ id, kind, serial, calibratedTo = null }) => ({ id, kind, serial, calibratedTo }))];
}

const momentOf = (input: Record<string, unknown>, at: string): string => (typeof input['deviceClockAt'] === 'string' ? input['deviceClockAt'] : at);

/** What a check takes out of normal stands on the tray at once; the house says the same when it takes the check. */
function putBackOf(view: VisitView, written: readonly Written[]): QueuedPutBack[] {
  const items: QueuedPutBack[] = view.putBack.map((item) => ({ ...item, takingOutWay: null, way: null }));
  const outNow = (what: string) => items.findIndex((item) => item.what === what && item.putBackAt === null && item.handedTo === null);
  for (const { route, input, way, at } of written) {
    if (way === 'refused') continue;
    if (route === 'recordCheck') {
      const body = input as unknown as CheckBody;
      const isTried = body.outcome !== 'not-done' && (body.outcome !== 'excused' || Object.keys(body.readings ?? {}).length > 0);
      const out = [...(isTried ? view.definitions.find((one) => one.key === body.checkKind)?.disturbs ?? [] : []), ...(body.alsoOut ?? [])];
      for (const what of new Set(out)) if (outNow(what) === -1) items.push({ id: `${body.id} ${what}`, what, takenOutAt: momentOf(input, at), byCheckId: body.id, putBackAt: null, handedTo: null, handedReason: null, takingOutWay: way, way: null });
    }
    if (route === 'putBackByName') {
      const body = input as unknown as PutBackByName;
      const found = outNow(body.what);
      const item = items[found];
      if (item) items[found] = body.handTo ? { ...item, handedTo: body.handTo.to, handedReason: body.handTo.reason, way } : { ...item, putBackAt: momentOf(input, at), way };
    }
  }
  return items;
}

/** What stands between this phone's visit and its close, with what waits here counted as done but not as accepted. */
export function blocksOf(queued: QueuedView): string[] {
  const { view, holds, putBack, liveProofWay } = queued;
  const isAgainDone = (one: { checkKind: string }) => [...queued.checks].some(([key, check]) => key.endsWith(` ${one.checkKind}`) && check.way !== 'refused');
  return [
    ...holds.filter((hold) => hold.closedAt === null).map((hold) => phrase('visits.account-accountnumber-is-on-test-close-the', { accountNumber: hold.accountNumber })),
    ...putBack.filter((item) => item.putBackAt === null && item.handedTo === null).map((item) => phrase('visits.what-put-back-or-hand-over-by', { what: item.what })),
    ...view.owed.excused.filter((one) => !isAgainDone(one)).map((one) => phrase('visits.subjectname-excused-replaceall-owed-again', { subjectName: one.subjectName, replaceAll: one.excuseCode.replaceAll('-', ' ') })),
    ...view.owed.contradicted.filter((one) => !isAgainDone(one)).map((one) => `${one.subjectName}: ${one.words}`),
    ...(isLiveProofOwed(queued) && (liveProofWay === null || liveProofWay === 'refused') ? [phrase('visits.live-proof-is-missing-one-real-signal')] : []),
  ];
}

/** Live proof is owed after any hold; one that came before the last hold's close proves nothing. */
export function isLiveProofOwed({ view, holds, liveProofWay }: QueuedView): boolean {
  if (holds.length === 0 || (liveProofWay !== null && liveProofWay !== 'refused')) return false;
  const isChangedHere = holds.some((hold) => hold.openingWay !== null || hold.closingWay !== null);
  if (!isChangedHere) return view.owed.liveProofMissing;
  const ended = holds.map((hold) => hold.closedAt ?? LAST).sort().at(-1)!;
  return !view.facts.some((fact) => fact.kind === 'live-proof' && fact.at >= ended);
}
