import { routes } from '@bellround/contracts';
import { useState } from 'react';
import { enqueue } from '../../../shared/device-outbox.js';
import { dropDraft, keepDraft, readDraft } from '../../../shared/drafts.js';
import { newId } from '../../../shared/new-id.js';
import { readyPicture } from '../../../shared/ready-picture.js';
import { Button, Dialog, Form, NumberField, Select, TextArea } from '../../../shared/ui/index.js';
import { useQueuedAct } from '../api/queued.js';
import { useOwner } from '../api/visits.js';
import type { QueuedView } from '../queued-view.js';
import { phrase } from '../../../shared/language/index.js';

const OUTCOMES = [['no-answer', phrase('visits.nobody-answered')], ['refused', 'refused'], ['only-minors', phrase('visits.only-minors-at-home')], ['wrong-contact', phrase('visits.wrong-contact')], ['moved-appointment', phrase('visits.asked-for-another-day')], ['unsafe', phrase('visits.not-safe')]] as const;
const CAUSES = [['customer', phrase('visits.the-customer-2')], ['ours', 'us'], ['station', phrase('visits.the-station')], ['weather', phrase('visits.the-weather')], ['part-supplier', phrase('visits.a-parts-supplier')]] as const;

interface AttemptDraft {
  readonly id: string; readonly outcome: (typeof OUTCOMES)[number][0]; readonly preventableBy: (typeof CAUSES)[number][0]; readonly words: string; readonly waitedMin: number | null;
  readonly place: { lat: number; lon: number } | null; readonly photo: { id: string; name: string } | null;
  /** a photo that was being kept when the app ended */
  readonly unfinished: string | null;
}

/** A try at access with its evidence; the visit comes back to the dispatcher. */
export function NoAccess({ queued, onClose }: { queued: QueuedView; onClose: () => void }) {
  const { view } = queued;
  const owner = useOwner();
  const visitId = view.visit.id;
  const [draft, setDraft] = useState<AttemptDraft>(() => readDraft<AttemptDraft>(owner, visitId, 'no access') ?? { id: newId(), outcome: 'no-answer', preventableBy: 'customer', words: '', waitedMin: 10, place: null, photo: null, unfinished: null });
  const [trouble, setTrouble] = useState(() => (draft.unfinished ? phrase('visits.the-photo-unfinished-was-not-finished-when', { unfinished: draft.unfinished }) : ''));
  const [problem, setProblem] = useState<unknown>(null);
  const change = (part: Partial<AttemptDraft>) => setDraft((before) => { const next = { ...before, ...part }; keepDraft(owner, visitId, 'no access', next); return next; });
  const attempt = useQueuedAct(routes.recordAttempt, visitId, { done: () => { dropDraft(owner, visitId, 'no access'); onClose(); }, taken: phrase('visits.recorded-the-dispatcher-sees-it'), waits: phrase('visits.kept-on-this-phone-the-dispatcher-does') });
  const locate = () => navigator.geolocation?.getCurrentPosition((at) => change({ place: { lat: at.coords.latitude, lon: at.coords.longitude } }), () => setTrouble(phrase('visits.the-position-could-not-be-read-go')));
  const takePhoto = async (file: File | undefined) => {
    if (!file) return;
    change({ unfinished: file.name });
    try {
      const { contentBase64 } = await readyPicture(file);
      const id = newId();
      await enqueue(routes.uploadAttachment, { id, contentBase64 }, { title: phrase('visits.photo-name', { name: file.name }), lane: visitId });
      change({ photo: { id, name: file.name }, unfinished: null });
      setTrouble('');
    } catch (error) {
      setProblem(error);
    }
  };
  const { outcome, words, preventableBy, waitedMin, place, photo } = draft;
  return (
    <Dialog title={phrase('visits.no-access-2')} onClose={onClose}>
      <Form problem={attempt.problem ?? problem} onSubmit={() => void attempt.put({ siteId: view.site.id, id: draft.id, visitId, how: 'at-door', outcome, words, preventableBy, waitedMin, lat: place?.lat ?? null, lon: place?.lon ?? null, photoId: photo?.id ?? null }, phrase('visits.no-access-at-name-value', { name: view.site.name, value: OUTCOMES.find(([value]) => value === outcome)![1] }))}>
        <Select label={phrase('visits.what-happened')} name="outcome" value={outcome} onChange={(value) => change({ outcome: value as typeof outcome })} options={OUTCOMES.map(([value, label]) => ({ value, label }))} />
        <TextArea label={phrase('visits.in-words')} name="words" value={words} onChange={(next) => change({ words: next })} />
        <NumberField label={phrase('visits.waited')} name="waitedMin" unit={phrase('visits.min')} min={0} max={600} step={5} value={waitedMin} onChange={(next) => change({ waitedMin: next })} />
        <Select label={phrase('visits.who-could-have-prevented-it')} name="preventableBy" value={preventableBy} onChange={(value) => change({ preventableBy: value as typeof preventableBy })} options={CAUSES.map(([value, label]) => ({ value, label }))} />
        <div className="row"><Button onClick={locate}>{place ? phrase('visits.position-kept') : phrase('visits.keep-my-position')}</Button><label className="button">{photo ? phrase('visits.photo-kept-name', { name: photo.name }) : phrase('visits.photo-of-the-door-card')}<input className="unseen" type="file" accept="image/*" capture="environment" onChange={(event) => void takePhoto(event.target.files?.[0])} /></label></div>
        {trouble ? <p className="note" role="status">{trouble}</p> : null}
        <Button kind="do" fill type="submit" busy={attempt.isBusy} disabled={words.trim().length < 3}>{phrase('visits.record-the-attempt')}</Button>
      </Form>
    </Dialog>
  );
}
