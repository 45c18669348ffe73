import { routes, type VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { momentWords, timeWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, CautionBox, CheckBox, Form, NumberField, Section, Select, TextField } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import type { QueuedHold, QueuedView } from '../queued-view.js';
import { WayMark } from './way-mark.js';
import { phrase } from '../../../shared/language/index.js';
import { HOLD_PART, wordOf } from '../../../shared/words.js';

const PARTS = ['intrusion', 'fire', 'panic', 'hold-up', 'medical', 'co', 'environmental', 'paths'] as const;

/** The on-test hold of this visit: open it before anything that can raise an alarm, close it before leaving. */
export function HoldSection({ queued }: { queued: QueuedView }) {
  const { view, holds } = queued;
  const open = holds.filter((hold) => hold.closedAt === null);
  const [asking, setAsking] = useState(false);
  return (
    <Section title={phrase('visits.on-test-hold')}>
      {open.map((hold) => <OpenHold key={hold.id} hold={hold} visitId={view.visit.id} />)}
      {holds.filter((hold) => hold.closedAt !== null).map((hold) => (
        <div key={hold.id} className="small"><p>{phrase('visits.closed-closedat-confirmed-by', { closedAt: momentWords(hold.closedAt!, hold.timeZone) })} {hold.closeConfirmedBy}, {hold.signalsReceived} {phrase('visits.signals-received')}</p>
          <WayMark way={hold.closingWay} what={phrase('visits.closing-entered')} /></div>))}
      {open.length === 0 && !asking ? (view.accounts.length === 0 ? <p className="note">{phrase('visits.this-site-has-no-account-at-a')}</p> : <Button kind={holds.length > 0 ? 'plain' : 'do'} fill onClick={() => setAsking(true)}>{phrase('visits.put-the-account-on-test')}</Button>) : null}
      {asking ? <NewHold view={view} onDone={() => setAsking(false)} /> : null}
    </Section>
  );
}

function NewHold({ view, onDone }: { view: VisitView; onDone: () => void }) {
  const [id] = useState(() => newId());
  const [accountId, setAccount] = useState(view.accounts[0]?.id ?? '');
  const [parts, setParts] = useState<readonly (typeof PARTS)[number][]>([]);
  const [stationReference, setReference] = useState('');
  const [operatorName, setOperator] = useState('');
  const [minutes, setMinutes] = useState<number | null>(Math.min(240, Math.max(30, view.visit.serviceMin + 15)));
  const hold = useQueuedAct(routes.openHold, view.visit.id, { done: onDone, taken: phrase('visits.on-test-recorded'), waits: phrase('visits.kept-on-this-phone-only-the-hold') });
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const open = () => {
    const wrong = [...(stationReference.trim() ? [] : [{ path: 'stationReference', message: phrase('visits.must-be-the-stations-reference-for-this') }]), ...(operatorName.trim().length >= 2 ? [] : [{ path: 'operatorName', message: phrase('visits.must-be-a-name-of-at-least') }])];
    setFaults(wrong);
    if (wrong.length === 0) void hold.put({ visitId: view.visit.id, id, accountId, parts: [...parts], stationReference, operatorName, untilAt: new Date(Date.now() + (minutes ?? 60) * 60_000).toISOString() }, phrase('visits.on-test-account-value-reference-stationreference', { value: view.accounts.find((one) => one.id === accountId)?.number ?? '', stationReference }));
  };
  return (
    <Form problem={hold.problem} faults={faults} onSubmit={open}>
      <CautionBox>{phrase('visits.call-the-station-first-until-the-station')}</CautionBox>
      <Select label={phrase('visits.account')} name="accountId" value={accountId} onChange={setAccount} options={view.accounts.map((one) => ({ value: one.id, label: phrase('visits.number-at-station', { number: one.number, station: one.stationName, value: one.stationPhone ? `, ${one.stationPhone}` : '' }) }))} />
      <fieldset><legend>{phrase('visits.parts-on-test-none-chosen-everything')}</legend>{PARTS.map((part) => <CheckBox key={part} label={HOLD_PART[part]} checked={parts.includes(part)} onChange={(on) => setParts(on ? [...parts, part] : parts.filter((one) => one !== part))} />)}</fieldset>
      <TextField label={phrase('visits.stations-reference')} name="stationReference" value={stationReference} onChange={setReference} required />
      <TextField label={phrase('visits.operators-name')} name="operatorName" value={operatorName} onChange={setOperator} required />
      <NumberField label={phrase('visits.for-how-long')} name="untilAt" unit={phrase('visits.min')} min={5} max={720} step={15} value={minutes} onChange={setMinutes} />
      <Button kind="do" fill type="submit" busy={hold.isBusy}>{phrase('visits.the-station-confirmed-on-test')}</Button>
      <Button fill onClick={onDone}>{phrase('visits.leave-it-live')}</Button>
    </Form>
  );
}

function OpenHold({ hold, visitId }: { hold: QueuedHold; visitId: string }) {
  const [id, setId] = useState(() => newId());
  const [mode, setMode] = useState<'none' | 'extend' | 'close'>('none');
  const [name, setName] = useState('');
  const [number, setNumber] = useState<number | null>(null);
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const done = () => { setMode('none'); setId(newId()); setNumber(null); };
  const extend = useQueuedAct(routes.extendHold, visitId, { done, taken: phrase('visits.extended-recorded'), waits: phrase('visits.kept-on-this-phone-only-the-longer') });
  const close = useQueuedAct(routes.closeHold, visitId, { done, taken: phrase('visits.off-test-recorded'), waits: phrase('visits.kept-on-this-phone-only-closing-the') });
  const named = (path: string, then: () => void) => { const wrong = name.trim().length >= 2 ? [] : [{ path, message: phrase('visits.must-be-a-name-of-at-least') }]; setFaults(wrong); if (wrong.length === 0) then(); };
  return (
    <div className="leaf stack">
      <p><strong>{phrase('visits.on-test-until-untilat', { untilAt: timeWords(hold.untilAt, hold.timeZone) })}</strong>{phrase('visits.account-accountnumber-value-reference-stationreference-operatorname', { accountNumber: hold.accountNumber, value: hold.parts.length > 0 ? hold.parts.map((part) => wordOf(HOLD_PART, part)).join(', ') : phrase('visits.everything'), stationReference: hold.stationReference, operatorName: hold.operatorName })}</p>
      <WayMark way={hold.openingWay} what={phrase('visits.hold-entered')} />
      {hold.openingWay === 'waiting' ? <p className="note">{phrase('visits.nobody-in-the-office-sees-this-hold')}</p> : null}
      <WayMark way={hold.extendingWay} what={phrase('visits.longer-hold-entered')} />
      {mode === 'none' ? <div className="row"><Button onClick={() => setMode('extend')}>{phrase('visits.extend')}</Button><Button kind="do" onClick={() => setMode('close')}>{phrase('visits.close-the-hold')}</Button></div> : null}
      {mode === 'extend' ? <Form problem={extend.problem} faults={faults} onSubmit={() => named('operatorName', () => void extend.put({ holdId: hold.id, id, untilAt: new Date(Math.max(Date.now(), Date.parse(hold.untilAt)) + (number ?? 30) * 60_000).toISOString(), operatorName: name }, phrase('visits.hold-stationreference-longer-by-value-min', { stationReference: hold.stationReference, value: number ?? 30 })))}>
        <NumberField label={phrase('visits.longer-by')} unit={phrase('visits.min')} min={5} max={480} step={15} value={number ?? 30} onChange={setNumber} /><TextField label={phrase('visits.operator-who-confirmed')} name="operatorName" value={name} onChange={setName} required />
        <Button kind="do" type="submit" busy={extend.isBusy}>{phrase('visits.the-station-confirmed-extend')}</Button></Form> : null}
      {mode === 'close' ? <Form problem={close.problem} faults={faults} onSubmit={() => named('confirmedBy', () => void close.put({ holdId: hold.id, id, confirmedBy: name, signalsReceived: number ?? 0 }, phrase('visits.off-test-reference-stationreference-value-signals', { stationReference: hold.stationReference, value: number ?? 0 })))}>
        <CautionBox title={phrase('visits.before-you-close-it')}>{phrase('visits.everything-put-back-after-this-the-station')}</CautionBox>
        <TextField label={phrase('visits.operator-who-confirmed-it-is-off-test')} name="confirmedBy" value={name} onChange={setName} required /><NumberField label={phrase('visits.signals-the-station-received')} name="signalsReceived" unit="" min={0} max={100000} step={1} value={number} onChange={setNumber} required />
        <Button kind="do" type="submit" busy={close.isBusy} disabled={number === null}>{phrase('visits.the-station-confirmed-off-test')}</Button></Form> : null}
      {mode !== 'none' ? <Button kind="bare" onClick={() => setMode('none')}>{phrase('visits.back')}</Button> : null}
    </div>
  );
}
