import { clockFault, useContact } from '../shared/contact.js';
import { useDayPack } from '../shared/day-pack.js';
import { countWords, minutesWords, momentWords } from '../shared/format.js';
import { useMe } from '../shared/session.js';
import { useNow } from '../shared/use-now.js';

/** Says, while it is so, that there is no connection and how old what is read here is, and that this device's clock is wrong. */
export function ConnectionLine() {
  const { isUp, offsetMs } = useContact();
  const fault = clockFault(offsetMs);
  return (
    <>
      {isUp === false ? <Offline /> : null}
      {fault ? <p className="outbox-line refused" role="status"><span><strong>This device's clock is {fault}.</strong> Set it by the network. Until then each record carries the server's time, and the device's beside it as it was.</span></p> : null}
    </>
  );
}

function Offline() {
  const me = useMe();
  const pack = useDayPack();
  const now = useNow(30_000);
  const age = pack.at === null ? null : Math.max(0, Math.round((now.getTime() - Date.parse(pack.at)) / 60_000));
  return (
    <p className="outbox-line" role="status">
      <span><strong>No connection.</strong> {age === null || pack.at === null
        ? 'Nothing of your round is kept on this device; what was on screen stays, and what you enter is kept and sent later.'
        : `You read your round and ${countWords(pack.visits, 'visit')} from this device, as of ${momentWords(pack.at, me.company.timeZone)} (${age < 1 ? 'just now' : `${minutesWords(age)} ago`}). What you enter is kept and sent later.`}</span>
    </p>
  );
}
