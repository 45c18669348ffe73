import { type MyRound, routes } from '@bellround/contracts';
import { useEffect } from 'react';
import { ask, isProblem } from '../shared/client.js';
import { useContact } from '../shared/contact.js';
import { outbox } from '../shared/device-outbox.js';
import { keepAnswer, keepOnlyVisits, setDayPackState, VISIT_ROUTES } from '../shared/day-pack.js';
import { plusDays, todayIn } from '../shared/format.js';
import { useMe, useMay } from '../shared/session.js';

/** The pack is renewed so often while there is a network, and at once when it returns. */
const EVERY_MS = 10 * 60_000;
const GOES_ON = new Set(['published', 'open']);

/** The visits a technician may meet before the next morning's load: of today and tomorrow, and whatever is still open. */
export function visitsForThePack(round: MyRound, today: string): string[] {
  const until = plusDays(today, 1);
  const stops = round.days.flatMap(({ day, stops }) => stops.filter((stop) => stop.state === 'open' || (GOES_ON.has(stop.state) && day <= until)));
  return [...new Set(stops.map((stop) => stop.id))];
}

/** Fetches round and visits one after another and keeps each; tells what is here and what is missing. */
export async function fillDayPack(signal?: AbortSignal): Promise<void> {
  const at = new Date().toISOString();
  const round = await ask(routes.myRound, { days: 7 }, signal);
  if (!round.technician) return;
  const wanted = visitsForThePack(round, todayIn(round.technician.timeZone));
  let visits = 0;
  try {
    await keepAnswer(routes.myRound, {}, round);
    await keepOnlyVisits(wanted);
    for (const visitId of wanted) {
      for (const route of VISIT_ROUTES) await keepAnswer(route, { visitId }, await ask(route, { visitId }, signal));
      visits += 1;
    }
    await keepAnswer(routes.openHolds, {}, await ask(routes.openHolds, {}, signal));
    setDayPackState({ at, visits, of: wanted.length, trouble: null });
  } catch (error) {
    if (!signal?.aborted) setDayPackState({ at, visits, of: wanted.length, trouble: isProblem(error) ? 'no-answer' : 'full' });
  }
}

/** Keeps the signed-in technician's day on this device while the app is open. Shows nothing. */
export function DayPackFiller() {
  const me = useMe();
  const mayWork = useMay('work');
  const { isUp } = useContact();
  const isWanted = mayWork && me.technicianId !== null && isUp === true;
  useEffect(() => {
    if (!isWanted) return undefined;
    const stop = new AbortController();
    const fill = () => void fillDayPack(stop.signal).catch(() => undefined);
    // The screen's own questions go first.
    const first = setTimeout(fill, 1500);
    const timer = setInterval(fill, EVERY_MS);
    // What the house has just taken must be in the pack too, or a reload without a network would ask for it again.
    let soon: ReturnType<typeof setTimeout> | undefined;
    const stopHearing = outbox.onSent(() => { clearTimeout(soon); soon = setTimeout(fill, 3000); });
    return () => { stop.abort(); stopHearing(); clearTimeout(first); clearTimeout(soon); clearInterval(timer); };
  }, [isWanted, me.userId]);
  return null;
}
