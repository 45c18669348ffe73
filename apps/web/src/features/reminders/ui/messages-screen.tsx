import type { MessageRow } from '@bellround/contracts';
import { useState } from 'react';
import { dayWords, momentWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Drawer, Empty, Facts, Loaded, Mark, Page, Pager, ProblemBox, SearchBox, Select, Table, useToast } from '../../../shared/ui/index.js';
import { MESSAGES_PER_PAGE, useLastSweep, useMessages, useSendAgain } from '../api/messages.js';

const STATES: Record<MessageRow['state'], { words: string; shape: 'standing' | 'empty' | 'line' | 'bracketed' | 'half'; tone: 'good' | 'warn' | 'bad' | 'plain' }> = {
  sent: { words: 'sent', shape: 'standing', tone: 'good' }, waiting: { words: 'waiting', shape: 'empty', tone: 'plain' }, sending: { words: 'being sent', shape: 'half', tone: 'plain' },
  kept: { words: 'kept here: no mail server is set', shape: 'line', tone: 'warn' }, failed: { words: 'not sent', shape: 'bracketed', tone: 'bad' },
};

/** Mails owed, sent, kept or failed: nothing goes out unseen. */
export function MessagesScreen() {
  const zone = useMe().company.timeZone;
  const [search, setSearch] = useState('');
  const [state, setState] = useState('');
  const [offset, setOffset] = useState(0);
  const [open, setOpen] = useState<MessageRow | null>(null);
  const messages = useMessages({ ...(search ? { search } : {}), ...(state ? { state: state as MessageRow['state'] } : {}), limit: MESSAGES_PER_PAGE, offset });
  const sweep = useLastSweep();
  return (
    <Page title="Messages" lead="Reminders before a window closes, the owner’s weekly list, warnings of holds that outlived their end." actions={<><SearchBox label="Search messages" value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder="Subject or addressee" /><Select label="State" value={state} onChange={(next) => { setState(next); setOffset(0); }} empty="all states" options={Object.entries(STATES).map(([value, one]) => ({ value, label: one.words }))} /></>}>
      {sweep.data ? <p className="note">{sweep.data.result ? `Last sweep ${sweep.data.at ? momentWords(sweep.data.at, zone) : ''}, of ${dayWords(sweep.data.result.day)}: ${sweep.data.result.opened} windows opened, ${sweep.data.result.lapsed} lapsed, ${sweep.data.result.reminders} reminders in ${sweep.data.result.messages} messages.` : 'The nightly sweep has not run yet; it runs after one o’clock at night.'}</p> : null}
      <Loaded query={messages} what="the messages">{({ rows, total }) => (total === 0
        ? <Empty title={search || state ? 'No message matches' : 'No messages yet'} action={search || state ? <Button onClick={() => { setSearch(''); setState(''); }}>Show all</Button> : undefined}>{search || state ? null : 'The nightly sweep writes reminders here before windows close.'}</Empty>
        : <><Table caption="Messages" rows={rows} rowKey={(one) => one.id} onOpen={setOpen} columns={[
          { key: 'subject', title: 'Subject', cell: (one) => <Button kind="bare" size="small" onClick={() => setOpen(one)}>{one.subject}</Button> },
          { key: 'to', title: 'To', cell: (one) => one.toEmail || <span className="quiet">no address</span> },
          { key: 'state', title: 'State', cell: (one) => <Mark shape={STATES[one.state].shape} tone={STATES[one.state].tone}>{STATES[one.state].words}</Mark> },
          { key: 'at', title: 'Written', cell: (one) => momentWords(one.createdAt, zone) },
        ]} /><Pager offset={offset} limit={MESSAGES_PER_PAGE} total={total} onMove={setOffset} what="messages" /></>)}</Loaded>
      {open ? <MessageDrawer message={open} zone={zone} onClose={() => setOpen(null)} /> : null}
    </Page>
  );
}

function MessageDrawer({ message, zone, onClose }: { message: MessageRow; zone: string; onClose: () => void }) {
  const toast = useToast();
  const again = useSendAgain();
  return (
    <Drawer title={message.subject} onClose={onClose}>
      <Facts of={[['To', `${message.toName} ${message.toEmail}`.trim()], ['State', STATES[message.state].words], ['Written', momentWords(message.createdAt, zone)], ['Sent', message.sentAt ? momentWords(message.sentAt, zone) : null], ['Tries', String(message.attempts)], ...(message.lastError ? [['Why not', message.lastError] as const] : [])]} />
      {message.state === 'failed' || message.state === 'kept' ? <Button busy={again.isPending} onClick={() => again.mutate({ messageId: message.id }, { onSuccess: () => { toast('In line again'); onClose(); } })}>Send again</Button> : null}
      {again.error ? <ProblemBox problem={again.error} /> : null}
      <pre style={{ whiteSpace: 'pre-wrap', font: 'inherit' }}>{message.body}</pre>
    </Drawer>
  );
}
