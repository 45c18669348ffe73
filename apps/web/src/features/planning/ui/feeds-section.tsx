import { useState } from 'react';
import { momentWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, Loaded, Mark, ProblemBox, Section, Select, Table, useToast } from '../../../shared/ui/index.js';
import { useFeedOwners, useFeeds, useOpenFeed, useRevokeFeed } from '../api/feeds.js';
import { phrase } from '../../../shared/language/index.js';

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
    <Section title={phrase('planning.calendar-addresses')}>
      <p className="note">{phrase('planning.who-has-the-address-sees-where-a')}</p>
      <div className="row"><Select label={phrase('planning.rounds-of')} value={technicianId} onChange={setTechnician} empty={phrase('planning.choose-a-technician')} options={choices} /><Button busy={open.isPending} disabled={technicianId === ''} onClick={() => open.mutate({ technicianId })}>{phrase('planning.make-a-calendar-address')}</Button></div>
      {open.error ? <ProblemBox problem={open.error} /> : null}
      {open.data ? <div className="leaf stack" role="status"><strong>{phrase('planning.shown-once-copy-it-into-the-calendar')}</strong><code style={{ overflowWrap: 'anywhere' }}>{open.data.url}</code><Button size="small" onClick={() => void navigator.clipboard.writeText(open.data.url).then(() => toast(phrase('planning.copied')))}>{phrase('planning.copy-the-address')}</Button></div> : null}
      {revoke.error ? <ProblemBox problem={revoke.error} /> : null}
      <Loaded query={feeds} what={phrase('planning.the-addresses')}>{({ rows }) => (rows.length === 0 ? <Empty title={phrase('planning.no-address-was-handed-out')} /> : <Table caption={phrase('planning.calendar-addresses')} rows={rows} rowKey={(row) => row.id} columns={[
        { key: 'who', title: phrase('planning.rounds-of'), cell: (row) => row.technicianName }, { key: 'made', title: phrase('planning.made'), cell: (row) => momentWords(row.createdAt, me.company.timeZone) },
        { key: 'state', title: phrase('planning.state'), cell: (row) => (row.revokedAt ? <Mark shape="line">{phrase('planning.ended-revokedat', { revokedAt: momentWords(row.revokedAt, me.company.timeZone) })}</Mark> : <Mark shape="standing" tone="good">{phrase('planning.in-use')}</Mark>) },
        { key: 'do', title: '', cell: (row) => (row.revokedAt ? null : <Button size="small" busy={revoke.isPending} onClick={() => revoke.mutate({ feedId: row.id })}>{phrase('planning.end-this-address')}</Button>) },
      ]} />)}</Loaded>
    </Section>
  );
}
