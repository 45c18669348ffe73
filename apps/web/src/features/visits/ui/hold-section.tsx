import type { HoldRow, VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { momentWords, timeWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, CautionBox, CheckBox, Form, NumberField, Section, Select, TextField } from '../../../shared/ui/index.js';
import { useCloseHold, useExtendHold, useOpenHold } from '../api/visits.js';

const PARTS = ['intrusion', 'fire', 'panic', 'hold-up', 'co', 'environmental', 'paths'] as const;
const clock = () => { const now = new Date().toISOString(); return { deviceClockAt: now, deviceClockNow: now }; };

/** The on-test hold of this visit: open it before anything that can raise an alarm, close it before leaving. */
export function HoldSection({ view }: { view: VisitView }) {
  const open = view.holds.filter((hold) => hold.closedAt === null);
  const [asking, setAsking] = useState(false);
  return (
    <Section title="On-test hold">
      {open.map((hold) => <OpenHold key={hold.id} hold={hold} />)}
      {view.holds.filter((hold) => hold.closedAt !== null).map((hold) => <p key={hold.id} className="small">Closed {momentWords(hold.closedAt!, hold.timeZone)}: confirmed by {hold.closeConfirmedBy}, {hold.signalsReceived} signals received.</p>)}
      {open.length === 0 && !asking ? (view.accounts.length === 0 ? <p className="note">This site has no account at a station; nothing can be put on test.</p> : <Button kind="do" fill onClick={() => setAsking(true)}>Put the account on test</Button>) : null}
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
  const hold = useOpenHold(onDone);
  return (
    <Form problem={hold.error} onSubmit={() => hold.mutate({ visitId: view.visit.id, id, accountId, parts: [...parts], stationReference, operatorName, untilAt: new Date(Date.now() + (minutes ?? 60) * 60_000).toISOString(), ...clock() })}>
      <CautionBox>Call the station first. Until the station has confirmed, everything you trip is a real alarm.</CautionBox>
      <Select label="Account" name="accountId" value={accountId} onChange={setAccount} options={view.accounts.map((one) => ({ value: one.id, label: `${one.number} at ${one.stationName}` }))} />
      <fieldset><legend>Parts on test (none chosen: everything)</legend>{PARTS.map((part) => <CheckBox key={part} label={part} checked={parts.includes(part)} onChange={(on) => setParts(on ? [...parts, part] : parts.filter((one) => one !== part))} />)}</fieldset>
      <TextField label="Station’s reference" name="stationReference" value={stationReference} onChange={setReference} required />
      <TextField label="Operator’s name" name="operatorName" value={operatorName} onChange={setOperator} required />
      <NumberField label="For how long" name="untilAt" unit="min" min={5} max={720} step={15} value={minutes} onChange={setMinutes} />
      <Button kind="do" fill type="submit" busy={hold.isPending}>The station confirmed: on test</Button>
      <Button fill onClick={onDone}>Leave it live</Button>
    </Form>
  );
}

function OpenHold({ hold }: { hold: HoldRow }) {
  const [id, setId] = useState(() => newId());
  const [mode, setMode] = useState<'none' | 'extend' | 'close'>('none');
  const [name, setName] = useState('');
  const [number, setNumber] = useState<number | null>(null);
  const done = () => { setMode('none'); setId(newId()); setNumber(null); };
  const extend = useExtendHold(done);
  const close = useCloseHold(done);
  return (
    <div className="leaf stack">
      <p><strong>On test until {timeWords(hold.untilAt, hold.timeZone)}</strong>: account {hold.accountNumber}, {hold.parts.length > 0 ? hold.parts.join(', ') : 'everything'}; reference {hold.stationReference}, {hold.operatorName}</p>
      {mode === 'none' ? <div className="row"><Button onClick={() => setMode('extend')}>Extend</Button><Button kind="do" onClick={() => setMode('close')}>Close the hold</Button></div> : null}
      {mode === 'extend' ? <Form problem={extend.error} onSubmit={() => extend.mutate({ holdId: hold.id, id, untilAt: new Date(Math.max(Date.now(), Date.parse(hold.untilAt)) + (number ?? 30) * 60_000).toISOString(), operatorName: name, ...clock() })}>
        <NumberField label="Longer by" unit="min" min={5} max={480} step={15} value={number ?? 30} onChange={setNumber} /><TextField label="Operator who confirmed" name="operatorName" value={name} onChange={setName} required />
        <Button kind="do" type="submit" busy={extend.isPending}>The station confirmed: extend</Button></Form> : null}
      {mode === 'close' ? <Form problem={close.error} onSubmit={() => close.mutate({ holdId: hold.id, id, confirmedBy: name, signalsReceived: number ?? 0, ...clock() })}>
        <CautionBox title="Before you close it">Everything put back? After this the station acts on every signal.</CautionBox>
        <TextField label="Operator who confirmed it is off test" name="confirmedBy" value={name} onChange={setName} required /><NumberField label="Signals the station received" name="signalsReceived" unit="" min={0} max={100000} step={1} value={number} onChange={setNumber} required />
        <Button kind="do" type="submit" busy={close.isPending} disabled={number === null}>The station confirmed: off test</Button></Form> : null}
      {mode !== 'none' ? <Button kind="bare" onClick={() => setMode('none')}>Back</Button> : null}
    </div>
  );
}
