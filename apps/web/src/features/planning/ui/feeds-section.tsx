import { useState } from 'react';
import { momentWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, Loaded, Mark, ProblemBox, Section, Select, Table, useToast } from '../../../shared/ui/index.js';
import { useFeedOwners, useFeeds, useOpenFeed, useRevokeFeed } from '../api/feeds.js';

/** Secret calendar addresses of technicians' rounds: shown once, ended at once. */
export function FeedsSection() {
  const me = useMe();
  const feeds = useFeeds();
  const owners = useFeedOwners();
  const open = useOpenFeed();
  const revoke = useRevokeFeed();
  const toast = useToast();
  const [technicianId, setTechnician] = useState(me.technicianId ?? '');
  const choices = (owners.data?.rows ?? []).filter((one) => me.role !== 'technician' || one.id === me.technicianId).map((one) => ({ value: one.id, label: one.name }));
  return (
    <Section title="Calendar addresses">
      <p className="note">Who has the address sees where a technician will be and when. Codes, keys and access notes are never in it. End an address as soon as a phone is lost.</p>
      <div className="row"><Select label="Rounds of" value={technicianId} onChange={setTechnician} empty="choose a technician" options={choices} /><Button busy={open.isPending} disabled={technicianId === ''} onClick={() => open.mutate({ technicianId })}>Make a calendar address</Button></div>
      {open.error ? <ProblemBox problem={open.error} /> : null}
      {open.data ? <div className="leaf stack" role="status"><strong>Shown once: copy it into the calendar now</strong><code style={{ overflowWrap: 'anywhere' }}>{open.data.url}</code><Button size="small" onClick={() => void navigator.clipboard.writeText(open.data.url).then(() => toast('Copied'))}>Copy the address</Button></div> : null}
      {revoke.error ? <ProblemBox problem={revoke.error} /> : null}
      <Loaded query={feeds} what="the addresses">{({ rows }) => (rows.length === 0 ? <Empty title="No address was handed out" /> : <Table caption="Calendar addresses" rows={rows} rowKey={(row) => row.id} columns={[
        { key: 'who', title: 'Rounds of', cell: (row) => row.technicianName }, { key: 'made', title: 'Made', cell: (row) => momentWords(row.createdAt, me.company.timeZone) },
        { key: 'state', title: 'State', cell: (row) => (row.revokedAt ? <Mark shape="line">ended {momentWords(row.revokedAt, me.company.timeZone)}</Mark> : <Mark shape="standing" tone="good">in use</Mark>) },
        { key: 'do', title: '', cell: (row) => (row.revokedAt ? null : <Button size="small" busy={revoke.isPending} onClick={() => revoke.mutate({ feedId: row.id })}>End this address</Button>) },
      ]} />)}</Loaded>
    </Section>
  );
}
