import { type ReactNode, useState } from 'react';
import { readyPicture, type ReadyPicture } from '../ready-picture.js';
import { CheckBox } from './fields.js';
import { phrase } from '../language/index.js';

/**
 * Takes a picture with the camera, or a file, and hands it on ready to be sent. Where it was taken leaves this device only when the box is
 * ticked, and then beside the picture. `onStart` is told its name while it is made ready, and null when nothing came of it.
 */
export function PictureButton({ children, onStart, onPicture }: { children: ReactNode; onStart?: (name: string | null) => void; onPicture: (picture: ReadyPicture, name: string) => Promise<void> }) {
  const [isBusy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  const [keepsPlace, setKeepsPlace] = useState(false);
  const take = async (file: File | undefined) => {
    if (!file) return;
    setBusy(true);
    setTrouble(null);
    onStart?.(file.name);
    try {
      const picture = await readyPicture(file);
      await onPicture({ ...picture, place: keepsPlace ? picture.place : null }, file.name);
      if (keepsPlace && picture.place === null) setTrouble(phrase('app.the-picture-says-nothing-of-where-it'));
    } catch (error) {
      setTrouble((error as Error).message);
      onStart?.(null);
    }
    setBusy(false);
  };
  return (
    <div className="stack">
      <label className="button" aria-busy={isBusy}>{children}<input className="unseen" type="file" accept="image/*" capture="environment" disabled={isBusy} onChange={(event) => { void take(event.target.files?.[0]); event.target.value = ''; }} /></label>
      <CheckBox label={phrase('app.keep-where-it-was-taken')} checked={keepsPlace} onChange={setKeepsPlace} help={phrase('app.otherwise-place-moment-and-maker-are')} />
      {trouble ? <p className="note" role="status">{trouble}</p> : null}
    </div>
  );
}
