export * from './errors.js';
export { type LocalDate, LAST_DAY, addDays, addMonths, dayNumber, daysBetween, daysInMonth, fromDayNumber, localDate, weekdayOf } from './local-date.js';
export { instantAt, localDateAt, localDateTimeAt } from './zone.js';
export { type Recurrence, MOST_OCCURRENCES, expand } from './expand.js';
export { MOST_STEPS } from './library-rule.js';
export {
  type Age, type AfterEvent, type Cadence, type CadenceKind, type CalendarRule, type Extending, type FixedMonth, type OncePer, type Period, type Share,
  type SinceLast, type Span, SHORTEST_PERIOD_DAYS, checkCadence,
} from './cadence.js';
export { type AccessCalendar, type ClosedSeason, type NamedDays } from './access-calendar.js';
export type { Carried, DayWindow, DutyHistory, DutyPause, DutyProof, DutyWindow, Outcome, PopulationUnit, Unmet } from './duty-history.js';
export { changeRegime, timeline, timelineInDays, windowInDates } from './timeline.js';
export { type DutyStanding, type WindowStanding, governing, standingOfDuty, standingOn } from './standing.js';
export { cadenceInWords, spanInWords, whyOfDays, whyWindow } from './why.js';
export { type ShareProgress, shareProgress } from './share.js';
export { RETURN_DAYS } from './prepared.js';
export type { CannotBeMet, Clash } from './cannot-be-met.js';
export { type Edge, type SplitVisit, type Together, type TogetherVisit, MOST_TOGETHER, doTogether } from './do-together.js';
export type { TogetherWindow } from './together-days.js';
export { type PlanCosts, type PlannedDuty, type PlannedVisit, type VisitPlan, MOST_PLANNED, planVisits } from './plan-visits.js';
export { type CatchUp, type CatchUpSite, type CatchUpVisit, type CatchUpWeek, catchUp } from './catch-up.js';
export { type Completion, completionOf } from './completion.js';
export { type AccessAttempt, type LateBecause, ATTEMPTS_NEEDED, lateBecause } from './late-because.js';
export { usableDates } from './access-calendar.js';
