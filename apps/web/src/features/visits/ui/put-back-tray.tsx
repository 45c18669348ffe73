import { routes } from '@bellround/contracts';
import { useState } from 'react';
import { newId } from '../../../shared/new-id.js';
import { Button, Dialog, Form, Mark, ProblemBox, TextField } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import type { QueuedPutBack, QueuedView } from '../queued-view.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

/** Tokens for everything out of normal; empty, or handed over by name, before leaving. */
export function PutBackTray({ queued }: { queued: QueuedView }) {
  const visitId = queued.view.visit.id;
  const out = queued.putBack.filter((item) => item.putBackAt === null && item.handedTo === null);
  const handed = queued.putBack.filter((item) => item.putBackAt === null && item.handedTo !== null);
  const unsure = queued.putBack.filter((item) => item.way === 'waiting').length;
  const [handing, setHanding] = useState<QueuedPutBack | null>(null);
  const [busyWith, setBusyWith] = useState<string | null>(null);
  const back = useQueuedAct(routes.putBackByName, visitId, { done: () => undefined, taken: '', waits: phrase('visits.back-kept-on-this-phone-not-recorded') });
  const isBack = async (item: QueuedPutBack) => {
    setBusyWith(item.what);
    await back.put({ visitId, id: newId(), what: item.what, handTo: null }, phrase('visits.back-to-normal-what', { what: said(item.what) }));
    setBusyWith(null);
  };
  return (
    <aside className="tray" aria-label={phrase('visits.put-back')}>
      {back.problem ? <ProblemBox problem={back.problem} /> : null}
      {out.length === 0 ? <Mark shape="whole" tone="good">{phrase('visits.nothing-is-out-of-normal')}</Mark> : <>
        <strong>{phrase('visits.put-back-out', { out: out.length })}</strong>
        <div className="tray-tokens">{out.map((item) => (
          <span key={item.id} className="token">{said(item.what)}<Button size="small" busy={busyWith === item.what} onClick={() => void isBack(item)}>{phrase('visits.is-back')}</Button><Button size="small" kind="bare" onClick={() => setHanding(item)}>{phrase('visits.hand-over')}</Button></span>))}
        </div></>}
      {handed.length > 0 ? <p className="small">{phrase('visits.handed-over-join', { join: handed.map((item) => phrase('visits.what-to-handedto-handedreason', { what: said(item.what), handedTo: item.handedTo, handedReason: item.handedReason })).join('; ') })}</p> : null}
      {unsure > 0 ? <Mark shape="hatched" tone="unsure">{phrase('visits.unsure-put-back-on-this-phone-only', { unsure })}</Mark> : null}
      {handing ? <HandOverDialog item={handing} visitId={visitId} onClose={() => setHanding(null)} /> : null}
    </aside>
  );
}

function HandOverDialog({ item, visitId, onClose }: { item: QueuedPutBack; visitId: string; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [to, setTo] = useState('');
  const [reason, setReason] = useState('');
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const hand = useQueuedAct(routes.putBackByName, visitId, { done: onClose, taken: phrase('visits.handed-over-to-to', { to }), waits: phrase('visits.kept-on-this-phone-the-hand-over') });
  const give = () => {
    const wrong = [...(to.trim().length >= 2 ? [] : [{ path: 'handTo.to', message: phrase('visits.must-be-a-name-of-at-least') }]), ...(reason.trim().length >= 5 ? [] : [{ path: 'handTo.reason', message: phrase('visits.must-say-why-it-stays-out-of') }])];
    setFaults(wrong);
    if (wrong.length === 0) void hand.put({ visitId, id, what: item.what, handTo: { to, reason } }, phrase('visits.handed-over-to-to-what', { to, what: said(item.what) }));
  };
  return (
    <Dialog title={phrase('visits.hand-over-what', { what: said(item.what) })} onClose={onClose}>
      <Form problem={hand.problem} faults={faults} onSubmit={give}>
        <TextField label={phrase('visits.to-whom')} name="handTo.to" value={to} onChange={setTo} required /><TextField label={phrase('visits.why-it-stays-out-of-normal')} name="handTo.reason" value={reason} onChange={setReason} required />
        <Button kind="do" type="submit" busy={hand.isBusy}>{phrase('visits.hand-over')}</Button>
      </Form>
    </Dialog>
  );
}
