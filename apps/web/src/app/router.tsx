import { Suspense, lazy } from 'react';
import { Navigate, createBrowserRouter } from 'react-router';
import { sentencesReady } from '../shared/language/said.js';
import { useMe } from '../shared/session.js';
import { Loading, Region } from '../shared/ui/index.js';
import { AuditFrame } from './audit-frame.js';
import { useNextStep } from './begin-line.js';
import { NowhereScreen } from './nowhere.js';
import { type Screen, contentsOf, screens } from './screens.js';
import { Shell } from './shell.js';
import { SignInGate } from './sign-in-gate.js';

function lazyScreen({ path, load }: Screen) {
  const Content = lazy(async () => (await Promise.all([load(), sentencesReady()]))[0]);
  return <Region key={path} name={path}><Suspense fallback={<div className="page"><Loading /></div>}><Content /></Suspense></Region>;
}

/** Each person begins at what they look at first; who plans for an empty company, at the way to fill it. */
function Home() {
  const [first] = contentsOf(useMe().role);
  const step = useNextStep();
  if (step === undefined) return <div className="page"><Loading /></div>;
  if (step.next && step.isEmpty) return <Navigate to="/begin" replace />;
  return <Navigate to={first?.path ?? '/settings'} replace />;
}

export function createRouter() {
  return createBrowserRouter([{
    // An auditor has no session: the address is the key, and nothing of the app stands around it.
    element: <AuditFrame />,
    children: [
      { path: '/audit/:secret', element: lazyScreen({ path: 'audit', word: null, load: () => import('./routes/audit.js') }) },
      { path: '/audit/:secret/sites/:siteId', element: lazyScreen({ path: 'audit-site', word: null, load: () => import('./routes/audit-site.js') }) },
    ],
  }, {
    element: <SignInGate><Shell /></SignInGate>,
    children: [
      { index: true, element: <Home /> },
      ...screens.map((screen) => ({ path: screen.path, element: lazyScreen(screen) })),
      { path: '*', element: <NowhereScreen /> },
    ],
  }]);
}
