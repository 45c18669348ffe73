import type { LeaverReport, UserRow } from '@bellround/contracts';
import { Link } from 'react-router';
import { countWords, momentWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Drawer, Loaded, Mark, Section } from '../../../shared/ui/index.js';
import { useLeaverReport } from '../api/entry-codes.js';

/** What somebody still knows or holds: the codes to change and the keys to collect. */
export function LeaverDrawer({ user, onClose }: { user: UserRow; onClose: () => void }) {
  const report = useLeaverReport(user.id);
  return (
    <Drawer title={`What ${user.name} knows and holds`} onClose={onClose}>
      <Loaded query={report} what="what they know and hold">{(shown) => <Report report={shown} />}</Loaded>
    </Drawer>
  );
}

function Report({ report }: { report: LeaverReport }) {
  const { timeZone } = useMe().company;
  return (
    <>
      <Section title={report.codes.length === 0 ? 'No code to change' : `${countWords(report.codes.length, 'code')} to change`}>
        {report.codes.length === 0 ? <p><Mark shape="whole" tone="good">No code they saw is still in use</Mark></p> : (
          <ul>{report.codes.map((one) => <li key={one.keyId}><Link to={`/sites/${one.siteId}`}>{one.siteName}</Link>, {one.address}: {one.label}. Seen {countWords(one.times, 'time')}, last {momentWords(one.lastSeenAt, timeZone)}; the code is of {momentWords(one.setAt, timeZone)}.</li>)}</ul>
        )}
      </Section>
      <Section title={report.keys.length === 0 ? 'No key to collect' : `${countWords(report.keys.length, 'key')} to collect`}>
        {report.keys.length === 0 ? <p className="quiet">No key is recorded in their custody.</p> : <ul>{report.keys.map((one) => <li key={one.keyId}><Link to={`/sites/${one.siteId}`}>{one.siteName}</Link>: {one.label} ({one.kind}), since {momentWords(one.since, timeZone)}</li>)}</ul>}
      </Section>
      <p className="small quiet">A code leaves this list when it is changed or ended on its site's page.</p>
    </>
  );
}
