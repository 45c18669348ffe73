import { routes, type VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { dayWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, DateField, Dialog, Form, Mark, Select, TextField } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import { phrase } from '../../../shared/language/index.js';

/** The meter on which the numbers were read; one whose calibration has ended marks them as not to be relied on. */
export function InstrumentField({ view, value, today, onChange }: { view: VisitView; value: string; today: string; onChange: (id: string) => void }) {
  const [adding, setAdding] = useState(false);
  const chosen = view.instruments.find((one) => one.id === value);
  const words = (one: VisitView['instruments'][number]) => `${one.kind} ${one.serial}: ${one.calibratedTo ? phrase('visits.calibrated-until-calibratedto-value', { calibratedTo: dayWords(one.calibratedTo), value: one.calibratedTo < today ? phrase('visits.ended') : '' }) : phrase('visits.calibration-not-known')}`;
  return (
    <div className="stack">
      <Select label={phrase('visits.instrument')} name="instrumentId" value={value} onChange={onChange} empty={phrase('visits.none-not-read-on-an-instrument')} options={view.instruments.map((one) => ({ value: one.id, label: words(one) }))} />
      {chosen?.calibratedTo && chosen.calibratedTo < today ? <Mark shape="hatched" tone="unsure">{phrase('visits.calibration-ended-calibratedto-readings-are-stored-and', { calibratedTo: dayWords(chosen.calibratedTo) })}</Mark> : null}
      {chosen?.calibratedTo && chosen.calibratedTo >= today && chosen.calibratedTo <= soonAfter(today) ? <Mark shape="line" tone="unsure">{phrase('visits.its-calibration-ends-day', { day: dayWords(chosen.calibratedTo) })}</Mark> : null}
      {chosen && !chosen.calibratedTo ? <Mark shape="hatched" tone="unsure">{phrase('visits.cant-tell-whether-its-calibration-holds')}</Mark> : null}
      <div className="row"><Button size="small" onClick={() => setAdding(true)}>{phrase('visits.add-an-instrument')}</Button></div>
      {adding ? <InstrumentDialog visitId={view.visit.id} onAdded={(id) => { onChange(id); setAdding(false); }} onClose={() => setAdding(false)} /> : null}
    </div>
  );
}

/** A month ahead is time enough to send a meter away (common practice). */
const soonAfter = (today: string): string => new Date(Date.parse(today) + 30 * 86_400_000).toISOString().slice(0, 10);

function InstrumentDialog({ visitId, onAdded, onClose }: { visitId: string; onAdded: (id: string) => void; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [kind, setKind] = useState('');
  const [serial, setSerial] = useState('');
  const [calibratedTo, setTo] = useState('');
  const add = useQueuedAct(routes.keepInstrument, visitId, { done: () => onAdded(id), taken: phrase('visits.instrument-added'), waits: phrase('visits.kept-on-this-phone-the-instrument-is') });
  return (
    <Dialog title={phrase('visits.add-an-instrument')} onClose={onClose}>
      <Form problem={add.problem} onSubmit={() => void add.put({ id, kind, serial, calibratedTo: calibratedTo || null }, phrase('visits.instrument-kind-serial', { kind, serial }))}>
        <TextField label={phrase('visits.what-it-measures')} name="kind" value={kind} onChange={setKind} required placeholder={phrase('visits.sound-level-meter')} /><TextField label={phrase('visits.serial')} name="serial" value={serial} onChange={setSerial} required />
        <DateField label={phrase('visits.last-day-of-its-calibration')} name="calibratedTo" value={calibratedTo} onChange={setTo} />
        <Button kind="do" type="submit" busy={add.isBusy} disabled={kind.trim().length < 2 || serial.trim() === ''}>{phrase('visits.add-it')}</Button>
      </Form>
    </Dialog>
  );
}
