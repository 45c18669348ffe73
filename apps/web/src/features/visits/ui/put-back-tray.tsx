import { routes } from '@bellround/contracts';
import { useState } from 'react';
import { newId } from '../../../shared/new-id.js';
import { Button, Dialog, Form, Mark, ProblemBox, TextField } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import type { QueuedPutBack, QueuedView } from '../queued-view.js';

/** Tokens for everything out of normal; empty, or handed over by name, before leaving. */
export function PutBackTray({ queued }: { queued: QueuedView }) {
  const visitId = queued.view.visit.id;
  const out = queued.putBack.filter((item) => item.putBackAt === null && item.handedTo === null);
  const handed = queued.putBack.filter((item) => item.putBackAt === null && item.handedTo !== null);
  const unsure = queued.putBack.filter((item) => item.way === 'waiting').length;
  const [handing, setHanding] = useState<QueuedPutBack | null>(null);
  const [busyWith, setBusyWith] = useState<string | null>(null);
  const back = useQueuedAct(routes.putBackByName, visitId, { done: () => undefined, taken: '', waits: 'Back: kept on this phone, not recorded yet' });
  const isBack = async (item: QueuedPutBack) => {
    setBusyWith(item.what);
    await back.put({ visitId, id: newId(), what: item.what, handTo: null }, `Back to normal: ${item.what}`);
    setBusyWith(null);
  };
  return (
    <aside className="tray" aria-label="Put back">
      {back.problem ? <ProblemBox problem={back.problem} /> : null}
      {out.length === 0 ? <Mark shape="whole" tone="good">Nothing is out of normal</Mark> : <>
        <strong>Put back: {out.length}</strong>
        <div className="tray-tokens">{out.map((item) => (
          <span key={item.id} className="token">{item.what}<Button size="small" busy={busyWith === item.what} onClick={() => void isBack(item)}>Is back</Button><Button size="small" kind="bare" onClick={() => setHanding(item)}>Hand over</Button></span>))}
        </div></>}
      {handed.length > 0 ? <p className="small">Handed over: {handed.map((item) => `${item.what} to ${item.handedTo}, ${item.handedReason}`).join('; ')}</p> : null}
      {unsure > 0 ? <Mark shape="hatched" tone="unsure">{unsure} put back on this phone only: not recorded yet</Mark> : null}
      {handing ? <HandOverDialog item={handing} visitId={visitId} onClose={() => setHanding(null)} /> : null}
    </aside>
  );
}

function HandOverDialog({ item, visitId, onClose }: { item: QueuedPutBack; visitId: string; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [to, setTo] = useState('');
  const [reason, setReason] = useState('');
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const hand = useQueuedAct(routes.putBackByName, visitId, { done: onClose, taken: `Handed over to ${to}`, waits: 'Kept on this phone: the hand-over is not recorded yet' });
  const give = () => {
    const wrong = [...(to.trim().length >= 2 ? [] : [{ path: 'handTo.to', message: 'must be a name of at least 2 characters' }]), ...(reason.trim().length >= 5 ? [] : [{ path: 'handTo.reason', message: 'must say why it stays out of normal' }])];
    setFaults(wrong);
    if (wrong.length === 0) void hand.put({ visitId, id, what: item.what, handTo: { to, reason } }, `Handed over to ${to}: ${item.what}`);
  };
  return (
    <Dialog title={`Hand over: ${item.what}`} onClose={onClose}>
      <Form problem={hand.problem} faults={faults} onSubmit={give}>
        <TextField label="To whom" name="handTo.to" value={to} onChange={setTo} required /><TextField label="Why it stays out of normal" name="handTo.reason" value={reason} onChange={setReason} required />
        <Button kind="do" type="submit" busy={hand.isBusy}>Hand over</Button>
      </Form>
    </Dialog>
  );
}
