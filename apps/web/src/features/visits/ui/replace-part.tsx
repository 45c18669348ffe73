import { routes } from '@bellround/contracts';
import { useState } from 'react';
import { todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, CautionBox, Choices, DateField, Dialog, Form, NumberField, Select, TextField } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import type { QueuedView } from '../queued-view.js';
import { phrase } from '../../../shared/language/index.js';
import { SUBJECT } from '../../../shared/words.js';

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
  const replace = useQueuedAct(routes.replacePart, view.visit.id, { done: onClose, taken: phrase('visits.replaced-the-new-one-is-on-the'), waits: phrase('visits.kept-on-this-phone-the-new-part') });
  const submit = () => {
    const wrong = [...(part ? [] : [{ path: 'partId', message: phrase('visits.choose-what-was-replaced') }]), ...(reason.trim().length >= 3 ? [] : [{ path: 'reason', message: phrase('visits.must-say-why-it-was-replaced') }]), ...(made === null ? [{ path: 'madeOnState', message: phrase('visits.say-what-the-label-shows') }] : []), ...(made === 'known' && !madeOn ? [{ path: 'madeOn', message: phrase('visits.must-be-the-date-on-the-label') }] : [])];
    setFaults(wrong);
    if (wrong.length > 0 || !part) return;
    void replace.put({ visitId: view.visit.id, id: ids[0], partKind: part.kind, partId: part.id, newId: ids[1], reason, serial: serial.trim() || null, madeOn: made === 'known' ? madeOn : null, madeOnState: made ?? 'not-asked', ratedMah: part.kind === 'battery' && ratedAh !== null ? Math.round(ratedAh * 1000) : null }, phrase('visits.replaced-label', { label: part.label }));
  };
  return (
    <Dialog title={phrase('visits.a-part-was-replaced')} onClose={onClose}>
      <Form problem={replace.problem} faults={faults} onSubmit={submit}>
        <CautionBox>{phrase('visits.mains-off-and-battery-out-before-hands')}</CautionBox>
        <Select label={phrase('visits.what-was-replaced')} name="partId" value={partId} onChange={setPart} empty={phrase('visits.choose')} options={parts.map((one) => ({ value: one.id, label: `${one.label} (${SUBJECT[one.kind]})` }))} required />
        <TextField label={phrase('visits.why')} name="reason" value={reason} onChange={setReason} required />
        {part?.kind === 'device' ? <TextField label={phrase('visits.serial-of-the-new-one')} name="serial" value={serial} onChange={setSerial} /> : null}
        {part?.kind === 'battery' ? <NumberField label={phrase('visits.rated-capacity-of-the-new-one')} name="ratedMah" unit="Ah" min={0.1} max={1000} step={0.5} value={ratedAh} onChange={setRated} /> : null}
        <Choices<MadeState> label={phrase('visits.date-of-make-on-the-new-ones')} name="madeOnState" value={made} onChange={setMade} options={[{ value: 'known', label: phrase('visits.can-be-read') }, { value: 'unreadable', label: phrase('visits.not-legible') }, { value: 'absent', label: phrase('visits.no-date') }]} />
        {made === 'known' ? <DateField label={phrase('visits.made-on')} name="madeOn" value={madeOn} max={todayIn(view.site.timeZone)} onChange={setMadeOn} /> : null}
        <p className="small">{phrase('visits.what-was-broken-on-the-old-one')}</p>
        <Button kind="do" fill type="submit" busy={replace.isBusy}>{phrase('visits.record-the-replacement')}</Button>
      </Form>
    </Dialog>
  );
}
