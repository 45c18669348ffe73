import { useState } from 'react';
import { outbox, useOutbox } from '../shared/device-outbox.js';
import { momentWords } from '../shared/format.js';
import type { OutboxEntry, OutboxState } from '../shared/outbox.js';
import { useMe } from '../shared/session.js';
import { Button, Drawer, Empty } from '../shared/ui/index.js';
import { phrase } from '../shared/language/index.js';

const STATUS: Record<OutboxState['status'], string> = {
  idle: phrase('app.all-sent'), sending: phrase('app.sending-now'), offline: phrase('app.no-connection-they-are-safe-on-this'), 'signed-out': phrase('app.sign-in-again-to-send-them'),
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
        {refused > 0 ? <strong>{phrase('app.refused-refused-and-value-you', { refused: phrase('count.entry-was', { n: refused }), value: refused === 1 ? phrase('app.needs') : phrase('app.need') })} </strong> : null}
        {waiting > 0 ? `${phrase('count.entry-waits', { n: waiting })}. ${STATUS[status]}.` : null}
        {waiting + refused === 0 && own.length > 0 ? phrase('app.own-set-aside', { own: phrase('count.entry', { n: own.length }) }) : null}
        {foreign > 0 ? phrase('app.foreign-of-another-person-kept-on-this', { foreign: phrase('count.entry', { n: foreign }) }) : null}
      </span>
      {own.length > 0 ? <Button size="small" onClick={() => setOpen(true)}>{phrase('app.show-what-waits')}</Button> : null}
      {isOpen ? <Waiting entries={own} timeZone={me.company.timeZone} onClose={() => setOpen(false)} /> : null}
    </div>
  );
}

function Waiting({ entries, timeZone, onClose }: { entries: readonly OutboxEntry[]; timeZone: string; onClose: () => void }) {
  return (
    <Drawer title={phrase('app.entered-here-not-yet-at-the-server')} onClose={onClose}>
      <p className="quiet">{phrase('app.entries-go-in-the-order-in-which')}</p>
      <div className="row"><Button kind="do" onClick={() => void outbox.flush()}>{phrase('app.send-now')}</Button></div>
      {entries.length === 0 ? <Empty title={phrase('app.nothing-waits')}>{phrase('app.all-you-entered-has-reached-the-server')}</Empty> : null}
      <ol className="stack" style={{ listStyle: 'none' }}>
        {entries.map((entry) => <li key={entry.seq} className="leaf stack"><Waits entry={entry} timeZone={timeZone} /></li>)}
      </ol>
    </Drawer>
  );
}

function Waits({ entry, timeZone }: { entry: OutboxEntry; timeZone: string }) {
  return (
    <>
      <div><strong>{entry.title}</strong><br /><span className="quiet small">{phrase('app.entered-at-value', { at: momentWords(entry.at, timeZone), value: entry.tries > 0 ? phrase('app.tried-tries', { tries: phrase('count.time', { n: entry.tries }) }) : '' })}</span></div>
      {entry.problem ? <p><strong>{entry.problem.title}.</strong> {entry.problem.detail}</p> : null}
      {entry.state === 'refused' ? (
        <div className="row"><Button size="small" onClick={() => void outbox.retry(entry.seq)}>{phrase('app.send-it-again')}</Button><Button size="small" onClick={() => void outbox.setAside(entry.seq)}>{phrase('app.set-it-aside-and-go-on')}</Button></div>
      ) : null}
      {entry.state === 'aside' ? (
        <div className="row"><span className="quiet">{phrase('app.set-aside-it-is-not-sent-and')}</span><Button size="small" onClick={() => void outbox.retry(entry.seq)}>{phrase('app.send-it-after-all')}</Button><Button size="small" kind="danger" onClick={() => void outbox.discard(entry.seq)}>{phrase('app.throw-it-away')}</Button></div>
      ) : null}
    </>
  );
}
