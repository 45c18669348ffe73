import { routes, type VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { countWords, dayWords, minutesWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, Dialog, Form, Mark, Section, TextField } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import { blocksOf, isLiveProofOwed, type QueuedView } from '../queued-view.js';
import { WayMark } from './way-mark.js';

/** What blocks leaving, what stays owed, and the two ways to end: close, or stop here with an exact remainder. */
export function EndOfVisit({ queued }: { queued: QueuedView }) {
  const { view } = queued;
  const { owed, visit } = view;
  const [closing, setClosing] = useState(false);
  const [stopping, setStopping] = useState(false);
  const [proving, setProving] = useState(false);
  const blocks = blocksOf(queued);
  const isHeld = queued.holds.some((hold) => hold.closedAt === null);
  return (
    <Section title="Leave">
      {blocks.length > 0 ? <div className="note"><strong>Before leaving:</strong><ul>{blocks.map((one) => <li key={one}>{one}</li>)}</ul></div> : <Mark shape="whole" tone="good">Nothing stands in the way of leaving</Mark>}
      {queued.waiting + queued.refused > 0 ? <p className="note">{countWords(queued.waiting, 'entry of this visit waits', 'entries of this visit wait')} on this phone{queued.refused > 0 ? `, ${countWords(queued.refused, 'was refused', 'were refused')}` : ''}. The house has accepted nothing of {queued.waiting + queued.refused === 1 ? 'it' : 'them'} yet; the visit ends in the house only after all of {queued.waiting + queued.refused === 1 ? 'it' : 'them'}.</p> : null}
      <WayMark way={queued.liveProofWay} what="Live proof entered" />
      <WayMark way={queued.endWay} what="The end of the visit entered" />
      {owed.duties.length + owed.deficiencies.length > 0 ? <details><summary>{countWords(owed.duties.length, 'duty', 'duties')} stay owed after this, about {minutesWords(owed.minutes)}</summary><ul>{owed.duties.map((duty) => <li key={duty.id}>{duty.title}: {duty.subjectName}{duty.lapses ? `, lapses ${dayWords(duty.lapses)}` : ''}</li>)}{owed.deficiencies.map((one) => <li key={one.id}>{one.title}</li>)}</ul></details> : <p>Everything this visit was for is met.</p>}
      <div className="row">
        {isLiveProofOwed(queued) && !isHeld ? <Button kind="do" onClick={() => setProving(true)}>Record live proof</Button> : null}
        <Button kind={blocks.length === 0 ? 'do' : 'plain'} onClick={() => setClosing(true)}>Close visit</Button>
        <Button onClick={() => setStopping(true)}>Stop here</Button>
      </div>
      {closing ? <CloseDialog visitId={visit.id} onClose={() => setClosing(false)} /> : null}
      {stopping ? <StopDialog view={view} onClose={() => setStopping(false)} /> : null}
      {proving ? <LiveProofDialog queued={queued} onClose={() => setProving(false)} /> : null}
    </Section>
  );
}

function CloseDialog({ visitId, onClose }: { visitId: string; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [signedBy, setSigned] = useState('');
  const [because, setBecause] = useState('');
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const close = useQueuedAct(routes.closeVisit, visitId, { done: onClose, taken: 'Visit closed', waits: 'Kept on this phone: the visit is not closed in the house yet' });
  const submit = () => {
    const wrong = signedBy.trim().length >= 2 || because.trim().length >= 3 ? [] : [{ path: 'signedBy', message: 'name who signed, or say below why nobody did' }];
    setFaults(wrong);
    if (wrong.length === 0) void close.put({ visitId, id, signedBy: signedBy.trim() || null, notSignedBecause: signedBy.trim() ? null : because.trim() || null }, 'Close the visit');
  };
  return (
    <Dialog title="Close visit" onClose={onClose}>
      <Form problem={close.problem} faults={faults} onSubmit={submit}>
        <TextField label="Signed by" name="signedBy" value={signedBy} onChange={setSigned} />
        {signedBy.trim() ? null : <TextField label="Not signed, because" name="notSignedBecause" value={because} onChange={setBecause} />}
        <Button kind="do" fill type="submit" busy={close.isBusy}>Close visit</Button>
      </Form>
    </Dialog>
  );
}

function StopDialog({ view, onClose }: { view: VisitView; onClose: () => void }) {
  const [ids] = useState(() => [newId(), newId()] as const);
  const [reason, setReason] = useState('');
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const stop = useQueuedAct(routes.stopVisit, view.visit.id, { done: onClose, taken: 'Stopped: what is left is a visit of its own', waits: 'Kept on this phone: the house does not know yet that you stopped' });
  const submit = () => {
    const wrong = reason.trim().length >= 3 ? [] : [{ path: 'reason', message: 'must say why you stop here' }];
    setFaults(wrong);
    if (wrong.length === 0) void stop.put({ visitId: view.visit.id, id: ids[0], remainderId: ids[1], reason }, `Stop here: ${reason}`);
  };
  const lapses = view.owed.duties.flatMap((duty) => duty.lapses ?? []).sort()[0];
  return (
    <Dialog title="Stop here" onClose={onClose}>
      <Form problem={stop.problem} faults={faults} onSubmit={submit}>
        <p>No proof for the site by this: {countWords(view.owed.duties.length, 'duty', 'duties')} left, about {minutesWords(view.owed.minutes)}{lapses ? `; the first lapses ${dayWords(lapses)}` : ''}. They become a follow-on visit that the dispatcher places before then.</p>
        <TextField label="Why you stop" name="reason" value={reason} onChange={setReason} required />
        <Button kind="do" fill type="submit" busy={stop.isBusy}>Stop here</Button>
      </Form>
    </Dialog>
  );
}

function LiveProofDialog({ queued, onClose }: { queued: QueuedView; onClose: () => void }) {
  const { view, holds } = queued;
  const [id] = useState(() => newId());
  const [signal, setSignal] = useState('');
  const [confirmedBy, setConfirmed] = useState('');
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const prove = useQueuedAct(routes.liveProof, view.visit.id, { done: onClose, taken: 'Live proof recorded', waits: 'Kept on this phone: the live proof is not recorded yet' });
  const accountId = holds.at(-1)?.accountId ?? view.accounts[0]?.id ?? '';
  const submit = () => {
    const wrong = [...(signal.trim().length >= 2 ? [] : [{ path: 'signal', message: 'must say which signal was sent' }]), ...(confirmedBy.trim().length >= 2 ? [] : [{ path: 'confirmedBy', message: 'must be a name of at least 2 characters' }])];
    setFaults(wrong);
    if (wrong.length === 0) void prove.put({ visitId: view.visit.id, id, accountId, signal, confirmedBy }, `Live proof: ${signal}`);
  };
  return (
    <Dialog title="Live proof" onClose={onClose}>
      <Form problem={prove.problem} faults={faults} onSubmit={submit}>
        <p>Send one real signal now that the account is live, and let the station read it back.</p>
        <TextField label="Signal sent" name="signal" value={signal} onChange={setSignal} required placeholder="set and unset" /><TextField label="Operator who saw it as live" name="confirmedBy" value={confirmedBy} onChange={setConfirmed} required />
        <Button kind="do" fill type="submit" busy={prove.isBusy}>The station saw it live</Button>
      </Form>
    </Dialog>
  );
}
