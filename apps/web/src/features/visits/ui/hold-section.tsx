import { routes, type VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { momentWords, timeWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, CautionBox, CheckBox, Form, NumberField, Section, Select, TextField } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import type { QueuedHold, QueuedView } from '../queued-view.js';
import { WayMark } from './way-mark.js';

const PARTS = ['intrusion', 'fire', 'panic', 'hold-up', 'medical', 'co', 'environmental', 'paths'] as const;

/** The on-test hold of this visit: open it before anything that can raise an alarm, close it before leaving. */
export function HoldSection({ queued }: { queued: QueuedView }) {
  const { view, holds } = queued;
  const open = holds.filter((hold) => hold.closedAt === null);
  const [asking, setAsking] = useState(false);
  return (
    <Section title="On-test hold">
      {open.map((hold) => <OpenHold key={hold.id} hold={hold} visitId={view.visit.id} />)}
      {holds.filter((hold) => hold.closedAt !== null).map((hold) => (
        <div key={hold.id} className="small"><p>Closed {momentWords(hold.closedAt!, hold.timeZone)}: confirmed by {hold.closeConfirmedBy}, {hold.signalsReceived} signals received.</p>
          <WayMark way={hold.closingWay} what="Closing entered" /></div>))}
      {open.length === 0 && !asking ? (view.accounts.length === 0 ? <p className="note">This site has no account at a station; nothing can be put on test.</p> : <Button kind={holds.length > 0 ? 'plain' : 'do'} fill onClick={() => setAsking(true)}>Put the account on test</Button>) : null}
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
  const hold = useQueuedAct(routes.openHold, view.visit.id, { done: onDone, taken: 'On test: recorded', waits: 'Kept on this phone only: the hold is not recorded. It holds only if the station confirmed it to you.' });
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const open = () => {
    const wrong = [...(stationReference.trim() ? [] : [{ path: 'stationReference', message: 'must be the station’s reference for this hold' }]), ...(operatorName.trim().length >= 2 ? [] : [{ path: 'operatorName', message: 'must be a name of at least 2 characters' }])];
    setFaults(wrong);
    if (wrong.length === 0) void hold.put({ visitId: view.visit.id, id, accountId, parts: [...parts], stationReference, operatorName, untilAt: new Date(Date.now() + (minutes ?? 60) * 60_000).toISOString() }, `On test, account ${view.accounts.find((one) => one.id === accountId)?.number ?? ''}, reference ${stationReference}`);
  };
  return (
    <Form problem={hold.problem} faults={faults} onSubmit={open}>
      <CautionBox>Call the station first. Until the station has confirmed, everything you trip is a real alarm. This app does not tell the station: you do.</CautionBox>
      <Select label="Account" name="accountId" value={accountId} onChange={setAccount} options={view.accounts.map((one) => ({ value: one.id, label: `${one.number} at ${one.stationName}${one.stationPhone ? `, ${one.stationPhone}` : ''}` }))} />
      <fieldset><legend>Parts on test (none chosen: everything)</legend>{PARTS.map((part) => <CheckBox key={part} label={part} checked={parts.includes(part)} onChange={(on) => setParts(on ? [...parts, part] : parts.filter((one) => one !== part))} />)}</fieldset>
      <TextField label="Station’s reference" name="stationReference" value={stationReference} onChange={setReference} required />
      <TextField label="Operator’s name" name="operatorName" value={operatorName} onChange={setOperator} required />
      <NumberField label="For how long" name="untilAt" unit="min" min={5} max={720} step={15} value={minutes} onChange={setMinutes} />
      <Button kind="do" fill type="submit" busy={hold.isBusy}>The station confirmed: on test</Button>
      <Button fill onClick={onDone}>Leave it live</Button>
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
  const extend = useQueuedAct(routes.extendHold, visitId, { done, taken: 'Extended: recorded', waits: 'Kept on this phone only: the longer hold is not recorded yet' });
  const close = useQueuedAct(routes.closeHold, visitId, { done, taken: 'Off test: recorded', waits: 'Kept on this phone only: closing the hold is not recorded yet' });
  const named = (path: string, then: () => void) => { const wrong = name.trim().length >= 2 ? [] : [{ path, message: 'must be a name of at least 2 characters' }]; setFaults(wrong); if (wrong.length === 0) then(); };
  return (
    <div className="leaf stack">
      <p><strong>On test until {timeWords(hold.untilAt, hold.timeZone)}</strong>: account {hold.accountNumber}, {hold.parts.length > 0 ? hold.parts.join(', ') : 'everything'}; reference {hold.stationReference}, {hold.operatorName}</p>
      <WayMark way={hold.openingWay} what="Hold entered" />
      {hold.openingWay === 'waiting' ? <p className="note">Nobody in the office sees this hold, and nobody will be warned when it ends, until this phone has a connection. The station was told only if you told it.</p> : null}
      <WayMark way={hold.extendingWay} what="Longer hold entered" />
      {mode === 'none' ? <div className="row"><Button onClick={() => setMode('extend')}>Extend</Button><Button kind="do" onClick={() => setMode('close')}>Close the hold</Button></div> : null}
      {mode === 'extend' ? <Form problem={extend.problem} faults={faults} onSubmit={() => named('operatorName', () => void extend.put({ holdId: hold.id, id, untilAt: new Date(Math.max(Date.now(), Date.parse(hold.untilAt)) + (number ?? 30) * 60_000).toISOString(), operatorName: name }, `Hold ${hold.stationReference} longer by ${number ?? 30} min`))}>
        <NumberField label="Longer by" unit="min" min={5} max={480} step={15} value={number ?? 30} onChange={setNumber} /><TextField label="Operator who confirmed" name="operatorName" value={name} onChange={setName} required />
        <Button kind="do" type="submit" busy={extend.isBusy}>The station confirmed: extend</Button></Form> : null}
      {mode === 'close' ? <Form problem={close.problem} faults={faults} onSubmit={() => named('confirmedBy', () => void close.put({ holdId: hold.id, id, confirmedBy: name, signalsReceived: number ?? 0 }, `Off test, reference ${hold.stationReference}, ${number ?? 0} signals`))}>
        <CautionBox title="Before you close it">Everything put back? After this the station acts on every signal.</CautionBox>
        <TextField label="Operator who confirmed it is off test" name="confirmedBy" value={name} onChange={setName} required /><NumberField label="Signals the station received" name="signalsReceived" unit="" min={0} max={100000} step={1} value={number} onChange={setNumber} required />
        <Button kind="do" type="submit" busy={close.isBusy} disabled={number === null}>The station confirmed: off test</Button></Form> : null}
      {mode !== 'none' ? <Button kind="bare" onClick={() => setMode('none')}>Back</Button> : null}
    </div>
  );
}
