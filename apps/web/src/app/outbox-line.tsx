import { useState } from 'react';
import { outbox, useOutbox } from '../shared/device-outbox.js';
import { countWords, momentWords } from '../shared/format.js';
import type { OutboxEntry, OutboxState } from '../shared/outbox.js';
import { useMe } from '../shared/session.js';
import { Button, Drawer, Empty } from '../shared/ui/index.js';

const STATUS: Record<OutboxState['status'], string> = {
  idle: 'All sent', sending: 'Sending now', offline: 'No connection; they are safe on this device and go as soon as there is one', 'signed-out': 'Sign in again to send them',
};

/** One line while anything entered here has not reached the server; nothing to see otherwise. */
export function OutboxLine() {
  const me = useMe();
  const { entries, status } = useOutbox();
  const [isOpen, setOpen] = useState(false);
  const own = entries.filter((entry) => entry.owner === `${me.company.id}/${me.userId}`);
  const foreign = entries.length - own.length;
  const refused = own.filter((entry) => entry.state === 'refused').length;
  const waiting = own.filter((entry) => entry.state === 'waiting').length;
  if (entries.length === 0) return null;
  return (
    <div className={refused > 0 ? 'outbox-line refused' : 'outbox-line'} role="status">
      <span>
        {refused > 0 ? <strong>{countWords(refused, 'entry was', 'entries were')} refused and {refused === 1 ? 'needs' : 'need'} you. </strong> : null}
        {waiting > 0 ? `${countWords(waiting, 'entry waits', 'entries wait')}. ${STATUS[status]}.` : null}
        {waiting + refused === 0 && own.length > 0 ? `${countWords(own.length, 'entry', 'entries')} set aside.` : null}
        {foreign > 0 ? ` ${countWords(foreign, 'entry', 'entries')} of another person kept on this device until they sign in.` : null}
      </span>
      {own.length > 0 ? <Button size="small" onClick={() => setOpen(true)}>Show what waits</Button> : null}
      {isOpen ? <Waiting entries={own} timeZone={me.company.timeZone} onClose={() => setOpen(false)} /> : null}
    </div>
  );
}

function Waiting({ entries, timeZone, onClose }: { entries: readonly OutboxEntry[]; timeZone: string; onClose: () => void }) {
  return (
    <Drawer title="Entered here, not yet at the server" onClose={onClose}>
      <p className="quiet">Entries go in the order in which you made them. A refused one stops only its own visit. Nothing here is recorded in the house yet: nobody else sees it, and a hold listed here warns nobody.</p>
      <div className="row"><Button kind="do" onClick={() => void outbox.flush()}>Send now</Button></div>
      {entries.length === 0 ? <Empty title="Nothing waits">All you entered has reached the server.</Empty> : null}
      <ol className="stack" style={{ listStyle: 'none' }}>
        {entries.map((entry) => <li key={entry.seq} className="leaf stack"><Waits entry={entry} timeZone={timeZone} /></li>)}
      </ol>
    </Drawer>
  );
}

function Waits({ entry, timeZone }: { entry: OutboxEntry; timeZone: string }) {
  return (
    <>
      <div><strong>{entry.title}</strong><br /><span className="quiet small">entered {momentWords(entry.at, timeZone)}{entry.tries > 0 ? `, tried ${countWords(entry.tries, 'time')}` : ''}</span></div>
      {entry.problem ? <p><strong>{entry.problem.title}.</strong> {entry.problem.detail}</p> : null}
      {entry.state === 'refused' ? (
        <div className="row"><Button size="small" onClick={() => void outbox.retry(entry.seq)}>Send it again</Button><Button size="small" onClick={() => void outbox.setAside(entry.seq)}>Set it aside and go on</Button></div>
      ) : null}
      {entry.state === 'aside' ? (
        <div className="row"><span className="quiet">Set aside: it is not sent, and stays here.</span><Button size="small" onClick={() => void outbox.retry(entry.seq)}>Send it after all</Button><Button size="small" kind="danger" onClick={() => void outbox.discard(entry.seq)}>Throw it away</Button></div>
      ) : null}
    </>
  );
}
