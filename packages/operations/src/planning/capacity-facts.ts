import type { CapacityFacts } from '@bellround/contracts';
import { capacityDemand, capacityHistory, pastWork, urgentByMonth, urgentByWeek, type CapacityHistory, type DemandGroup, type PastWork } from '@bellround/database';
import { addDays, daysBetween, localDate, RecurrenceInputError, timeline, weekdayOf, type Cadence, type DutyWindow } from '@bellround/recurrence';
import type { Act, Ctx } from '../perform.js';
import { dayText, dayTextOrNull, localDayOf, own } from '../steps.js';
import { urgentWeek } from '../slack.js';
import type { WeeklyShift } from '../week-problem.js';
import { minuteOf, SET_UP_MIN } from './steps.js';

/** Starting values, each weighed as so many cases of the company's own (common practice, all of them). */
const START = { noAccess: [0.08, 25], repeat: [0.05, 25], sick: [0.03, 50], spread: [0.25, 20], ratio: [0, 20], travel: [18, 30] } as const;
/** Visits that seem to take less than half or more than twice what was planned say more of how they were booked than of the work. */
const [LEAST_RATIO, MOST_RATIO, MOST_SPREAD] = [0.5, 2, 0.6];
/** The back-test: forecasts of so many weeks, made at Mondays so far back. */
const PAST_WEEKS = 13;
const PAST_STARTS = [52, 39, 26, 13];
/** Places with most work have a row of their own; what lies elsewhere is one. */
const MOST_AREAS = 10;
/** More occurrences of one group than this within the horizon are no duty but a fault. */
const MOST_AHEAD = 110;

/**
 * The work and the people of the coming weeks as the forecast takes them. Duties are carried on by their cadence as if each
 * were met on its due day. What is uncertain is learned from the company's own year, drawn to starting values where cases are few.
 * `leaveWeeks`: weeks of leave that each person still takes within 52 weeks and nobody has booked; they fall by lot. Default 0.
 */
export const capacityFacts: Act<{ weeks: number; leaveWeeks?: number }, CapacityFacts> = async (ctx, { weeks, leaveWeeks = 0 }) => {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const today = localDayOf(ctx.now, company.timeZone);
  const monday = addDays(localDate(today), 1 - weekdayOf(localDate(today)));
  const groups = await capacityDemand(ctx.tx, today, monday);
  const history = await capacityHistory(ctx.tx, today);
  const people = await peopleOf(ctx, monday, weeks);
  const learned = learn(history, await sickShare(ctx, today, people.length));
  const perVisit = SET_UP_MIN + learned.travel;
  const areas = largestAreas(groups);
  const demand = groups.flatMap((group) => ahead(group, monday, weeks)).map((one, index) => ({ id: String(index), skills: one.skills, area: areas.has(one.area ?? '') ? one.area : null, opensWeek: one.opensWeek, closesWeek: one.closesWeek, minutes: Math.round(one.minutes * learned.ratio + one.visits * perVisit), visits: one.visits }));
  const urgent = await urgentByMonth(ctx.tx, today);
  return {
    fromMonday: monday, weeks, demand: merged(demand), people, skills: [...new Set([...demand.flatMap((one) => one.skills), ...people.flatMap((one) => one.skills)])].sort(),
    uncertainty: { noAccess: learned.noAccess, repeat: learned.repeat, sick: learned.sick, minutesSpread: learned.spread, breakdownMinutes: breakdowns(urgent, monday, weeks, perVisit), leaveWeeks },
    past: await pastOf(ctx, today, monday, urgent),
    sources: sourcesOf(history, learned, urgent.reduce((sum, one) => sum + one.visits, 0), leaveWeeks),
  };
};

interface Ahead { area: string | null; skills: string[]; opensWeek: number; closesWeek: number; minutes: number; visits: number }

/** The open window of a group, and those that follow it if each is met on its due day. */
function ahead(group: DemandGroup, monday: string, weeks: number): Ahead[] {
  const skills = [...group.skills, ...group.licences.map((kind) => `licence ${kind}`)].sort();
  const size = { skills, area: group.area, minutes: group.minutes, visits: group.visits };
  const weekOf = (day: string) => Math.floor(daysBetween(localDate(monday), localDate(day)) / 7);
  const out: Ahead[] = group.opens_week < weeks ? [{ ...size, opensWeek: group.opens_week, closesWeek: Math.max(group.opens_week, group.lapses_week ?? weeks) }] : [];
  const end = addDays(localDate(monday), weeks * 7);
  let basis = group.due;
  for (let n = 0; n < MOST_AHEAD && basis < end; n++) {
    const next = nextWindow(group.cadence as Cadence, basis);
    if (next === null || next.due <= basis || next.opens >= end) break;
    out.push({ ...size, opensWeek: Math.max(0, weekOf(next.opens)), closesWeek: Math.max(0, weekOf(next.lapses)) });
    basis = next.due;
  }
  return out;
}

/** The window that follows a proof on `basis`; null where nothing is owed by the calendar alone. */
function nextWindow(cadence: Cadence, basis: string): DutyWindow | null {
  if (cadence.kind === 'after-event') return null;
  const on = localDate(basis);
  try {
    return timeline({ cadence, from: on, basisOn: on, proofs: [{ on, ref: 'as if met', basisOn: on }] }, addDays(on, 1)).at(-1) ?? null;
  } catch (error) {
    if (error instanceof RecurrenceInputError) return null;
    throw error;
  }
}

/** Groups that differ only in their cadence are one from here on. */
function merged(demand: CapacityFacts['demand']): CapacityFacts['demand'] {
  const groups = new Map<string, CapacityFacts['demand'][number]>();
  for (const one of demand) {
    const key = `${one.skills.join()} ${one.area ?? ''} ${one.opensWeek} ${one.closesWeek}`;
    const known = groups.get(key);
    groups.set(key, known ? { ...known, minutes: known.minutes + one.minutes, visits: known.visits + one.visits } : one);
  }
  return [...groups.values()];
}

async function peopleOf(ctx: Ctx, monday: string, weeks: number): Promise<CapacityFacts['people']> {
  const people = await ctx.tx.db.technician.findMany({ where: { ...own(ctx), pairOnly: false }, include: { licences: true, absences: true }, orderBy: { name: 'asc' } });
  const starts = Array.from({ length: weeks }, (_, week) => addDays(localDate(monday), week * 7));
  return people.map((person) => {
    const shifts = person.shifts as unknown as WeeklyShift[];
    const held = person.licences.filter((one) => one.validTo !== null && dayText(one.validTo) >= monday);
    const away = (day: string) => person.absences.some((one) => dayText(one.fromDay) <= day && day <= dayText(one.toDay)) || (dayTextOrNull(person.activeFrom) ?? day) > day || (dayTextOrNull(person.activeTo) ?? day) < day;
    return {
      id: person.id, name: person.name, skills: [...new Set([...person.skills, ...held.map((one) => `licence ${one.kind}`)])].sort(),
      minutesPerWeek: shifts.reduce((sum, shift) => sum + minuteOf(shift.to) - minuteOf(shift.from) - (shift.breakMin ?? 0), 0),
      // a week counts as off when at least half of its working days are
      weeksOff: starts.flatMap((start, week) => (shifts.length > 0 && shifts.filter((shift) => away(addDays(start, shift.weekday - 1))).length * 2 >= shifts.length ? [week] : [])),
      skillEnds: Object.fromEntries(held.map((one) => [`licence ${one.kind}`, Math.floor(daysBetween(localDate(monday), localDate(dayText(one.validTo!))) / 7) + 1])),
    };
  });
}

const drawn = (cases: number, value: number, [start, weight]: readonly [number, number]): number => (value * cases + start * weight) / (cases + weight);

function learn(history: CapacityHistory, sick: { weeks: number; share: number }) {
  const share = (count: number, of: number) => (of === 0 ? 0 : count / of);
  return {
    noAccess: drawn(history.ended, share(history.no_access, history.ended), START.noAccess), repeat: drawn(history.ended, share(history.again, history.ended), START.repeat), sick: drawn(sick.weeks, sick.share, START.sick),
    spread: Math.min(MOST_SPREAD, drawn(history.timed, history.log_spread, START.spread)), ratio: Math.max(LEAST_RATIO, Math.min(MOST_RATIO, Math.exp(drawn(history.timed, history.log_ratio, START.ratio)))), travel: drawn(history.stops, history.travel_min, START.travel), sickWeeks: sick.weeks,
  };
}

/** Share of person-weeks of the past year on which somebody was away sick. */
async function sickShare(ctx: Ctx, today: string, people: number): Promise<{ weeks: number; share: number }> {
  const rows = await ctx.tx.db.absence.findMany({ where: { ...own(ctx), reason: { contains: 'sick', mode: 'insensitive' }, fromDay: { gte: new Date(`${addDays(localDate(today), -365)}T00:00:00Z`), lte: new Date(`${today}T00:00:00Z`) } } });
  const days = rows.reduce((sum, one) => sum + daysBetween(localDate(dayText(one.fromDay)), localDate(dayText(one.toDay))) + 1, 0);
  const weeks = rows.length === 0 ? 0 : people * 52;
  return { weeks, share: weeks === 0 ? 0 : days / 7 / weeks };
}

/** Urgent minutes of each week by its month, months with few cases drawn to the year's mean. */
function breakdowns(urgent: { month: number; visits: number; minutes: number }[], monday: string, weeks: number, perVisit: number): number[] {
  return Array.from({ length: weeks }, (_, week) => Math.round(urgentWeek(urgent, Number(addDays(localDate(monday), week * 7).slice(5, 7)), perVisit)));
}

function sourcesOf(history: CapacityHistory, learned: ReturnType<typeof learn>, urgent: number, leaveWeeks: number): CapacityFacts['sources'] {
  const percent = (x: number) => `${(100 * x).toFixed(1)} %`;
  const cases = (n: number, what: string, [start, weight]: readonly [number, number]) => (n === 0 ? `no ${what} on record: a starting value (common practice)` : `${n} ${what}, drawn to the starting value ${start} as if it were ${weight} more`);
  return [
    { name: 'nobody in', value: percent(learned.noAccess), from: cases(history.ended, 'ended visits of a year', START.noAccess) },
    { name: 'a second visit needed', value: percent(learned.repeat), from: cases(history.ended, 'ended visits of a year', START.repeat) },
    { name: 'away sick in a week', value: percent(learned.sick), from: cases(learned.sickWeeks, 'person-weeks', START.sick) },
    { name: 'leave not booked yet', value: `${leaveWeeks} weeks of 52 for each person`, from: leaveWeeks === 0 ? 'none: only booked leave takes hours away' : 'as chosen on this page; it falls on weeks by lot' },
    { name: 'visits take, against planned', value: percent(learned.ratio), from: history.timed === 0 ? 'no timed visits on record: as planned' : `${history.timed} timed visits, drawn to what was planned as if it were ${START.ratio[1]} more` },
    { name: 'spread of a visit’s minutes', value: percent(learned.spread), from: cases(history.timed, 'timed visits', START.spread) },
    { name: 'travel to a visit', value: `${learned.travel.toFixed(0)} min`, from: cases(history.stops, 'published stops of 90 days', START.travel) },
    { name: 'around the checks of a visit', value: `${SET_UP_MIN} min`, from: 'arrive, talk, on test, off test, paper (common practice)' },
    { name: 'urgent visits', value: `${urgent} in two years`, from: urgent === 0 ? 'none on record: no time is kept for them' : 'by month, months with few cases drawn to the year’s mean' },
  ];
}

function largestAreas(groups: readonly DemandGroup[]): Set<string> {
  const minutes = new Map<string, number>();
  for (const one of groups) if (one.area) minutes.set(one.area, (minutes.get(one.area) ?? 0) + one.minutes);
  return new Set([...minutes].sort((a, b) => b[1] - a[1]).slice(0, MOST_AREAS).map(([area]) => area));
}

/** What was known at Mondays of the past year, and what then came. The windows are those that came; staff, rates and urgent work as then. */
async function pastOf(ctx: Ctx, today: string, monday: string, urgent: Awaited<ReturnType<typeof urgentByMonth>>): Promise<CapacityFacts['past']> {
  const out: CapacityFacts['past'] = [];
  for (const back of PAST_STARTS) {
    const start = addDays(localDate(monday), -7 * back);
    const end = addDays(localDate(start), 7 * PAST_WEEKS);
    const work = await pastWork(ctx.tx, start, end);
    if (work.length === 0) continue;
    const people = await peopleOf(ctx, start, PAST_WEEKS);
    if (people.length === 0) continue;
    const learned = learn(await capacityHistory(ctx.tx, start), await sickShare(ctx, start, people.length));
    const perVisit = SET_UP_MIN + learned.travel;
    const minutesOf = (one: PastWork) => Math.round(one.minutes * learned.ratio + one.visits * perVisit);
    const came = await urgentByWeek(ctx.tx, start, end < today ? end : today);
    const open = work.filter((one) => one.met_week === null || one.met_week >= 0);
    out.push({
      fromMonday: start, people, uncertainty: { noAccess: learned.noAccess, repeat: learned.repeat, sick: learned.sick, minutesSpread: learned.spread, breakdownMinutes: breakdowns(urgent, start, PAST_WEEKS, perVisit) },
      demand: open.map((one, index) => ({ id: String(index), skills: [...one.skills, ...one.licences.map((kind) => `licence ${kind}`)].sort(), area: null, opensWeek: one.opens_week, closesWeek: one.lapses_week, minutes: minutesOf(one), visits: one.visits })),
      came: Array.from({ length: PAST_WEEKS }, (_, week) => {
        const closing = open.filter((one) => one.lapses_week === week && (one.met_week === null || one.met_week >= week));
        const urgentMin = came.filter((one) => one.week === week).reduce((sum, one) => sum + one.minutes + one.visits * perVisit, 0);
        return { neededMin: Math.round(closing.reduce((sum, one) => sum + minutesOf(one), 0) + urgentMin), lapsed: closing.some((one) => one.late) };
      }),
    });
  }
  return out;
}
