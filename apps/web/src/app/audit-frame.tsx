import { Outlet, ScrollRestoration } from 'react-router';
import { phrase } from '../shared/language/index.js';

/** The frame around what an auditor's address opens: no contents, no sign-in, and what this is not. */
export function AuditFrame() {
  return (
    <div className="shell-page">
      <main id="leaf"><Outlet /></main>
      <footer className="shell-foot"><p>{phrase('app.read-only-local-codes-and-licensed-practice')}</p></footer>
      <ScrollRestoration />
    </div>
  );
}
