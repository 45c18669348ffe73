import type { PutBackRow } from '@bellround/contracts';
import { useState } from 'react';
import { newId } from '../../../shared/new-id.js';
import { Button, Dialog, Form, Mark, TextField } from '../../../shared/ui/index.js';
import { useHandOver, usePutBack } from '../api/visits.js';

/** Tokens for everything out of normal; empty, or handed over by name, before leaving. */
export function PutBackTray({ items }: { items: readonly PutBackRow[] }) {
  const out = items.filter((item) => item.putBackAt === null && item.handedTo === null);
  const [handing, setHanding] = useState<PutBackRow | null>(null);
  const done = usePutBack();
  const now = () => { const at = new Date().toISOString(); return { deviceClockAt: at, deviceClockNow: at }; };
  return (
    <aside className="tray" aria-label="Put back">
      {out.length === 0 ? <Mark shape="whole" tone="good">Nothing is out of normal</Mark> : <>
        <strong>Put back: {out.length}</strong>
        <div className="tray-tokens">{out.map((item) => (
          <span key={item.id} className="token">{item.what}<Button size="small" busy={done.isPending && done.variables?.putBackId === item.id} onClick={() => done.mutate({ putBackId: item.id, id: newId(), ...now() })}>Is back</Button><Button size="small" kind="bare" onClick={() => setHanding(item)}>Hand over</Button></span>))}
        </div></>}
      {handing ? <HandOverDialog item={handing} onClose={() => setHanding(null)} /> : null}
    </aside>
  );
}

function HandOverDialog({ item, onClose }: { item: PutBackRow; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [to, setTo] = useState('');
  const [reason, setReason] = useState('');
  const hand = useHandOver(onClose);
  return (
    <Dialog title={`Hand over: ${item.what}`} onClose={onClose}>
      <Form problem={hand.error} onSubmit={() => hand.mutate({ putBackId: item.id, id, to, reason })}>
        <TextField label="To whom" name="to" value={to} onChange={setTo} required /><TextField label="Why it stays out of normal" name="reason" value={reason} onChange={setReason} required />
        <Button kind="do" type="submit" busy={hand.isPending}>Hand over</Button>
      </Form>
    </Dialog>
  );
}
