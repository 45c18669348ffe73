import { holdCover, type CheckToDo, type HoldCover } from '@bellround/contracts';
import { useEffect, useRef, useState } from 'react';
import { timeWords } from '../../../shared/format.js';
import { Button, Mark, TextField } from '../../../shared/ui/index.js';
import type { QueuedHold, QueuedView } from '../queued-view.js';
import { phrase } from '../../../shared/language/index.js';

/** Whether a signal of this subject would be ignored by the station at `at`; needs no network. */
export function coverOf(queued: QueuedView, toDo: CheckToDo, at: Date): HoldCover<QueuedHold> {
  const { view, holds } = queued;
  const system = view.systems.find((one) => one.id === toDo.systemId);
  const live = view.accounts.filter((account) => account.status !== 'cancelled').map((account) => account.id);
  return holdCover(holds, { accountId: system?.accountId ?? null, systemKind: system?.kind ?? '', kind: toDo.subjectKind }, live, at.toISOString());
}

/**
 * Interrupts a step that would signal while nothing covers it: before it begins, and in its middle when the hold runs out.
 * What was entered stays. A step done before the hold ended is told with its time; the house looks at that time again.
 */
export function LiveGuard({ cover, timeZone, onDoneBefore, onNotTried }: { cover: HoldCover<QueuedHold> & { isCovered: false }; timeZone: string; onDoneBefore: (at: string) => void; onNotTried: () => void }) {
  const box = useRef<HTMLDivElement>(null);
  const [time, setTime] = useState('');
  const [fault, setFault] = useState<string | null>(null);
  useEffect(() => { box.current?.focus(); navigator.vibrate?.([400, 150, 400, 150, 400]); }, []);
  const { last } = cover;
  const ended = last === null ? null : last.closedAt !== null && last.closedAt < last.untilAt ? last.closedAt : last.untilAt;
  const take = () => {
    const at = last === null || ended === null ? null : momentBefore(time, last.openedAt, ended, timeZone);
    if (at === null) setFault(phrase('visits.must-be-a-time-inside-that-hold'));
    else onDoneBefore(at);
  };
  return (
    <div ref={box} className="live-guard" role="alert" tabIndex={-1}>
      <Mark shape="fallen" tone="bad"><strong className="live-words">{phrase('visits.live-will-dispatch')}</strong></Mark>
      <p>{phrase('visits.value-a-signal-now-is-a-real', { value: last === null ? phrase('visits.no-hold-of-this-visit-covers-this') : phrase('visits.the-hold-with-reference-stationreference-ended-at', { stationReference: last.stationReference, ended: timeWords(ended!, timeZone) }) })}</p>
      <p>{phrase('visits.stop-put-the-account-on-test-above')}</p>
      {last !== null ? <div className="row"><TextField label={phrase('visits.it-was-tripped-before-that-at')} type="time" value={time} onChange={setTime} fault={fault} /><Button onClick={take}>{phrase('visits.take-this-time')}</Button></div> : null}
      <Button onClick={onNotTried}>{phrase('visits.not-tried-because-it-is-live')}</Button>
    </div>
  );
}

/** The instant inside [from, until) whose local time of day is `time`, or null; a hold lasts a day at most. */
export function momentBefore(time: string, from: string, until: string, timeZone: string): string | null {
  if (!/^\d{2}:\d{2}$/.test(time)) return null;
  for (let at = Math.floor((Date.parse(until) - 1) / 60_000) * 60_000; at + 59_999 >= Date.parse(from); at -= 60_000) {
    const inside = new Date(Math.max(at, Date.parse(from))).toISOString();
    if (timeWords(inside, timeZone) === time && inside < until) return inside;
  }
  return null;
}
