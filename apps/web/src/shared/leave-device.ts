import { forgetContact } from './contact.js';
import { wipeDayPack } from './day-pack.js';
import { replaceOpenHolds } from './holds.js';
import { keepMe } from './kept-me.js';

/** Forgets on this device all that the signed-in person could read. What they entered and is not sent yet stays, for them. */
export async function leaveDevice(): Promise<void> {
  keepMe(null);
  replaceOpenHolds([]);
  forgetContact();
  await wipeDayPack();
}
