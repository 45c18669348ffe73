import { type Me, routes } from '@bellround/contracts';
import { type QueryClient, useQuery, useQueryClient } from '@tanstack/react-query';
import { type ReactNode, useEffect, useRef, useState } from 'react';
import { SignInScreen } from '../features/identity/ui/sign-in-screen.js';
import { meOptions } from '../features/identity/api/me.js';
import { isProblem } from '../shared/client.js';
import { isContactTooOld, OFFLINE_HOURS, useContact } from '../shared/contact.js';
import { dayPackBelongsTo } from '../shared/day-pack.js';
import { outbox, outboxBelongsTo } from '../shared/device-outbox.js';
import { keptMe, keepMe } from '../shared/kept-me.js';
import { leaveDevice } from '../shared/leave-device.js';
import { useLiveChanges } from '../shared/live.js';
import { MeProvider } from '../shared/session.js';
import { Loading, ProblemBox } from '../shared/ui/index.js';
import { useNow } from '../shared/use-now.js';
import { phrase } from '../shared/language/index.js';

/**
 * Shows the app to somebody signed in. Without a network it goes on for whoever was last signed in on this device, so that
 * a technician in a cellar can reload; the server still refuses what their session may not do. What could be read here is
 * wiped as soon as the server says that the session has ended, and after a day without any word of it.
 */
export function SignInGate({ children }: { children: ReactNode }) {
  const client = useQueryClient();
  const query = useQuery(meOptions());
  const isOut = isProblem(query.error, 'NotSignedIn');
  const isAway = isProblem(query.error ?? query.failureReason, 'Unreachable', 'Unavailable');
  const isShut = useShutAfterADay(isAway);
  const me: Me | null = isOut || isShut ? null : query.data ?? (isContactTooOld() ? null : keptMe());

  useEffect(() => {
    if (query.data && !isOut) keepMe(query.data);
    if (isOut) void leaveDevice();
  }, [query.data, isOut]);
  useEffect(() => {
    outboxBelongsTo(me?.company.id ?? null, me?.userId ?? null);
    if (me) void dayPackBelongsTo(me.company.id, me.userId);
    // Ids tell people apart; another object of the same person changes nothing.
  }, [me?.company.id, me?.userId]);
  useReturnOfContact(client);
  useSignedOutNotice(client);
  const [held, setHeld] = useState<Me | null>(null);
  useEffect(() => { if (me) setHeld((before) => (before?.userId === me.userId && before.role === me.role ? before : me)); }, [me]);
  const welcome = (signedIn: Me) => {
    if (held?.userId !== signedIn.userId) {
      setHeld(null);
      client.removeQueries({ predicate: (one) => one.queryKey[1] !== routes.me.name });
    }
    client.setQueryData(meOptions().queryKey, signedIn);
    void client.invalidateQueries({ predicate: (one) => one.queryKey[1] !== routes.me.name });
  };
  const signIn = <SignInScreen onSignedIn={welcome} {...(isShut ? { notice: phrase('app.this-device-has-had-no-word-from', { OFFLINE_HOURS }) } : {})} />;
  useLiveChanges(query.data !== undefined && !isOut);

  const here = me ?? (isShut ? null : held);
  if (here) {
    return (
      <>
        {me ? null : signIn}
        {/* An ended session hides the page but keeps it: who signs in again goes on where they were. */}
        <div hidden={!me} key={here.userId}><MeProvider me={here}>{children}</MeProvider></div>
      </>
    );
  }
  if (isOut || isShut) return signIn;
  if (query.error) return <main className="page slim"><h1>{phrase('app.bellround')}</h1><ProblemBox problem={query.error} onRetry={() => void query.refetch()} /></main>;
  return <main className="page"><Loading what={phrase('app.who-is-signed-in')} /></main>;
}

/** After a day without contact the device forgets what could be read on it: a leaver's phone is shut by then. */
function useShutAfterADay(isAway: boolean): boolean {
  const client = useQueryClient();
  const now = useNow(60_000);
  const isShut = isAway && isContactTooOld(now.getTime());
  useEffect(() => {
    if (!isShut) return;
    void leaveDevice();
    client.removeQueries({ predicate: (one) => one.queryKey[1] !== routes.me.name });
  }, [isShut, client]);
  const [wasShut, setShut] = useState(false);
  // leaveDevice forgets the contact by which the day was counted; what was shut stays shut until somebody signs in.
  useEffect(() => { if (isShut) setShut(true); else if (!isAway) setShut(false); }, [isShut, isAway]);
  return isShut || (wasShut && isAway);
}

/** Once the server answers again, screens ask again and what waits is sent. */
function useReturnOfContact(client: QueryClient): void {
  const { isUp } = useContact();
  const before = useRef(isUp);
  useEffect(() => {
    if (isUp === true && before.current === false) {
      void client.invalidateQueries();
      void outbox.flush();
    }
    before.current = isUp;
  }, [isUp, client]);
}

/** Any answer 'sign in first', to a question or an act, shows the sign-in over the page it came from. */
function useSignedOutNotice(client: QueryClient): void {
  useEffect(() => {
    const ask = () => void client.invalidateQueries({ queryKey: meOptions().queryKey });
    const stopQueries = client.getQueryCache().subscribe((event) => {
      if (event.type === 'updated' && event.action.type === 'error' && isProblem(event.action.error, 'NotSignedIn') && event.query.queryKey[1] !== routes.me.name) ask();
    });
    const stopActs = client.getMutationCache().subscribe((event) => {
      if (event.type === 'updated' && event.action.type === 'error' && isProblem(event.action.error, 'NotSignedIn')) ask();
    });
    return () => { stopQueries(); stopActs(); };
  }, [client]);
}
