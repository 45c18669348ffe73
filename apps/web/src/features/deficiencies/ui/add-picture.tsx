import { routes } from '@bellround/contracts';
import { enqueue, enqueueAndSee } from '../../../shared/device-outbox.js';
import { newId } from '../../../shared/new-id.js';
import { PictureButton, useToast } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';

/** A picture of a deficiency: kept on this device at once, sent when there is a network, in order: the picture, then what it is of. */
export function AddPicture({ deficiencyId, title }: { deficiencyId: string; title: string }) {
  const toast = useToast();
  return (
    <PictureButton onPicture={async ({ contentBase64, place }, name) => {
      const [attachmentId, id, now] = [newId(), newId(), new Date().toISOString()];
      const lane = `deficiency ${deficiencyId}`;
      await enqueue(routes.uploadAttachment, { id: attachmentId, contentBase64 }, { title: phrase('deficiencies.picture-name', { name }), lane });
      const outcome = await enqueueAndSee(routes.photoOfDeficiency, { deficiencyId, id, attachmentId, words: '', place, deviceClockAt: now, deviceClockNow: now }, { title: phrase('deficiencies.picture-of-title', { title }), lane });
      if (outcome.how === 'refused') throw outcome.problem;
      toast(outcome.how === 'waiting' ? phrase('deficiencies.the-picture-waits-on-this-device') : phrase('deficiencies.the-picture-is-kept'));
    }}>{phrase('deficiencies.add-a-picture')}</PictureButton>
  );
}
