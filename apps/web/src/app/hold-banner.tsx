import { useEffect, useRef } from 'react';
import { Link } from 'react-router';
import { serverNow } from '../shared/contact.js';
import { type HoldStage, type OpenHold, clockFace, holdStage, useOpenHolds } from '../shared/holds.js';
import { useNow } from '../shared/use-now.js';

const WORDS: Record<HoldStage, string> = {
  running: 'On test. The station ignores',
  ending: 'On test, ending soon. The station ignores',
  expired: 'The hold has run out: an alarm now would be a real alarm. No longer ignored:',
};

/** While an account is on test this stands on every screen, with its clock; also after a reload and without a network. */
export function HoldBanner() {
  const holds = useOpenHolds();
  if (holds.length === 0) return null;
  return <div className="holds">{holds.map((hold) => <Hold key={hold.holdId} hold={hold} />)}</div>;
}

function Hold({ hold }: { hold: OpenHold }) {
  const { stage, secondsLeft } = holdStage(hold.endsAt, serverNow(useNow(1000).getTime()));
  useShake(secondsLeft);
  return (
    <section className={`hold ${stage}`} aria-label={`On-test hold at ${hold.siteName}`}>
      <div className="hold-clock" role="timer" aria-label={stage === 'expired' ? 'run out' : `${Math.ceil(secondsLeft / 60)} minutes left`}>{stage === 'expired' ? `+${clockFace(-secondsLeft)}` : clockFace(secondsLeft)}</div>
      <div><strong>{WORDS[stage]} {hold.parts.join(', ')}</strong><br />{hold.siteName} · reference {hold.reference}{hold.isHereOnly ? <><br /><strong>On this phone only: not recorded, nobody else is warned. It holds only if the station confirmed it to you.</strong></> : null}</div>
      <Link className="button small" to={hold.path}>{stage === 'running' ? 'Go to the hold' : 'Extend or close the hold'}</Link>
      <span className="unseen" role="alert">{stage === 'running' ? '' : `${WORDS[stage]} ${hold.parts.join(', ')} at ${hold.siteName}`}</span>
    </section>
  );
}

/** The phone shakes at 15, 5 and 1 minute and when the hold runs out. */
function useShake(secondsLeft: number): void {
  const before = useRef(secondsLeft);
  useEffect(() => {
    const crossed = [900, 300, 60, 0].some((mark) => before.current > mark && secondsLeft <= mark);
    before.current = secondsLeft;
    if (crossed) navigator.vibrate?.([300, 150, 300]);
  }, [secondsLeft]);
}
