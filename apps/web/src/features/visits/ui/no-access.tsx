import type { VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { newId } from '../../../shared/new-id.js';
import { Button, Dialog, Form, NumberField, Select, TextArea, useToast } from '../../../shared/ui/index.js';
import { useAttempt, useUpload } from '../api/visits.js';

const OUTCOMES = [['no-answer', 'nobody answered'], ['refused', 'refused'], ['only-minors', 'only minors at home'], ['wrong-contact', 'wrong contact'], ['moved-appointment', 'asked for another day'], ['unsafe', 'not safe']] as const;
const CAUSES = [['customer', 'the customer'], ['ours', 'us'], ['station', 'the station'], ['weather', 'the weather'], ['part-supplier', 'a parts supplier']] as const;

/** A try at access with its evidence; the visit comes back to the dispatcher. */
export function NoAccess({ view, onClose }: { view: VisitView; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [outcome, setOutcome] = useState<(typeof OUTCOMES)[number][0]>('no-answer');
  const [preventableBy, setCause] = useState<(typeof CAUSES)[number][0]>('customer');
  const [words, setWords] = useState('');
  const [waitedMin, setWaited] = useState<number | null>(10);
  const [place, setPlace] = useState<{ lat: number; lon: number } | null>(null);
  const [photo, setPhoto] = useState<{ id: string; name: string } | null>(null);
  const [trouble, setTrouble] = useState('');
  const toast = useToast();
  const upload = useUpload();
  const attempt = useAttempt(() => { toast('Recorded: the dispatcher sees it'); onClose(); });
  const locate = () => navigator.geolocation?.getCurrentPosition((at) => setPlace({ lat: at.coords.latitude, lon: at.coords.longitude }), () => setTrouble('The position could not be read; go on without it.'));
  const takePhoto = async (file: File | undefined) => {
    if (!file) return;
    if (file.size > 2_000_000) { setTrouble(`${file.name} is larger than 2 MB; take it smaller.`); return; }
    const bytes = new Uint8Array(await file.arrayBuffer());
    let text = '';
    for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
    const photoId = newId();
    upload.mutate({ id: photoId, contentBase64: btoa(text) }, { onSuccess: () => setPhoto({ id: photoId, name: file.name }) });
  };
  return (
    <Dialog title="No access" onClose={onClose}>
      <Form problem={attempt.error ?? upload.error} onSubmit={() => attempt.mutate({ siteId: view.site.id, id, visitId: view.visit.id, how: 'at-door', outcome, words, preventableBy, waitedMin, lat: place?.lat ?? null, lon: place?.lon ?? null, photoId: photo?.id ?? null })}>
        <Select label="What happened" name="outcome" value={outcome} onChange={(value) => setOutcome(value as typeof outcome)} options={OUTCOMES.map(([value, label]) => ({ value, label }))} />
        <TextArea label="In words" name="words" value={words} onChange={setWords} />
        <NumberField label="Waited" name="waitedMin" unit="min" min={0} max={600} step={5} value={waitedMin} onChange={setWaited} />
        <Select label="Who could have prevented it" name="preventableBy" value={preventableBy} onChange={(value) => setCause(value as typeof preventableBy)} options={CAUSES.map(([value, label]) => ({ value, label }))} />
        <div className="row"><Button onClick={locate}>{place ? 'Position kept' : 'Keep my position'}</Button><label className="button">{photo ? `Photo kept: ${photo.name}` : 'Photo of the door card'}<input className="unseen" type="file" accept="image/*" capture="environment" onChange={(event) => void takePhoto(event.target.files?.[0])} /></label></div>
        {trouble ? <p className="note">{trouble}</p> : null}
        <Button kind="do" fill type="submit" busy={attempt.isPending}>Record the attempt</Button>
      </Form>
    </Dialog>
  );
}
