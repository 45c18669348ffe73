import type { RoundTrip, StepVerdict } from '@bellround/contracts';
import { phrase } from '../../shared/language/index.js';
import { STEP_VERDICT } from '../../shared/words.js';

/** One tooth of the zipper: from the left rail (tripped here) to the right one (heard there); a side that is null dangles. */
export interface Tooth {
  readonly key: string;
  readonly left: number | null;
  readonly right: number | null;
  /** joined: one line; broken: its text differs; crossed: another zone, account, kind or path; late: beyond its limit; dangling-left: not received; waiting: may still come; dangling-right: unexplained */
  readonly shape: 'joined' | 'broken' | 'crossed' | 'late' | 'dangling-left' | 'waiting' | 'dangling-right';
  readonly isTwice: boolean;
  readonly here: string;
  readonly there: string;
  readonly words: string;
}
export interface Zipper { readonly teeth: readonly Tooth[]; readonly height: number }

export const ROW = 34;
const TOP = 26;
/** A tooth that arrives exactly at its limit falls by so much of a row; nothing falls further than one and a half. */
const LIMIT_FALL = 0.7;
const MOST_FALL = 1.5;

const SHAPES: Readonly<Record<StepVerdict, Tooth['shape']>> = {
  right: 'joined', 'wrong-text': 'broken', 'wrong-zone': 'crossed', 'wrong-account': 'crossed', 'wrong-kind': 'crossed', 'wrong-path': 'crossed', late: 'late', pending: 'waiting', 'not-received': 'dangling-left',
};

/** Lays out the round trip: one row a step or unexplained event, in order of time; a tooth's fall is its delay against its limit. */
export function zipperOf(trip: Pick<RoundTrip, 'steps' | 'events' | 'unexplained' | 'offsetS'>): Zipper {
  const events = new Map(trip.events.map((event) => [event.id, event]));
  const shift = (trip.offsetS ?? 0) * 1000;
  const rows = [
    ...trip.steps.map((step) => ({ at: Date.parse(step.at) + shift, step, event: step.eventId === null ? null : events.get(step.eventId) ?? null })),
    ...trip.unexplained.map((id) => ({ at: Date.parse(events.get(id)!.at), step: null, event: events.get(id)! })),
  ].sort((a, b) => a.at - b.at || ((a.step?.checkId ?? a.event!.id) < (b.step?.checkId ?? b.event!.id) ? -1 : 1));
  const teeth = rows.map(({ step, event }, n): Tooth => {
    const y = TOP + n * ROW;
    if (step === null) return { key: event!.id, left: null, right: y, shape: 'dangling-right', isTwice: false, here: '', there: eventWords(event!), words: phrase('visits.nobody-tripped-it-event', { event: eventWords(event!) }) };
    const fall = step.delayS === null ? 0 : Math.min(MOST_FALL, Math.max(0, (step.delayS / step.limitS) * LIMIT_FALL)) * ROW;
    return { key: step.checkId, left: y, right: event ? y + fall : null, shape: SHAPES[step.verdict], isTwice: step.twice, here: step.subjectName, there: event ? eventWords(event) : '', words: `${step.subjectName}: ${STEP_VERDICT[step.verdict]}. ${step.words}` };
  });
  return { teeth, height: TOP + Math.max(1, rows.length) * ROW + ROW * (MOST_FALL - 0.5) };
}

function eventWords(event: RoundTrip['events'][number]): string {
  return event.text ?? (event.zone === null ? event.kind ?? event.code : phrase('visits.zone-zone', { zone: event.zone }));
}
