import { routes } from '@bellround/contracts';
import { useState } from 'react';
import { todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, CautionBox, Choices, DateField, Dialog, Form, NumberField, Select, TextField } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import type { QueuedView } from '../queued-view.js';

type MadeState = 'known' | 'unreadable' | 'absent';

/** A device or battery replaced here: the old one's history stays, the new one starts its age and is checked anew. */
export function ReplacePart({ queued, onClose }: { queued: QueuedView; onClose: () => void }) {
  const { view } = queued;
  const [ids] = useState(() => [newId(), newId()] as const);
  const parts = [...view.batteries.map((one) => ({ id: one.id, kind: 'battery' as const, label: one.name })), ...view.devices.map((one) => ({ id: one.id, kind: 'device' as const, label: one.room ? `${one.label}, ${one.room}` : one.label }))];
  const [partId, setPart] = useState('');
  const [reason, setReason] = useState('');
  const [serial, setSerial] = useState('');
  const [made, setMade] = useState<MadeState | null>(null);
  const [madeOn, setMadeOn] = useState('');
  const [ratedAh, setRated] = useState<number | null>(null);
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const part = parts.find((one) => one.id === partId);
  const replace = useQueuedAct(routes.replacePart, view.visit.id, { done: onClose, taken: 'Replaced: the new one is on the list to be checked', waits: 'Kept on this phone: the new part is not recorded yet, its checks come onto the list when it is' });
  const submit = () => {
    const wrong = [...(part ? [] : [{ path: 'partId', message: 'choose what was replaced' }]), ...(reason.trim().length >= 3 ? [] : [{ path: 'reason', message: 'must say why it was replaced' }]), ...(made === null ? [{ path: 'madeOnState', message: 'say what the label shows' }] : []), ...(made === 'known' && !madeOn ? [{ path: 'madeOn', message: 'must be the date on the label' }] : [])];
    setFaults(wrong);
    if (wrong.length > 0 || !part) return;
    void replace.put({ visitId: view.visit.id, id: ids[0], partKind: part.kind, partId: part.id, newId: ids[1], reason, serial: serial.trim() || null, madeOn: made === 'known' ? madeOn : null, madeOnState: made ?? 'not-asked', ratedMah: part.kind === 'battery' && ratedAh !== null ? Math.round(ratedAh * 1000) : null }, `Replaced: ${part.label}`);
  };
  return (
    <Dialog title="A part was replaced" onClose={onClose}>
      <Form problem={replace.problem} faults={faults} onSubmit={submit}>
        <CautionBox>Mains off and battery out before hands go in; keep the account on test until the new part is proven.</CautionBox>
        <Select label="What was replaced" name="partId" value={partId} onChange={setPart} empty="choose" options={parts.map((one) => ({ value: one.id, label: `${one.label} (${one.kind})` }))} required />
        <TextField label="Why" name="reason" value={reason} onChange={setReason} required />
        {part?.kind === 'device' ? <TextField label="Serial of the new one" name="serial" value={serial} onChange={setSerial} /> : null}
        {part?.kind === 'battery' ? <NumberField label="Rated capacity of the new one" name="ratedMah" unit="Ah" min={0.1} max={1000} step={0.5} value={ratedAh} onChange={setRated} /> : null}
        <Choices<MadeState> label="Date of make on the new one’s label" name="madeOnState" value={made} onChange={setMade} options={[{ value: 'known', label: 'Can be read' }, { value: 'unreadable', label: 'Not legible' }, { value: 'absent', label: 'No date' }]} />
        {made === 'known' ? <DateField label="Made on" name="madeOn" value={madeOn} max={todayIn(view.site.timeZone)} onChange={setMadeOn} /> : null}
        <p className="small">What was broken on the old one stays open until the new one passes its check.</p>
        <Button kind="do" fill type="submit" busy={replace.isBusy}>Record the replacement</Button>
      </Form>
    </Dialog>
  );
}
