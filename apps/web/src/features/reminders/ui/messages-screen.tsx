import type { MessageRow } from '@bellround/contracts';
import { useState } from 'react';
import { dayWords, momentWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Drawer, Empty, Facts, Loaded, Mark, Page, Pager, ProblemBox, SearchBox, Select, Table, useToast } from '../../../shared/ui/index.js';
import { MESSAGES_PER_PAGE, useLastSweep, useMessages, useSendAgain } from '../api/messages.js';
import { phrase } from '../../../shared/language/index.js';

const STATES: Record<MessageRow['state'], { words: string; shape: 'standing' | 'empty' | 'line' | 'bracketed' | 'half'; tone: 'good' | 'warn' | 'bad' | 'plain' }> = {
  sent: { words: phrase('reminders.sent'), shape: 'standing', tone: 'good' }, waiting: { words: phrase('reminders.waiting'), shape: 'empty', tone: 'plain' }, sending: { words: phrase('reminders.being-sent'), shape: 'half', tone: 'plain' },
  kept: { words: phrase('reminders.kept-here-no-mail-server-is-set'), shape: 'line', tone: 'warn' }, failed: { words: phrase('reminders.not-sent'), shape: 'bracketed', tone: 'bad' },
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
    <Page title={phrase('reminders.messages')} lead={phrase('reminders.reminders-before-a-window-closes-the-owners')} actions={<><SearchBox label={phrase('reminders.search-messages')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder={phrase('reminders.subject-or-addressee')} /><Select label={phrase('reminders.state')} value={state} onChange={(next) => { setState(next); setOffset(0); }} empty={phrase('reminders.all-states')} options={Object.entries(STATES).map(([value, one]) => ({ value, label: one.words }))} /></>}>
      {sweep.data ? <p className="note">{sweep.data.result ? phrase('reminders.last-sweep-value-of-day-opened-windows', { value: sweep.data.at ? momentWords(sweep.data.at, zone) : '', day: dayWords(sweep.data.result.day), opened: sweep.data.result.opened, lapsed: sweep.data.result.lapsed, reminders: sweep.data.result.reminders, messages: sweep.data.result.messages }) : phrase('reminders.the-nightly-sweep-has-not-run-yet')}</p> : null}
      <Loaded query={messages} what={phrase('reminders.the-messages')}>{({ rows, total }) => (total === 0
        ? <Empty title={search || state ? phrase('reminders.no-message-matches') : phrase('reminders.no-messages-yet')} action={search || state ? <Button onClick={() => { setSearch(''); setState(''); }}>{phrase('reminders.show-all')}</Button> : undefined}>{search || state ? null : phrase('reminders.the-nightly-sweep-writes-reminders-here-before')}</Empty>
        : <><Table caption={phrase('reminders.messages')} rows={rows} rowKey={(one) => one.id} onOpen={setOpen} columns={[
          { key: 'subject', title: phrase('reminders.subject'), cell: (one) => <Button kind="bare" size="small" onClick={() => setOpen(one)}>{one.subject}</Button> },
          { key: 'to', title: phrase('reminders.to'), cell: (one) => one.toEmail || <span className="quiet">{phrase('reminders.no-address')}</span> },
          { key: 'state', title: phrase('reminders.state'), cell: (one) => <Mark shape={STATES[one.state].shape} tone={STATES[one.state].tone}>{STATES[one.state].words}</Mark> },
          { key: 'at', title: phrase('reminders.written'), cell: (one) => momentWords(one.createdAt, zone) },
        ]} /><Pager offset={offset} limit={MESSAGES_PER_PAGE} total={total} onMove={setOffset} what={phrase('reminders.messages-2')} /></>)}</Loaded>
      {open ? <MessageDrawer message={open} zone={zone} onClose={() => setOpen(null)} /> : null}
    </Page>
  );
}

function MessageDrawer({ message, zone, onClose }: { message: MessageRow; zone: string; onClose: () => void }) {
  const toast = useToast();
  const again = useSendAgain();
  return (
    <Drawer title={message.subject} onClose={onClose}>
      <Facts of={[[phrase('reminders.to'), `${message.toName} ${message.toEmail}`.trim()], [phrase('reminders.state'), STATES[message.state].words], [phrase('reminders.written'), momentWords(message.createdAt, zone)], [phrase('reminders.sent-2'), message.sentAt ? momentWords(message.sentAt, zone) : null], [phrase('reminders.tries'), String(message.attempts)], ...(message.lastError ? [[phrase('reminders.why-not'), message.lastError] as const] : [])]} />
      {message.state === 'failed' || message.state === 'kept' ? <Button busy={again.isPending} onClick={() => again.mutate({ messageId: message.id }, { onSuccess: () => { toast(phrase('reminders.in-line-again')); onClose(); } })}>{phrase('reminders.send-again')}</Button> : null}
      {again.error ? <ProblemBox problem={again.error} /> : null}
      <pre style={{ whiteSpace: 'pre-wrap', font: 'inherit' }}>{message.body}</pre>
    </Drawer>
  );
}
