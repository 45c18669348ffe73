import { labelPath } from '@bellround/contracts';
import { useEffect, useRef, useState } from 'react';
import { useNavigate } from 'react-router';
import { Button, LinkButton, Page } from '../../../shared/ui/index.js';
import { type Look, lookAtFrame, lookAtPicture } from './read-label.js';
import './labels.css';

const LOOK_EVERY_MS = 300;

/** Reads a site's or device's label by the camera, or from a picture where the camera is not given. */
export function ScanScreen() {
  const go = useNavigate();
  const [isLooking, setLooking] = useState(false);
  const [words, setWords] = useState('');
  const seen = (look: Look, nothing: string) => {
    if (look && 'label' in look) void go(labelPath(look.label.kind, look.label.id));
    else setWords(look ? `'${look.stranger}' is no label of Bellround.` : nothing);
  };
  const fromPicture = async (file: File | undefined) => {
    if (!file) return;
    setWords('Reading …');
    await lookAtPicture(file).then((look) => seen(look, 'No code was found in the picture. Go closer, hold it straight, mind the glare.'), () => setWords('The picture could not be read; take it again.'));
  };
  return (
    <Page title="Scan a label" lead="A label beside the control unit or on a device leads to the visit there." slim>
      {isLooking ? <Viewfinder onLook={(look) => { if (look) seen(look, ''); }} onTrouble={(trouble) => { setLooking(false); setWords(trouble); }} /> : <Button kind="do" size="big" fill onClick={() => { setWords(''); setLooking(true); }}>Look through the camera</Button>}
      <div className="row">
        {isLooking ? <Button onClick={() => setLooking(false)}>Close the camera</Button> : null}
        <label className="button">Take a picture of the label<input className="unseen" type="file" accept="image/*" capture="environment" onChange={(event) => { void fromPicture(event.target.files?.[0]); event.target.value = ''; }} /></label>
        <LinkButton to="/my-round">Back to my round</LinkButton>
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
    }).catch(() => told.current.onTrouble('The camera is not given to this page. Allow it in the browser\'s settings, or take a picture of the label.'));
    return () => { isOver = true; clearTimeout(timer); stream?.getTracks().forEach((track) => track.stop()); };
  }, []);
  return <video ref={video} className="scan-view" muted playsInline aria-label="What the camera sees" />;
}
