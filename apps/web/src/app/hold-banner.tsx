import { routes } from '@bellround/contracts';
import { useEffect, useRef, useState } from 'react';
import { Link } from 'react-router';
import { serverNow } from '../shared/contact.js';
import { enqueue } from '../shared/device-outbox.js';
import { BACK_M, type HoldStage, LEFT_M, type OpenHold, clockFace, holdStage, isWarningDue, metresBetween, useOpenHolds } from '../shared/holds.js';
import { newId } from '../shared/new-id.js';
import { useMe } from '../shared/session.js';
import { Button } from '../shared/ui/index.js';
import { useNow } from '../shared/use-now.js';
import { phrase } from '../shared/language/index.js';
import { HOLD_PART, wordOf } from '../shared/words.js';
import { distanceWords } from '../shared/locale.js';

const WORDS: Record<HoldStage, string> = {
  running: phrase('app.on-test-the-station-ignores'),
  ending: phrase('app.on-test-ending-soon-the-station-ignores'),
  expired: phrase('app.the-hold-has-run-out-an-alarm'),
};

/** While an account is on test this stands on every screen, with its clock; also after a reload and without a network. */
export function HoldBanner() {
  const holds = useOpenHolds();
  if (holds.length === 0) return null;
  return <div className="holds">{holds.map((hold) => <Hold key={hold.holdId} hold={hold} />)}</div>;
}

function Hold({ hold }: { hold: OpenHold }) {
  const parts = hold.parts.map((part) => wordOf(HOLD_PART, part)).join(', ');
  const { stage, secondsLeft } = holdStage(hold.endsAt, serverNow(useNow(1000).getTime()));
  useShake(secondsLeft);
  const { away, canAsk, askLeave } = useDrivingOff(hold);
  return (
    <section className={`hold ${stage}`} aria-label={phrase('app.on-test-hold-at-sitename', { siteName: hold.siteName })}>
      <div className="hold-clock" role="timer" aria-label={stage === 'expired' ? phrase('app.run-out') : phrase('app.ceil-minutes-left', { ceil: Math.ceil(secondsLeft / 60) })}>{stage === 'expired' ? `+${clockFace(-secondsLeft)}` : clockFace(secondsLeft)}</div>
      <div><strong>{WORDS[stage]} {parts}</strong><br />{phrase('app.sitename-reference-reference', { siteName: hold.siteName, reference: hold.reference })}{hold.isHereOnly ? <><br /><strong>{phrase('app.on-this-phone-only-not-recorded-nobody')}</strong></> : null}</div>
      {away === null ? null : <strong role="alert">{phrase('app.you-are-away-m-away-and-the', { away: distanceWords(away) })}</strong>}
      {canAsk ? <Button size="small" onClick={askLeave}>{phrase('app.warn-me-when-i-drive-off')}</Button> : null}
      <Link className="button small" to={hold.path}>{stage === 'running' ? phrase('app.go-to-the-hold') : phrase('app.extend-or-close-the-hold')}</Link>
      <span className="unseen" role="alert">{stage === 'running' ? '' : phrase('app.stage-parts-at-site', { stage: WORDS[stage], parts, site: hold.siteName })}</span>
    </section>
  );
}

/** The phone shakes at 15, 5 and 1 minute and when the hold runs out. */
function useShake(secondsLeft: number): void {
  const before = useRef(secondsLeft);
  useEffect(() => {
    const crossed = isWarningDue(before.current, secondsLeft);
    before.current = secondsLeft;
    if (crossed) navigator.vibrate?.([300, 150, 300]);
  }, [secondsLeft]);
}

/**
 * Looks where a technician's phone is while an account is on test, once it may: further away than 500 m it shakes, says so, and
 * tells the house how far (never where). The house asks its own clock too, for a phone that is off.
 */
function useDrivingOff({ visitId, place }: OpenHold): { away: number | null; canAsk: boolean; askLeave: () => void } {
  const isTechnician = useMe().role === 'technician';
  const [permission, setPermission] = useState<string>('unknown');
  const [away, setAway] = useState<number | null>(null);
  const wasAway = useRef(false);
  const [lat, lon] = [place?.lat ?? null, place?.lon ?? null];
  const isAble = isTechnician && lat !== null && lon !== null && 'geolocation' in navigator;
  useEffect(() => {
    if (isAble) void navigator.permissions?.query({ name: 'geolocation' }).then((one) => { setPermission(one.state); one.onchange = () => setPermission(one.state); }, () => setPermission('prompt'));
  }, [isAble]);
  useEffect(() => {
    if (!isAble || permission !== 'granted') return undefined;
    const tell = (distanceM: number, isBack: boolean) => {
      const now = new Date().toISOString();
      void enqueue(routes.leftSite, { visitId, id: newId(), distanceM, isBack, deviceClockAt: now, deviceClockNow: now }, { title: isBack ? phrase('app.back-on-site') : phrase('app.distancem-m-away-still-on-test', { distanceM: distanceWords(distanceM) }), lane: `${visitId} place` }).catch(() => undefined);
    };
    const watch = navigator.geolocation.watchPosition(({ coords }) => {
      const far = metresBetween({ lat: lat!, lon: lon! }, { lat: coords.latitude, lon: coords.longitude });
      // A reading that may be off by more than it says decides nothing.
      if (coords.accuracy > LEFT_M) return;
      if (!wasAway.current && far > LEFT_M) { wasAway.current = true; navigator.vibrate?.([800, 200, 800, 200, 800]); tell(far, false); }
      if (wasAway.current && far < BACK_M) { wasAway.current = false; tell(far, true); }
      setAway(wasAway.current ? far : null);
    }, () => undefined, { enableHighAccuracy: true, maximumAge: 15_000 });
    return () => navigator.geolocation.clearWatch(watch);
  }, [isAble, permission, lat, lon, visitId]);
  return { away, canAsk: isAble && permission === 'prompt', askLeave: () => navigator.geolocation.getCurrentPosition(() => setPermission('granted'), () => setPermission('denied')) };
}
