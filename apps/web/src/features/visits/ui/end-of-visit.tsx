import type { VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { countWords, dayWords, minutesWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, Dialog, Form, Mark, Section, TextField, useToast } from '../../../shared/ui/index.js';
import { useCloseVisit, useLiveProof, useStopVisit } from '../api/visits.js';

/** What blocks leaving, what stays owed, and the two ways to end: close, or stop here with an exact remainder. */
export function EndOfVisit({ view }: { view: VisitView }) {
  const { owed, visit } = view;
  const [closing, setClosing] = useState(false);
  const [stopping, setStopping] = useState(false);
  const [proving, setProving] = useState(false);
  const blocks = [
    ...owed.holdsOpen.map((hold) => `account ${hold.accountNumber} is on test: close the hold with the station`),
    ...owed.putBack.map((item) => `${item.what}: put back, or hand over by name`),
    ...owed.excused.map((one) => `${one.subjectName}: excused (${one.excuseCode.replaceAll('-', ' ')}), owed again`),
    ...owed.contradicted.map((one) => `${one.subjectName}: ${one.words}`),
    ...(owed.liveProofMissing ? ['live proof is missing: one real signal after the hold'] : []),
  ];
  return (
    <Section title="Leave">
      {blocks.length > 0 ? <div className="note"><strong>Before leaving:</strong><ul>{blocks.map((one) => <li key={one}>{one}</li>)}</ul></div> : <Mark shape="whole" tone="good">Nothing stands in the way of leaving</Mark>}
      {owed.duties.length + owed.deficiencies.length > 0 ? <details><summary>{countWords(owed.duties.length, 'duty', 'duties')} stay owed after this, about {minutesWords(owed.minutes)}</summary><ul>{owed.duties.map((duty) => <li key={duty.id}>{duty.title}: {duty.subjectName}{duty.lapses ? `, lapses ${dayWords(duty.lapses)}` : ''}</li>)}{owed.deficiencies.map((one) => <li key={one.id}>{one.title}</li>)}</ul></details> : <p>Everything this visit was for is met.</p>}
      <div className="row">
        {owed.liveProofMissing && owed.holdsOpen.length === 0 ? <Button kind="do" onClick={() => setProving(true)}>Record live proof</Button> : null}
        <Button kind={blocks.length === 0 ? 'do' : 'plain'} onClick={() => setClosing(true)}>Close visit</Button>
        <Button onClick={() => setStopping(true)}>Stop here</Button>
      </div>
      {closing ? <CloseDialog visitId={visit.id} onClose={() => setClosing(false)} /> : null}
      {stopping ? <StopDialog view={view} onClose={() => setStopping(false)} /> : null}
      {proving ? <LiveProofDialog view={view} onClose={() => setProving(false)} /> : null}
    </Section>
  );
}

function CloseDialog({ visitId, onClose }: { visitId: string; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [signedBy, setSigned] = useState('');
  const [because, setBecause] = useState('');
  const toast = useToast();
  const close = useCloseVisit(() => { toast('Visit closed'); onClose(); });
  return (
    <Dialog title="Close visit" onClose={onClose}>
      <Form problem={close.error} onSubmit={() => close.mutate({ visitId, id, signedBy: signedBy.trim() || null, notSignedBecause: signedBy.trim() ? null : because.trim() || null })}>
        <TextField label="Signed by" name="signedBy" value={signedBy} onChange={setSigned} />
        {signedBy.trim() ? null : <TextField label="Not signed, because" name="notSignedBecause" value={because} onChange={setBecause} />}
        <Button kind="do" fill type="submit" busy={close.isPending}>Close visit</Button>
      </Form>
    </Dialog>
  );
}

function StopDialog({ view, onClose }: { view: VisitView; onClose: () => void }) {
  const [ids] = useState(() => [newId(), newId()] as const);
  const [reason, setReason] = useState('');
  const toast = useToast();
  const stop = useStopVisit(() => { toast('Stopped: what is left is a visit of its own'); onClose(); });
  return (
    <Dialog title="Stop here" onClose={onClose}>
      <Form problem={stop.error} onSubmit={() => stop.mutate({ visitId: view.visit.id, id: ids[0], remainderId: ids[1], reason })}>
        <p>{countWords(view.owed.duties.length, 'duty', 'duties')} stay not proven, about {minutesWords(view.owed.minutes)}; they become a follow-on visit.</p>
        <TextField label="Why you stop" name="reason" value={reason} onChange={setReason} required />
        <Button kind="do" fill type="submit" busy={stop.isPending}>Stop here</Button>
      </Form>
    </Dialog>
  );
}

function LiveProofDialog({ view, onClose }: { view: VisitView; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [signal, setSignal] = useState('');
  const [confirmedBy, setConfirmed] = useState('');
  const prove = useLiveProof(onClose);
  const accountId = view.holds[0]?.accountId ?? view.accounts[0]?.id ?? '';
  return (
    <Dialog title="Live proof" onClose={onClose}>
      <Form problem={prove.error} onSubmit={() => prove.mutate({ visitId: view.visit.id, id, accountId, signal, confirmedBy })}>
        <p>Send one real signal now that the account is live, and let the station read it back.</p>
        <TextField label="Signal sent" name="signal" value={signal} onChange={setSignal} required placeholder="set and unset" /><TextField label="Operator who saw it as live" name="confirmedBy" value={confirmedBy} onChange={setConfirmed} required />
        <Button kind="do" fill type="submit" busy={prove.isPending}>The station saw it live</Button>
      </Form>
    </Dialog>
  );
}
