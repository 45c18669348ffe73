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
}

/** The service must start between startMin and endMin of that day, and end by closeMin where given. */
export interface VisitWindow {
  readonly day: Day;
  readonly startMin: number;
  readonly endMin: number;
  readonly closeMin?: number;
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
  problem.travel.minutes.forEach((row, i) => {
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
  }
  if (faults.length > 0) throw new BadProblem(faults);
}

function once(ids: readonly string[], what: string, faults: string[]): void {
  const seen = new Set<string>();
  for (const id of ids) {
    if (seen.has(id)) faults.push(`${what} '${id}' stands twice, accepted is once`);
    seen.add(id);
  }
}

/** Window of the break of a shift, or null where none is owed. */
export function breakOf(shift: Shift): { lengthMin: number; fromMin: number; toMin: number } | null {
  const lengthMin = shift.breakMin ?? 0;
  if (lengthMin <= 0) return null;
  const fromMin = shift.breakFromMin ?? shift.startMin + 180;
  return { lengthMin, fromMin, toMin: Math.max(fromMin, shift.breakToMin ?? shift.startMin + 360) };
}
