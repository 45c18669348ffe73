import type { AuditorLinkRow } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { momentWords } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, ConfirmDialog, Empty, Loaded, Mark, Page, Table, useToast } from '../../../shared/ui/index.js';
import { useAuditorLinks, useRevokeAuditorLink } from '../api/auditing.js';
import { MakeAddress } from './make-address.js';
import { phrase } from '../../../shared/language/index.js';

/** Read-only addresses for those who must be able to look: a building's owner, an insurer, an authority. */
export function AuditorsScreen() {
  const isOwner = useMay('own');
  const [isMaking, setMaking] = useState(false);
  if (!isOwner) return <Page title={phrase('auditing.auditors')} slim><Empty title={phrase('auditing.only-an-owner-hands-out-addresses-to')}>{phrase('auditing.ask-an-owner-of-your-company')}</Empty></Page>;
  return (
    <Page title={phrase('auditing.auditors')} lead={phrase('auditing.an-address-opens-the-sites-you-name')}
      actions={<Button kind="do" onClick={() => setMaking(true)}>{phrase('auditing.make-an-address')}</Button>}>
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
      <Loaded query={links} what={phrase('auditing.the-addresses')}>{({ rows }) => (rows.length === 0
        ? <Empty title={phrase('auditing.no-address-was-handed-out-yet')} action={<Button onClick={onMake}>{phrase('auditing.make-the-first-one')}</Button>}>{phrase('auditing.make-one-when-somebody-outside-asks-to')}</Empty>
        : <Table<AuditorLinkRow> caption={phrase('auditing.addresses-for-auditors')} rows={rows} rowKey={(row) => row.id} columns={[
          { key: 'for', title: phrase('auditing.for'), cell: (row) => row.forWhom },
          { key: 'state', title: phrase('auditing.state'), cell: (row) => <StateOf row={row} zone={zone} /> },
          { key: 'sites', title: phrase('auditing.opens'), cell: (row) => <SitesOf row={row} /> },
          { key: 'made', title: phrase('auditing.made'), cell: (row) => phrase('auditing.createdat-by-createdby', { createdAt: momentWords(row.createdAt, zone), createdBy: row.createdBy }) },
          { key: 'do', title: '', cell: (row) => (row.state === 'open' ? <Button size="small" kind="danger" onClick={() => setEnding(row)}>{phrase('auditing.revoke')}</Button> : null) },
        ]} />)}</Loaded>
      {ending ? <Revoke link={ending} onClose={() => setEnding(null)} /> : null}
    </>
  );
}

function StateOf({ row, zone }: { row: AuditorLinkRow; zone: string }) {
  if (row.state === 'revoked') return <><Mark shape="fallen">{phrase('auditing.revoked')}</Mark><br /><span className="small">{momentWords(row.revokedAt!, zone)}</span></>;
  if (row.state === 'expired') return <><Mark shape="absent">{phrase('auditing.over')}</Mark><br /><span className="small">{phrase('auditing.since-expiresat', { expiresAt: momentWords(row.expiresAt, zone) })}</span></>;
  return <><Mark shape="whole" tone="good">{phrase('auditing.open')}</Mark><br /><span className="small">{phrase('auditing.until-expiresat', { expiresAt: momentWords(row.expiresAt, zone) })}</span></>;
}

function SitesOf({ row }: { row: AuditorLinkRow }) {
  const links = row.sites.map((site) => <li key={site.siteId}><Link to={`/sites/${site.siteId}`}>{site.name}</Link></li>);
  if (row.sites.length <= 2) return <ul>{links}</ul>;
  return <details><summary>{phrase('count.site', { n: row.sites.length })}</summary><ul>{links}</ul></details>;
}

function Revoke({ link, onClose }: { link: AuditorLinkRow; onClose: () => void }) {
  const say = useToast();
  const revoke = useRevokeAuditorLink();
  return (
    <ConfirmDialog title={phrase('auditing.revoke-the-address-for-forwhom', { forWhom: link.forWhom })} words={phrase('auditing.revoke-address')} danger busy={revoke.isPending} problem={revoke.error} onClose={onClose}
      onConfirm={() => revoke.mutate({ linkId: link.id }, { onSuccess: () => { say(phrase('auditing.revoked-the-address-for-forwhom-opens-nothing', { forWhom: link.forWhom })); onClose(); } })}>
      {phrase('auditing.it-opens-nothing-from-that-moment-on')}
    </ConfirmDialog>
  );
}

