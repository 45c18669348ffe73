import { type Me, routes } from '@bellround/contracts';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import { type ReactNode, useEffect } from 'react';
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
  useEffect(() => client.getQueryCache().subscribe((event) => {
    // Any answer 'sign in first' shows the sign-in over the page it came from; afterwards the page is still there.
    if (event.type === 'updated' && event.action.type === 'error' && isProblem(event.action.error, 'NotSignedIn') && event.query.queryKey[1] !== routes.me.name) {
      void client.invalidateQueries({ queryKey: meOptions().queryKey });
    }
  }), [client]);
  useLiveChanges(query.data !== undefined && !isOut);

  if (me) return <MeProvider me={me}>{children}</MeProvider>;
  if (isOut) return <SignInScreen onSignedIn={(signedIn) => { client.clear(); client.setQueryData(meOptions().queryKey, signedIn); }} />;
  if (query.error) return <main className="page slim"><h1>Bellround</h1><ProblemBox problem={query.error} onRetry={() => void query.refetch()} /></main>;
  return <main className="page"><Loading what="who is signed in" /></main>;
}
