import type { AccessCalendar } from './access-calendar.js';
import { closedBecause, quietBecause } from './access-calendar.js';
import type { DutyHistory, DutyWindow } from './duty-history.js';
import { RecurrenceInputError } from './errors.js';
import { type LocalDate, dayNumber, fromDayNumber } from './local-date.js';
import { governing } from './standing.js';
import { timeline } from './timeline.js';

/** One duty of a site (or of neighbouring sites) in a plan over years. */
export interface PlannedDuty {
  readonly name: string;
  readonly history: DutyHistory;
  readonly noisy: boolean;
  /** Minutes on site for this duty. */
  readonly minutes: number;
  /** The place it is done at; a visit that meets duties of one place pays its fixed minutes once. */
  readonly place: string;
  /** When that place can be entered and be loud. Default: the calendar of the whole plan. */
  readonly calendar?: AccessCalendar;
}

/** What a visit costs, and what a day given away is worth. */
export interface PlanCosts {
  /** Minutes for arriving, talking, on test, off test, paper: once for each place visited. */
  readonly fixedMinutes: number;
  /** Minutes of travel for a day on which at least one place is visited. */
  readonly travelMinutes: number;
  /** Minutes that one day given away on a rolling duty is counted as; 0 or more. */
  readonly givenAwayMinutes: number;
}

/** One day of the plan. */
export interface PlannedVisit {
  readonly on: LocalDate;
  readonly names: readonly string[];
  readonly places: readonly string[];
  readonly givenAway: readonly { readonly name: string; readonly days: number }[];
}

export interface VisitPlan {
  readonly visits: readonly PlannedVisit[];
  readonly costMinutes: number;
  /** The same duties each done by itself on the last usable day: what the plan is measured against. */
  readonly aloneMinutes: number;
  /** Duties that pass through a lapse inside the plan, with its date. */
  readonly lapsed: readonly { readonly name: string; readonly on: LocalDate }[];
}

/** Most duties of one plan. */
export const MOST_PLANNED = 80;

const ROLLING: ReadonlySet<string> = new Set(['since-last', 'age', 'extending']);

interface Running {
  readonly duty: PlannedDuty;
  history: DutyHistory;
  window: DutyWindow | null;
}

function refresh(running: Running, day: LocalDate): void {
  running.window = governing(timeline(running.history, day), day);
}

const lost = (running: Running, day: LocalDate): number =>
  running.window !== null && ROLLING.has(running.duty.history.cadence.kind) ? Math.max(0, dayNumber(running.window.due) - dayNumber(day)) : 0;

function usable(duty: PlannedDuty, day: number, whole: AccessCalendar): boolean {
  const calendar = duty.calendar ?? whole;
  return closedBecause(calendar, day) === null && (!duty.noisy || quietBecause(calendar, day) === null);
}

/** How long after a lapse a day of access is looked for. */
const AFTER_DAYS = 366;

/**
 * The last usable day up to the due date, not before `from`; else the first one after it, past the lapse too when the window
 * holds none. What is lapsed, or due at once, is wanted on the first usable day. Null without one within a year.
 */
function wantedOn(running: Running, from: number, calendar: AccessCalendar): number | null {
  const window = running.window as DutyWindow;
  const first = Math.max(from, dayNumber(window.opens));
  if (window.carried === 'proven') for (let day = dayNumber(window.due); day >= first; day -= 1) if (usable(running.duty, day, calendar)) return day;
  for (let day = first; day <= Math.max(dayNumber(window.lapses), first) + AFTER_DAYS; day += 1) if (usable(running.duty, day, calendar)) return day;
  return null;
}

/** What a day of the plan is weighed with. */
interface Weighing {
  readonly calendar: AccessCalendar;
  readonly costs: PlanCosts;
  /** First day not planned yet, and the last one planned for. */
  readonly today: number;
  readonly to: number;
}

function isOpen(running: Running, on: number, calendar: AccessCalendar): boolean {
  return running.window !== null && dayNumber(running.window.opens) <= on && usable(running.duty, on, calendar);
}

/** Duties of one place that a visit there on a day meets: open, usable, and cheaper now than by a visit of their own later. */
function metThere(mine: readonly Running[], on: number, { calendar, costs }: Weighing): Running[] {
  return mine.filter((running) => isOpen(running, on, calendar) && lost(running, fromDayNumber(on)) * costs.givenAwayMinutes < costs.travelMinutes + costs.fixedMinutes);
}

/**
 * Another place goes along on a day when its next visit moves there whole, so that a day out is saved, and the days given away
 * by that cost less. Where a duty of that next visit is not open yet the place must be gone to anyway: then nothing is saved.
 */
function movedAlong(mine: readonly Running[], on: number, weighing: Weighing): Running[] {
  const { calendar, costs, today, to } = weighing;
  let next: { running: Running; on: number } | null = null;
  for (const running of mine) {
    const last = running.window === null ? null : wantedOn(running, today, calendar);
    if (last !== null && (next === null || last < next.on)) next = { running, on: last };
  }
  if (next === null || next.on > to) return [];
  const then = new Set([next.running, ...metThere(mine, next.on, weighing)]);
  if (![...then].every((running) => isOpen(running, on, calendar))) return [];
  const given = [...then].reduce((sum, running) => sum + lost(running, fromDayNumber(on)) - lost(running, fromDayNumber((next as { on: number }).on)), 0);
  return given * costs.givenAwayMinutes < costs.travelMinutes ? [...then] : [];
}

/** All that a day's trip meets besides the duty that set it. */
function takeAlong(all: readonly Running[], first: Running, on: number, weighing: Weighing): Running[] {
  const byPlace = new Map<string, Running[]>();
  for (const running of all) byPlace.set(running.duty.place, [...(byPlace.get(running.duty.place) ?? []), running]);
  return [...byPlace].flatMap(([place, mine]) => (place === first.duty.place ? metThere(mine, on, weighing) : movedAlong(mine, on, weighing)));
}

/**
 * Visits over a horizon: the duty that must be done soonest sets the day; open duties of its place go along when their days given
 * away cost less than a visit, and the next visit of another place when it can move there whole. Over some cycles rolling duties of one place, and of neighbouring places, fall together
 * (earlier only, never past a window). Greedy and exact in its dates, not the cheapest plan of all.
 * @throws RecurrenceInputError for more than 80 duties, or a horizon before the start
 */
export function planVisits(duties: readonly PlannedDuty[], from: LocalDate, to: LocalDate, costs: PlanCosts, calendar: AccessCalendar = {}): VisitPlan {
  if (duties.length > MOST_PLANNED) throw new RecurrenceInputError('duties', String(duties.length), `at most ${MOST_PLANNED} duties in one plan`);
  if (to < from) throw new RecurrenceInputError('to', to, `a date on or after ${from}`);
  const visits: PlannedVisit[] = [];
  const lapsed: { name: string; on: LocalDate }[] = [];
  let aloneMinutes = 0;
  let costMinutes = 0;
  let today = dayNumber(from);
  const all: Running[] = duties.map((duty) => ({ duty, history: duty.history, window: null }));
  for (const running of all) refresh(running, from);
  for (;;) {
    const dated = all.filter((running) => running.window !== null).map((running) => ({ running, on: wantedOn(running, today, calendar) }));
    const next = dated.filter((each) => each.on !== null && each.on <= dayNumber(to)).sort((a, b) => (a.on as number) - (b.on as number))[0];
    if (!next) break;
    const on = next.on as number;
    const day = fromDayNumber(on);
    const taken = new Set([next.running, ...takeAlong(all, next.running, on, { calendar, costs, today, to: dayNumber(to) })]);
    const places = new Set([...taken].map((running) => running.duty.place));
    const givenAway = [...taken].map((running) => ({ name: running.duty.name, days: lost(running, day) })).filter((each) => each.days > 0);
    visits.push({ on: day, names: [...taken].map((running) => running.duty.name), places: [...places], givenAway });
    costMinutes += costs.travelMinutes + places.size * costs.fixedMinutes;
    for (const running of taken) {
      const window = running.window as DutyWindow;
      if (day > window.lapses) lapsed.push({ name: running.duty.name, on: window.lapses });
      costMinutes += running.duty.minutes;
      aloneMinutes += running.duty.minutes + costs.travelMinutes + costs.fixedMinutes;
      running.history = { ...running.history, proofs: [...running.history.proofs, { on: day, ref: `planned ${day}`, clean: true }] };
      refresh(running, day);
    }
    today = on + 1;
  }
  return { visits, costMinutes, aloneMinutes, lapsed };
}
