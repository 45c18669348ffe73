import type { LeaverReport, UserRow } from '@bellround/contracts';
import { Link } from 'react-router';
import { momentWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Drawer, Loaded, Mark, Section } from '../../../shared/ui/index.js';
import { useLeaverReport } from '../api/entry-codes.js';
import { phrase } from '../../../shared/language/index.js';

/** What somebody still knows or holds: the codes to change and the keys to collect. */
export function LeaverDrawer({ user, onClose }: { user: UserRow; onClose: () => void }) {
  const report = useLeaverReport(user.id);
  return (
    <Drawer title={phrase('identity.what-name-knows-and-holds', { name: user.name })} onClose={onClose}>
      <Loaded query={report} what={phrase('identity.what-they-know-and-hold')}>{(shown) => <Report report={shown} />}</Loaded>
    </Drawer>
  );
}

function Report({ report }: { report: LeaverReport }) {
  const { timeZone } = useMe().company;
  return (
    <>
      <Section title={report.codes.length === 0 ? phrase('identity.no-code-to-change') : phrase('identity.codes-to-change', { codes: phrase('count.code', { n: report.codes.length }) })}>
        {report.codes.length === 0 ? <p><Mark shape="whole" tone="good">{phrase('identity.no-code-they-saw-is-still-in')}</Mark></p> : (
          <ul>{report.codes.map((one) => <li key={one.keyId}><Link to={`/sites/${one.siteId}`}>{one.siteName}</Link>{phrase('identity.address-label-seen-times-last-lastseenat-the', { address: one.address, label: one.label, times: phrase('count.time', { n: one.times }), lastSeenAt: momentWords(one.lastSeenAt, timeZone), setAt: momentWords(one.setAt, timeZone) })}</li>)}</ul>
        )}
      </Section>
      <Section title={report.keys.length === 0 ? phrase('identity.no-key-to-collect') : phrase('identity.keys-to-collect', { keys: phrase('count.key', { n: report.keys.length }) })}>
        {report.keys.length === 0 ? <p className="quiet">{phrase('identity.no-key-is-recorded-in-their-custody')}</p> : <ul>{report.keys.map((one) => <li key={one.keyId}><Link to={`/sites/${one.siteId}`}>{one.siteName}</Link>{phrase('identity.label-kind-since-since', { label: one.label, kind: one.kind, since: momentWords(one.since, timeZone) })}</li>)}</ul>}
      </Section>
      <p className="small quiet">{phrase('identity.a-code-leaves-this-list-when-it')}</p>
    </>
  );
}
