import { type Me, routes } from '@bellround/contracts';
import { type QueryClient, useQuery, useQueryClient } from '@tanstack/react-query';
import { type ReactNode, useEffect, useState } from 'react';
import { SignInScreen } from '../features/identity/ui/sign-in-screen.js';
import { meOptions } from '../features/identity/api/me.js';
import { isProblem } from '../shared/client.js';
import { outboxBelongsTo } from '../shared/device-outbox.js';
import { keptMe, keepMe } from '../shared/kept-me.js';
import { useLiveChanges } from '../shared/live.js';
import { MeProvider } from '../shared/session.js';
import { Loading, ProblemBox } from '../shared/ui/index.js';

/**
 * Shows the app to somebody signed in. Without a network it goes on for whoever was last signed in on this device, so that
 * a technician in a cellar can reload; the server still refuses what their session may not do.
 */
export function SignInGate({ children }: { children: ReactNode }) {
  const client = useQueryClient();
  const query = useQuery(meOptions());
  const isOut = isProblem(query.error, 'NotSignedIn');
  const isAway = isProblem(query.error, 'Unreachable', 'Unavailable');
  const me: Me | null = isOut ? null : query.data ?? (isAway ? keptMe() : null);

  useEffect(() => {
    if (query.data && !isOut) keepMe(query.data);
    if (isOut) keepMe(null);
  }, [query.data, isOut]);
  useEffect(() => outboxBelongsTo(me?.company.id ?? null, me?.userId ?? null), [me?.company.id, me?.userId]);
  useSignedOutNotice(client);
  const [held, setHeld] = useState<Me | null>(null);
  useEffect(() => { if (me) setHeld(me); }, [me]);
  const welcome = (signedIn: Me) => {
    if (held?.userId !== signedIn.userId) {
      setHeld(null);
      client.removeQueries({ predicate: (one) => one.queryKey[1] !== routes.me.name });
    }
    client.setQueryData(meOptions().queryKey, signedIn);
    void client.invalidateQueries({ predicate: (one) => one.queryKey[1] !== routes.me.name });
  };
  const signIn = <SignInScreen onSignedIn={welcome} />;
  useLiveChanges(query.data !== undefined && !isOut);

  const here = me ?? held;
  if (here) {
    return (
      <>
        {me ? null : signIn}
        {/* An ended session hides the page but keeps it: who signs in again goes on where they were. */}
        <div hidden={!me} key={here.userId}><MeProvider me={here}>{children}</MeProvider></div>
      </>
    );
  }
  if (isOut) return signIn;
  if (query.error) return <main className="page slim"><h1>Bellround</h1><ProblemBox problem={query.error} onRetry={() => void query.refetch()} /></main>;
  return <main className="page"><Loading what="who is signed in" /></main>;
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
