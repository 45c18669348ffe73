import { clockFault, useContact } from '../shared/contact.js';
import { useDayPack } from '../shared/day-pack.js';
import { minutesWords, momentWords } from '../shared/format.js';
import { useMe } from '../shared/session.js';
import { useNow } from '../shared/use-now.js';
import { phrase } from '../shared/language/index.js';

/** Says, while it is so, that there is no connection and how old what is read here is, and that this device's clock is wrong. */
export function ConnectionLine() {
  const { isUp, offsetMs } = useContact();
  const fault = clockFault(offsetMs);
  return (
    <>
      {isUp === false ? <Offline /> : null}
      {fault ? <p className="outbox-line refused" role="status"><span><strong>{phrase('app.this-devices-clock-is-fault', { fault })}</strong> {phrase('app.set-it-by-the-network-until-then')}</span></p> : null}
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
      <span><strong>{phrase('app.no-connection')}</strong> {age === null || pack.at === null
        ? phrase('app.nothing-of-your-round-is-kept-on')
        : phrase('app.you-read-your-round-and-visits-from', { visits: phrase('count.visit', { n: pack.visits }), at: momentWords(pack.at, me.company.timeZone), value: age < 1 ? phrase('app.just-now') : phrase('app.age-ago', { age: minutesWords(age) }) })}</span>
    </p>
  );
}
