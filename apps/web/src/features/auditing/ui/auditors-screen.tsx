import type { AuditorLinkRow } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { countWords, momentWords } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, ConfirmDialog, Empty, Loaded, Mark, Page, Table, useToast } from '../../../shared/ui/index.js';
import { useAuditorLinks, useRevokeAuditorLink } from '../api/auditing.js';
import { MakeAddress } from './make-address.js';

/** Read-only addresses for those who must be able to look: a building's owner, an insurer, an authority. */
export function AuditorsScreen() {
  const isOwner = useMay('own');
  const [isMaking, setMaking] = useState(false);
  if (!isOwner) return <Page title="Auditors" slim><Empty title="Only an owner hands out addresses to auditors">Ask an owner of your company.</Empty></Page>;
  return (
    <Page title="Auditors" lead="An address opens the sites you name, read only, until a day, without a sign-in. It shows strips, readings, deficiencies and sources; no keys, codes, contacts or notes."
      actions={<Button kind="do" onClick={() => setMaking(true)}>Make an address</Button>}>
      <Addresses onMake={() => setMaking(true)} />
      {isMaking ? <MakeAddress onClose={() => setMaking(false)} /> : null}
    </Page>
  );
}

function Addresses({ onMake }: { onMake: () => void }) {
  const links = useAuditorLinks();
  const zone = useMe().company.timeZone;
  const [ending, setEnding] = useState<AuditorLinkRow | null>(null);
  return (
    <>
      <Loaded query={links} what="the addresses">{({ rows }) => (rows.length === 0
        ? <Empty title="No address was handed out yet" action={<Button onClick={onMake}>Make the first one</Button>}>Make one when somebody outside asks to see the proof of some sites.</Empty>
        : <Table<AuditorLinkRow> caption="Addresses for auditors" rows={rows} rowKey={(row) => row.id} columns={[
          { key: 'for', title: 'For', cell: (row) => row.forWhom },
          { key: 'state', title: 'State', cell: (row) => <StateOf row={row} zone={zone} /> },
          { key: 'sites', title: 'Opens', cell: (row) => <SitesOf row={row} /> },
          { key: 'made', title: 'Made', cell: (row) => `${momentWords(row.createdAt, zone)} by ${row.createdBy}` },
          { key: 'do', title: '', cell: (row) => (row.state === 'open' ? <Button size="small" kind="danger" onClick={() => setEnding(row)}>Revoke</Button> : null) },
        ]} />)}</Loaded>
      {ending ? <Revoke link={ending} onClose={() => setEnding(null)} /> : null}
    </>
  );
}

function StateOf({ row, zone }: { row: AuditorLinkRow; zone: string }) {
  if (row.state === 'revoked') return <><Mark shape="fallen">revoked</Mark><br /><span className="small">{momentWords(row.revokedAt!, zone)}</span></>;
  if (row.state === 'expired') return <><Mark shape="absent">over</Mark><br /><span className="small">since {momentWords(row.expiresAt, zone)}</span></>;
  return <><Mark shape="whole" tone="good">open</Mark><br /><span className="small">until {momentWords(row.expiresAt, zone)}</span></>;
}

function SitesOf({ row }: { row: AuditorLinkRow }) {
  const links = row.sites.map((site) => <li key={site.siteId}><Link to={`/sites/${site.siteId}`}>{site.name}</Link></li>);
  if (row.sites.length <= 2) return <ul>{links}</ul>;
  return <details><summary>{countWords(row.sites.length, 'site')}</summary><ul>{links}</ul></details>;
}

function Revoke({ link, onClose }: { link: AuditorLinkRow; onClose: () => void }) {
  const say = useToast();
  const revoke = useRevokeAuditorLink();
  return (
    <ConfirmDialog title={`Revoke the address for ${link.forWhom}?`} words="Revoke address" danger busy={revoke.isPending} problem={revoke.error} onClose={onClose}
      onConfirm={() => revoke.mutate({ linkId: link.id }, { onSuccess: () => { say(`Revoked: the address for ${link.forWhom} opens nothing any more`); onClose(); } })}>
      It opens nothing from that moment on, and cannot be opened again.
    </ConfirmDialog>
  );
}

