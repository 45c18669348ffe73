import { labelPath } from '@bellround/contracts';
import { useEffect, useRef, useState } from 'react';
import { useNavigate } from 'react-router';
import { Button, LinkButton, Page } from '../../../shared/ui/index.js';
import { type Look, lookAtFrame, lookAtPicture } from './read-label.js';
import './labels.css';
import { phrase } from '../../../shared/language/index.js';

const LOOK_EVERY_MS = 300;

/** Reads a site's or device's label by the camera, or from a picture where the camera is not given. */
export function ScanScreen() {
  const go = useNavigate();
  const [isLooking, setLooking] = useState(false);
  const [words, setWords] = useState('');
  const seen = (look: Look, nothing: string) => {
    if (look && 'label' in look) void go(labelPath(look.label.kind, look.label.id));
    else setWords(look ? phrase('fleet.stranger-is-no-label-of-bellround', { stranger: look.stranger }) : nothing);
  };
  const fromPicture = async (file: File | undefined) => {
    if (!file) return;
    setWords(phrase('fleet.reading'));
    await lookAtPicture(file).then((look) => seen(look, phrase('fleet.no-code-was-found-in-the-picture')), () => setWords(phrase('fleet.the-picture-could-not-be-read-take')));
  };
  return (
    <Page title={phrase('fleet.scan-a-label')} lead={phrase('fleet.a-label-beside-the-control-unit-or')} slim>
      {isLooking ? <Viewfinder onLook={(look) => { if (look) seen(look, ''); }} onTrouble={(trouble) => { setLooking(false); setWords(trouble); }} /> : <Button kind="do" size="big" fill onClick={() => { setWords(''); setLooking(true); }}>{phrase('fleet.look-through-the-camera')}</Button>}
      <div className="row">
        {isLooking ? <Button onClick={() => setLooking(false)}>{phrase('fleet.close-the-camera')}</Button> : null}
        <label className="button">{phrase('fleet.take-a-picture-of-the-label')}<input className="unseen" type="file" accept="image/*" capture="environment" onChange={(event) => { void fromPicture(event.target.files?.[0]); event.target.value = ''; }} /></label>
        <LinkButton to="/my-round">{phrase('fleet.back-to-my-round')}</LinkButton>
      </div>
      {words ? <p className="note" role="status">{words}</p> : null}
    </Page>
  );
}

function Viewfinder({ onLook, onTrouble }: { onLook: (look: Look) => void; onTrouble: (words: string) => void }) {
  const video = useRef<HTMLVideoElement>(null);
  const told = useRef({ onLook, onTrouble });
  told.current = { onLook, onTrouble };
  useEffect(() => {
    let stream: MediaStream | null = null;
    let isOver = false;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const look = async () => {
      if (isOver || !video.current) return;
      told.current.onLook(await lookAtFrame(video.current).catch(() => null));
      if (!isOver) timer = setTimeout(() => void look(), LOOK_EVERY_MS);
    };
    const camera = navigator.mediaDevices?.getUserMedia({ video: { facingMode: 'environment' } }) ?? Promise.reject(new Error('no camera'));
    camera.then(async (given) => {
      stream = given;
      if (isOver || !video.current) { given.getTracks().forEach((track) => track.stop()); return; }
      video.current.srcObject = given;
      await video.current.play();
      void look();
    }).catch(() => told.current.onTrouble(phrase('fleet.the-camera-is-not-given-to-this')));
    return () => { isOver = true; clearTimeout(timer); stream?.getTracks().forEach((track) => track.stop()); };
  }, []);
  return <video ref={video} className="scan-view" muted playsInline aria-label={phrase('fleet.what-the-camera-sees')} />;
}
