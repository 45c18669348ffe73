import { Outlet, ScrollRestoration } from 'react-router';

/** The frame around what an auditor's address opens: no contents, no sign-in, and what this is not. */
export function AuditFrame() {
  return (
    <div className="shell-page">
      <main id="leaf"><Outlet /></main>
      <footer className="shell-foot"><p>Read only. Local codes and licensed practice prevail. A record here shows what was checked and when; it is no certificate of compliance. Bellround is no alarm-receiving centre: it dispatches nobody.</p></footer>
      <ScrollRestoration />
    </div>
  );
}
