import { Suspense, lazy } from 'react';
import { Navigate, createBrowserRouter } from 'react-router';
import { useMe } from '../shared/session.js';
import { Loading, Region } from '../shared/ui/index.js';
import { AuditFrame } from './audit-frame.js';
import { NowhereScreen } from './nowhere.js';
import { type Screen, contentsOf, screens } from './screens.js';
import { Shell } from './shell.js';
import { SignInGate } from './sign-in-gate.js';

function lazyScreen({ path, load }: Screen) {
  const Content = lazy(load);
  return <Region key={path} name={path}><Suspense fallback={<div className="page"><Loading /></div>}><Content /></Suspense></Region>;
}

/** Each person begins at what they look at first. */
function Home() {
  const [first] = contentsOf(useMe().role);
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
