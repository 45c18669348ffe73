import { routes, type VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { dayWords, minutesWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, Dialog, Form, Mark, Section, TextField } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import { blocksOf, isLiveProofOwed, type QueuedView } from '../queued-view.js';
import { WayMark } from './way-mark.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

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
    <Section title={phrase('visits.leave')}>
      {blocks.length > 0 ? <div className="note"><strong>{phrase('visits.before-leaving')}</strong><ul>{blocks.map((one) => <li key={one}>{one}</li>)}</ul></div> : <Mark shape="whole" tone="good">{phrase('visits.nothing-stands-in-the-way-of-leaving')}</Mark>}
      {queued.waiting + queued.refused > 0 ? <p className="note">{phrase('visits.waiting-on-this-phone-value-the-house', { waiting: phrase('count.entry-of-this-visit-waits', { n: queued.waiting }), value: queued.refused > 0 ? `, ${phrase('count.was-refused', { n: queued.refused })}` : '', value2: queued.waiting + queued.refused === 1 ? phrase('visits.it') : phrase('visits.them'), value3: queued.waiting + queued.refused === 1 ? phrase('visits.it') : phrase('visits.them') })}</p> : null}
      <WayMark way={queued.liveProofWay} what={phrase('visits.live-proof-entered')} />
      <WayMark way={queued.endWay} what={phrase('visits.the-end-of-the-visit-entered')} />
      {owed.duties.length + owed.deficiencies.length > 0 ? <details><summary>{phrase('visits.duties-stay-owed-after-this-about-minutes', { duties: phrase('count.duty', { n: owed.duties.length }), minutes: minutesWords(owed.minutes) })}</summary><ul>{owed.duties.map((duty) => <li key={duty.id}>{said(duty.title)}: {duty.subjectName}{duty.lapses ? phrase('visits.lapses-lapses', { lapses: dayWords(duty.lapses) }) : ''}</li>)}{owed.deficiencies.map((one) => <li key={one.id}>{said(one.title)}</li>)}</ul></details> : <p>{phrase('visits.everything-this-visit-was-for-is-met')}</p>}
      <div className="row">
        {isLiveProofOwed(queued) && !isHeld ? <Button kind="do" onClick={() => setProving(true)}>{phrase('visits.record-live-proof')}</Button> : null}
        <Button kind={blocks.length === 0 ? 'do' : 'plain'} onClick={() => setClosing(true)}>{phrase('visits.close-visit')}</Button>
        <Button onClick={() => setStopping(true)}>{phrase('visits.stop-here')}</Button>
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
  const close = useQueuedAct(routes.closeVisit, visitId, { done: onClose, taken: phrase('visits.visit-closed'), waits: phrase('visits.kept-on-this-phone-the-visit-is') });
  const submit = () => {
    const wrong = signedBy.trim().length >= 2 || because.trim().length >= 3 ? [] : [{ path: 'signedBy', message: phrase('visits.name-who-signed-or-say-below-why') }];
    setFaults(wrong);
    if (wrong.length === 0) void close.put({ visitId, id, signedBy: signedBy.trim() || null, notSignedBecause: signedBy.trim() ? null : because.trim() || null }, phrase('visits.close-the-visit'));
  };
  return (
    <Dialog title={phrase('visits.close-visit')} onClose={onClose}>
      <Form problem={close.problem} faults={faults} onSubmit={submit}>
        <TextField label={phrase('visits.signed-by')} name="signedBy" value={signedBy} onChange={setSigned} />
        {signedBy.trim() ? null : <TextField label={phrase('visits.not-signed-because')} name="notSignedBecause" value={because} onChange={setBecause} />}
        <Button kind="do" fill type="submit" busy={close.isBusy}>{phrase('visits.close-visit')}</Button>
      </Form>
    </Dialog>
  );
}

function StopDialog({ view, onClose }: { view: VisitView; onClose: () => void }) {
  const [ids] = useState(() => [newId(), newId()] as const);
  const [reason, setReason] = useState('');
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const stop = useQueuedAct(routes.stopVisit, view.visit.id, { done: onClose, taken: phrase('visits.stopped-what-is-left-is-a-visit'), waits: phrase('visits.kept-on-this-phone-the-house-does') });
  const submit = () => {
    const wrong = reason.trim().length >= 3 ? [] : [{ path: 'reason', message: phrase('visits.must-say-why-you-stop-here') }];
    setFaults(wrong);
    if (wrong.length === 0) void stop.put({ visitId: view.visit.id, id: ids[0], remainderId: ids[1], reason }, phrase('visits.stop-here-reason', { reason }));
  };
  const lapses = view.owed.duties.flatMap((duty) => duty.lapses ?? []).sort()[0];
  return (
    <Dialog title={phrase('visits.stop-here')} onClose={onClose}>
      <Form problem={stop.problem} faults={faults} onSubmit={submit}>
        <p>{phrase('visits.no-proof-for-the-site-by-this', { duties: phrase('count.duty', { n: view.owed.duties.length }), minutes: minutesWords(view.owed.minutes), value: lapses ? phrase('visits.the-first-lapses-lapses', { lapses: dayWords(lapses) }) : '' })}</p>
        <TextField label={phrase('visits.why-you-stop')} name="reason" value={reason} onChange={setReason} required />
        <Button kind="do" fill type="submit" busy={stop.isBusy}>{phrase('visits.stop-here')}</Button>
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
  const prove = useQueuedAct(routes.liveProof, view.visit.id, { done: onClose, taken: phrase('visits.live-proof-recorded'), waits: phrase('visits.kept-on-this-phone-the-live-proof') });
  const accountId = holds.at(-1)?.accountId ?? view.accounts[0]?.id ?? '';
  const submit = () => {
    const wrong = [...(signal.trim().length >= 2 ? [] : [{ path: 'signal', message: phrase('visits.must-say-which-signal-was-sent') }]), ...(confirmedBy.trim().length >= 2 ? [] : [{ path: 'confirmedBy', message: phrase('visits.must-be-a-name-of-at-least') }])];
    setFaults(wrong);
    if (wrong.length === 0) void prove.put({ visitId: view.visit.id, id, accountId, signal, confirmedBy }, phrase('visits.live-proof-signal', { signal }));
  };
  return (
    <Dialog title={phrase('visits.live-proof')} onClose={onClose}>
      <Form problem={prove.problem} faults={faults} onSubmit={submit}>
        <p>{phrase('visits.send-one-real-signal-now-that-the')}</p>
        <TextField label={phrase('visits.signal-sent')} name="signal" value={signal} onChange={setSignal} required placeholder={phrase('visits.set-and-unset')} /><TextField label={phrase('visits.operator-who-saw-it-as-live')} name="confirmedBy" value={confirmedBy} onChange={setConfirmed} required />
        <Button kind="do" fill type="submit" busy={prove.isBusy}>{phrase('visits.the-station-saw-it-live')}</Button>
      </Form>
    </Dialog>
  );
}
