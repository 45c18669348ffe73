/**
 * The week to plan, as plain data (JSON-able). Minutes count from local midnight of the day they belong to;
 * days are local dates 'YYYY-MM-DD', so that text order is date order.
 */

/** Local date 'YYYY-MM-DD'. */
export type Day = string;

/** A licence counts on a day when from <= day <= to (both inclusive). */
export interface Licence {
  readonly kind: string;
  readonly from: Day;
  readonly to: Day;
}

/** One technician's working time on one day. */
export interface Shift {
  readonly day: Day;
  readonly startMin: number;
  readonly endMin: number;
  /** How many minutes past endMin the round may end; each one counts as overtime. Default 0. */
  readonly maxOvertimeMin?: number;
  /** Length of the break; 0 or absent: none owed. A round that is home before breakToMin owes none. */
  readonly breakMin?: number;
  /** Earliest start of the break. Default: 180 min after the shift starts (common practice). */
  readonly breakFromMin?: number;
  /** Latest start of the break. Default: 360 min after the shift starts (Directive 2003/88/EC art. 4, from memory: a break when the day is longer than six hours). */
  readonly breakToMin?: number;
  /** Index of the place where the round of that day starts (a depot). Default: the technician's home. */
  readonly startPlace?: number;
  /** Index of the place where the round of that day ends. Default: the technician's endPlace, else home. */
  readonly endPlace?: number;
  /** Minutes at the end of the shift kept free for breakdowns: the round is back before endMin - keepFreeMin, without overtime. Default 0. */
  readonly keepFreeMin?: number;
}

export interface Technician {
  readonly id: string;
  readonly name: string;
  readonly skills: readonly string[];
  readonly licences: readonly Licence[];
  /** Index of the place where rounds start. */
  readonly home: number;
  /** Index of the place where rounds end. Default: home. */
  readonly endPlace?: number;
  readonly shifts: readonly Shift[];
  /** Works only as the second person of a two-person visit (a trainee). */
  readonly pairOnly?: boolean;
  /** Equipment and parts on the van. */
  readonly carries?: readonly string[];
  /** Parts that are used up: how many of each are on the van every morning. */
  readonly stock?: Readonly<Record<string, number>>;
}

/** The service must start between startMin and endMin of that day, and end by closeMin where given. */
export interface VisitWindow {
  readonly day: Day;
  readonly startMin: number;
  readonly endMin: number;
  readonly closeMin?: number;
}

/** What was promised to the client: the visit starts on that day, between fromMin and toMin, by that technician; parts not given are free. */
export interface ClientPromise {
  readonly day?: Day;
  readonly fromMin?: number;
  readonly toMin?: number;
  readonly technicianId?: string;
  /** Absent: hard. Given: what breaking it (or leaving the visit out) counts for, in travel minutes. */
  readonly priceMin?: number;
  readonly words?: string;
}

/** Notice that must be given so many days ahead. `on`: the day on which it was given, or today where it still has to be. */
export interface Notice {
  readonly leadDays: number;
  readonly on: Day;
  readonly given: boolean;
}

/** A permit counts on a day when from <= day <= to; from null: not granted yet; to null: without end. */
export interface Permit {
  readonly name: string;
  readonly from: Day | null;
  readonly to: Day | null;
}

/**
 * The part of a visit that is heard: its last minutes (common practice: sounders last). It must start and end inside one
 * of these windows (the noise hours), while the whole visit keeps the site's own.
 */
export interface SoundingPart {
  readonly minutes: number;
  readonly windows: readonly VisitWindow[];
  /** Minutes of arriving, talking, on test and off test that a trip of its own would need again. */
  readonly setUpMin: number;
  /** May be made on another trip than the silent part; `expandVisits` then makes the two parts. */
  readonly maySplit: boolean;
}

/** A key that must be collected before and returned after the visit, within the same round. */
export interface VisitKey {
  readonly collectPlace: number;
  /** Default: collectPlace. null: it is kept. */
  readonly returnPlace?: number | null;
  /** Minutes of each of the two stops. */
  readonly handMin: number;
  /** Hours of the keyholder; default: at any time. */
  readonly windows?: readonly VisitWindow[];
}

export interface Visit {
  readonly id: string;
  readonly siteId: string;
  /** Index of the place in the travel matrix. */
  readonly place: number;
  readonly serviceMin: number;
  /** Empty: can be served on no day. Several per day are allowed. */
  readonly windows: readonly VisitWindow[];
  readonly skills?: readonly string[];
  /** Licence kinds that must be valid on the day of the visit. */
  readonly licences?: readonly string[];
  /** 2: two technicians, same start, same service. Skills, licences and equipment are asked of the first. Default 1. */
  readonly persons?: 1 | 2;
  /** Exposure removed by serving it (any unit, the same for all visits, resolution 0.01). Default 1; 0: never worth a trip. */
  readonly prize?: number;
  /** Exposure removed when served on that day instead, where it depends on the day. */
  readonly prizeByDay?: Readonly<Record<Day, number>>;
  /** Last day on which serving it keeps the mandated duty alive; null: nothing lapses inside this plan. */
  readonly lapseDay?: Day | null;
  /** Weight of the lapse against other lapses. Default 1 where lapseDay is set. */
  readonly lapsePenalty?: number;
  /** What the dispatcher decided; each given part is hard. */
  readonly pinned?: { readonly technicianId?: string; readonly day?: Day; readonly startMin?: number };
  readonly forbidden?: readonly string[];
  /** Equipment and parts that the (first) technician must carry. */
  readonly equipment?: readonly string[];
  /** Parts that it uses up, taken from the (first) technician's stock of the day. */
  readonly uses?: Readonly<Record<string, number>>;
  /** Minutes of serviceMin that are saved when the stop right before it in the round has the same address (another system there). Not for two-person visits. */
  readonly sharesSetUp?: { readonly address: string; readonly minutes: number };
  readonly notice?: Notice;
  readonly permits?: readonly Permit[];
  readonly promises?: readonly ClientPromise[];
  readonly sounding?: SoundingPart;
  readonly key?: VisitKey;
  /** Made by expandVisits: the visit of which this is one part. */
  readonly partOf?: string;
  /** Made by expandVisits: this stop only collects or returns the key of that visit, in the same round, before or after it. */
  readonly errand?: { readonly of: string; readonly kind: 'collect' | 'return' };
}

/** minutes[from][to], whole minutes, diagonal 0. */
export interface TravelMatrix {
  readonly kind: 'matrix';
  readonly minutes: readonly (readonly number[])[];
  /** Multiplies all travel of a day (a storm: { '2027-03-02': 1.6 }), rounded up to whole minutes. */
  readonly factorByDay?: Readonly<Record<Day, number>>;
}

/** Exchange rates inside the last level of the objective, in travel minutes. */
export interface Rates {
  /** One visit moved to another technician or day than published. Default 10. */
  readonly changeMin?: number;
  /** One minute of the evenness term. Default 0.05. */
  readonly balanceMin?: number;
}

export interface WeekProblem {
  readonly days: readonly Day[];
  readonly technicians: readonly Technician[];
  readonly visits: readonly Visit[];
  readonly travel: TravelMatrix;
  /** Previous plan, for stability. */
  readonly published?: { readonly rounds: readonly PublishedRound[] };
  readonly rates?: Rates;
}

export interface PublishedRound {
  readonly technicianId: string;
  readonly day: Day;
  readonly stops: readonly { readonly visitId: string; readonly startMin: number; readonly second?: string; readonly joins?: string }[];
}

export const DEFAULT_CHANGE_MIN = 10;
export const DEFAULT_BALANCE_MIN = 0.05;

/** A problem that cannot be planned as it stands; each fault names the field, the value and what is accepted. */
export class BadProblem extends Error {
  constructor(readonly faults: readonly string[]) {
    super(`the week cannot be planned: ${faults.slice(0, 5).join('; ')}${faults.length > 5 ? `; and ${faults.length - 5} more` : ''}`);
    this.name = 'BadProblem';
  }
}

/** Travel found sound before; it is never changed in place. */
const soundTravel = new WeakSet<TravelMatrix['minutes']>();

/** Checks values once. Throws BadProblem naming every fault. */
export function requireSound(problem: WeekProblem): void {
  const faults: string[] = [];
  const places = problem.travel.minutes.length;
  const whole = (name: string, value: number, least = 0): void => {
    if (!Number.isInteger(value) || value < least) faults.push(`${name} is ${value}, accepted is a whole number of at least ${least}`);
  };
  const place = (name: string, value: number): void => {
    if (!Number.isInteger(value) || value < 0 || value >= places) faults.push(`${name} is ${value}, accepted is a place index from 0 to ${places - 1}`);
  };
  if (!soundTravel.has(problem.travel.minutes)) problem.travel.minutes.forEach((row, i) => {
    if (row.length !== places) faults.push(`travel.minutes[${i}] has ${row.length} entries, accepted are ${places}`);
    else if (row.some((m) => !Number.isInteger(m) || m < 0)) faults.push(`travel.minutes[${i}] holds a value that is not a whole number of at least 0`);
  });
  problem.days.forEach((day, i) => {
    if (!/^\d{4}-\d{2}-\d{2}$/.test(day)) faults.push(`days[${i}] is '${day}', accepted is YYYY-MM-DD`);
    if (i > 0 && day <= (problem.days[i - 1] as Day)) faults.push(`days[${i}] is '${day}', accepted are days in rising order`);
  });
  once(problem.technicians.map((t) => t.id), 'technician', faults);
  once(problem.visits.map((v) => v.id), 'visit', faults);
  for (const t of problem.technicians) {
    place(`technician ${t.id} home`, t.home);
    if (t.endPlace !== undefined) place(`technician ${t.id} endPlace`, t.endPlace);
    once(t.shifts.map((s) => s.day), `shift of technician ${t.id} on`, faults);
    for (const s of t.shifts) {
      if (s.startPlace !== undefined) place(`technician ${t.id} shift ${s.day} startPlace`, s.startPlace);
      if (s.endPlace !== undefined) place(`technician ${t.id} shift ${s.day} endPlace`, s.endPlace);
      whole(`technician ${t.id} shift ${s.day} keepFreeMin`, s.keepFreeMin ?? 0);
      whole(`technician ${t.id} shift ${s.day} startMin`, s.startMin);
      whole(`technician ${t.id} shift ${s.day} endMin`, s.endMin, s.startMin);
      whole(`technician ${t.id} shift ${s.day} maxOvertimeMin`, s.maxOvertimeMin ?? 0);
      whole(`technician ${t.id} shift ${s.day} breakMin`, s.breakMin ?? 0);
    }
  }
  for (const v of problem.visits) {
    place(`visit ${v.id} place`, v.place);
    whole(`visit ${v.id} serviceMin`, v.serviceMin);
    if (!((v.prize ?? 0) >= 0)) faults.push(`visit ${v.id} prize is ${v.prize}, accepted is a number of at least 0`);
    for (const w of v.windows) {
      whole(`visit ${v.id} window ${w.day} startMin`, w.startMin);
      whole(`visit ${v.id} window ${w.day} endMin`, w.endMin, w.startMin);
    }
    faults.push(...richFaults(v));
  }
  errandFaults(problem, faults);
  if (faults.length > 0) throw new BadProblem(faults);
  soundTravel.add(problem.travel.minutes);
}

function richFaults(v: Visit): string[] {
  const faults: string[] = [];
  const bad = (field: string, value: unknown, accepted: string): void => { faults.push(`visit ${v.id} ${field} is ${String(value)}, accepted is ${accepted}`); };
  const amount = (x: number): boolean => Number.isInteger(x) && x >= 0;
  if (v.key !== undefined) bad('key', 'not expanded', 'a problem that went through expandVisits');
  if (v.sounding?.maySplit === true) bad('sounding', 'not expanded', 'a problem that went through expandVisits');
  if (v.sounding !== undefined && !(amount(v.sounding.minutes) && v.sounding.minutes <= v.serviceMin)) bad('sounding.minutes', v.sounding.minutes, `a whole number from 0 to ${v.serviceMin}`);
  const shared = v.sharesSetUp;
  if (shared !== undefined && !(amount(shared.minutes) && shared.minutes <= v.serviceMin)) bad('sharesSetUp.minutes', shared.minutes, `a whole number from 0 to ${v.serviceMin}`);
  if (shared !== undefined && (v.persons === 2 || v.sounding !== undefined)) bad('sharesSetUp', 'given', 'only for a visit of one person without a sounding part of its own');
  for (const [part, n] of Object.entries(v.uses ?? {})) if (!amount(n)) bad(`uses.${part}`, n, 'a whole number of at least 0');
  if (v.notice !== undefined && !amount(v.notice.leadDays)) bad('notice.leadDays', v.notice.leadDays, 'a whole number of at least 0');
  for (const p of v.promises ?? []) if (p.priceMin !== undefined && !(p.priceMin >= 0)) bad('promise priceMin', p.priceMin, 'a number of at least 0');
  return faults;
}

function errandFaults(problem: WeekProblem, faults: string[]): void {
  const known = new Map(problem.visits.map((v) => [v.id, v]));
  for (const v of problem.visits) {
    if (v.errand === undefined) continue;
    const of = known.get(v.errand.of);
    if (of === undefined || of.errand !== undefined || of.persons === 2) faults.push(`visit ${v.id} errand.of is '${v.errand.of}', accepted is a visit of one person in this week`);
    if (v.persons === 2 || v.lapseDay != null || v.prize !== 0) faults.push(`visit ${v.id} is an errand, accepted is one person, no lapse and prize 0`);
  }
  once(problem.visits.flatMap((v) => (v.errand === undefined ? [] : [`${v.errand.kind} of ${v.errand.of}`])), 'errand', faults);
}

function once(ids: readonly string[], what: string, faults: string[]): void {
  const seen = new Set<string>();
  for (const id of ids) {
    if (seen.has(id)) faults.push(`${what} '${id}' stands twice, accepted is once`);
    seen.add(id);
  }
}

/** Where a round of that shift starts and ends. */
export function endsOf(technician: Technician, shift: Shift): { readonly from: number; readonly to: number } {
  return { from: shift.startPlace ?? technician.home, to: shift.endPlace ?? technician.endPlace ?? technician.home };
}

/** Planned end after which minutes count as overtime, and the hard end of a round. */
export function closeOf(shift: Shift): { readonly closeMin: number; readonly limitMin: number } {
  const free = shift.keepFreeMin ?? 0;
  const closeMin = Math.max(shift.startMin, shift.endMin - free);
  return { closeMin, limitMin: free > 0 ? closeMin : shift.endMin + (shift.maxOvertimeMin ?? 0) };
}

/** Window of the break of a shift, or null where none is owed. */
export function breakOf(shift: Shift): { lengthMin: number; fromMin: number; toMin: number } | null {
  const lengthMin = shift.breakMin ?? 0;
  if (lengthMin <= 0) return null;
  const fromMin = shift.breakFromMin ?? shift.startMin + 180;
  return { lengthMin, fromMin, toMin: Math.max(fromMin, shift.breakToMin ?? shift.startMin + 360) };
}
