import type { Age, Extending, SinceLast, Span } from './cadence.js';
import type { Carried, DayWindow } from './duty-history.js';
import { RecurrenceInputError } from './errors.js';
import { daysInMonth, dayNumber, partsOf } from './local-date.js';
import { minus, plus } from './period.js';
import { type DayProof, type Edges, NO_CHECK, type Prepared, withCalendar, withPauses, write } from './prepared.js';

/** Days until an undated device counts as lapsed when its cadence names no early tolerance. Common practice, ours. */
const UNDATED_DAYS = 90;

type Rolling = SinceLast | Age | Extending;

/** How far an extending cadence has got: before its first proof, at the base interval, or at the longer one. */
interface Stage {
  readonly at: 'first' | 'base' | 'extended';
  readonly clean: number;
}

function sinceLastEdges(cadence: SinceLast, basis: number): Edges {
  let hold: number | undefined;
  if (cadence.holdDay !== undefined) {
    const parts = partsOf(basis);
    if (parts.day === daysInMonth(parts.year, parts.month) && parts.day < cadence.holdDay) hold = cadence.holdDay;
  }
  const opens = plus(basis, cadence.min, hold);
  const lapses = plus(basis, cadence.max, hold);
  // Mixed units (months and days) may cross on a short month; the outer edges win.
  return { opens: Math.min(opens, lapses), due: Math.min(Math.max(plus(basis, cadence.nominal, hold), opens), lapses), lapses };
}

function around(due: number, early: Span, late: Span, basis: number): Edges {
  return { opens: Math.max(minus(due, early), basis + 1), due, lapses: plus(due, late) };
}

function edgesAfter(cadence: Rolling, basis: number, stage: Stage): Edges {
  if (cadence.kind === 'since-last') return sinceLastEdges(cadence, basis);
  if (cadence.kind === 'age') return around(plus(basis, { months: cadence.years * 12 }), cadence.early, cadence.late, basis);
  return around(plus(basis, cadence[stage.at]), cadence.early, cadence.late, basis);
}

function nominalEnd(cadence: Rolling, from: number): number {
  if (cadence.kind === 'since-last') return plus(from, cadence.nominal);
  if (cadence.kind === 'extending') return plus(from, cadence.base);
  const early = plus(from, cadence.early);
  return early > from ? early : from + UNDATED_DAYS;
}

function stageAfter(cadence: Rolling, stage: Stage, proof: DayProof, known: boolean): Stage {
  // Commissioning is no result: the first interval still counts from it.
  if (cadence.kind !== 'extending' || proof.proof.ref === NO_CHECK) return stage;
  if (proof.proof.clean !== true) return { at: 'base', clean: 0 };
  if (stage.at === 'extended') return stage;
  const clean = stage.at === 'first' || !known ? 0 : stage.clean + 1;
  return { at: clean >= cadence.afterClean ? 'extended' : 'base', clean };
}

/** How far the checks before the duty's first day had brought it: a new regime or version forgets no clean result. */
function stageAtStart({ history, from }: Prepared, cadence: Rolling): Stage {
  let stage: Stage = { at: 'first', clean: 0 };
  if (cadence.kind !== 'extending') return stage;
  let basis = history.basisOn ? dayNumber(history.basisOn) : null;
  const earlier = history.proofs.map((proof) => ({ on: dayNumber(proof.on), proof })).filter((proof) => proof.on < from).sort((a, b) => a.on - b.on);
  for (const proof of earlier) {
    if (basis !== null && proof.on < edgesAfter(cadence, basis, stage).opens) continue;
    stage = stageAfter(cadence, stage, proof, basis !== null);
    basis = proof.on;
  }
  return stage;
}

function basisAfter(cadence: Rolling, met: DayProof): number | null {
  if (cadence.kind !== 'age' || met.proof.basisOn === undefined) return met.on;
  if (met.proof.basisOn === null) return null;
  const basis = dayNumber(met.proof.basisOn);
  if (basis > met.on) throw new RecurrenceInputError('proof basisOn', met.proof.basisOn, `a manufacture date on or before its fitting (${met.proof.on})`);
  return basis;
}

/** Whether a proof of age tells of something made after what was fitted before: reading the same date again replaces nothing. */
function isYounger(proof: DayProof, basis: number | null): boolean {
  const madeOn = proof.proof.basisOn;
  return basis === null || madeOn === undefined || madeOn === null || dayNumber(madeOn) > basis;
}

/** Nothing is known to count from: due at once. */
function catchUpEdges(prepared: Prepared, cadence: Rolling, from: number): Edges {
  const { catchUpDays } = prepared.history;
  return { opens: from, due: from, lapses: catchUpDays === undefined ? nominalEnd(cadence, from) : from + catchUpDays };
}

/** Occurrences of a cadence that counts from the last proof. One window governs until it is met, however late. */
export function rollingTimeline(prepared: Prepared, cadence: Rolling): DayWindow[] {
  const windows: DayWindow[] = [];
  const { proofs, from } = prepared;
  const anyTime = cadence.kind === 'age' || (cadence.kind === 'since-last' && cadence.beforeMin === 'counts');
  let basis = prepared.basis;
  let stage = stageAtStart(prepared, cadence);
  let governsFrom = from;
  let lastMet = basis === from ? from : from - 1;
  let at = 0;
  const passesBy = (proof: DayProof, earliest: number): boolean => proof.on <= lastMet || proof.on < earliest || (cadence.kind === 'age' && !isYounger(proof, basis));
  const nextProof = (earliest: number): DayProof | null => {
    while (at < proofs.length && passesBy(proofs[at] as DayProof, earliest)) at += 1;
    return proofs[at] ?? null;
  };
  for (;;) {
    const known = basis !== null;
    const window = basis === null ? catchUpEdges(prepared, cadence, governsFrom) : edgesAfter(cadence, basis, stage);
    const start = at;
    let met = nextProof(anyTime ? 0 : window.opens);
    if (prepared.pauses.length > 0) {
      withPauses(window, prepared, governsFrom, met?.on ?? null);
      at = start;
      met = nextProof(anyTime ? 0 : window.opens);
    }
    withCalendar(window, prepared, governsFrom);
    const carried: Carried = known ? 'proven' : 'cant-tell';
    write(windows, prepared, { edges: window, governsFrom, governsTo: met === null ? null : met.on - 1, met, missed: false, carried, basis, unknown: !known });
    if (met === null) return windows;
    stage = stageAfter(cadence, stage, met, known);
    basis = basisAfter(cadence, met);
    governsFrom = met.on;
    lastMet = met.on;
  }
}
