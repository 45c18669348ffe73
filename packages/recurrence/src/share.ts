import type { Share } from './cadence.js';
import type { DutyHistory, DutyProof } from './duty-history.js';
import { type LocalDate, dayNumber, fromDayNumber } from './local-date.js';
import { periodIndex, periodStart } from './period.js';

/** How far one period of a share has got on a day. */
export interface ShareProgress {
  readonly periodFrom: LocalDate;
  readonly periodTo: LocalDate;
  /** The stretch in which every unit comes up once. */
  readonly cycleFrom: LocalDate;
  readonly cycleTo: LocalDate;
  /** Different units to be proven in this period. */
  readonly needed: number;
  /** Units of this cycle's turn proven in this period, in the order of their proof. */
  readonly done: readonly string[];
  /** Units still to come in this cycle, the ones to take next first: never proven, then longest ago, then by key. */
  readonly next: readonly string[];
}

const periodsInCycle = (cadence: Share): number => Math.ceil(cadence.denominator / cadence.numerator);

interface UnitDay {
  readonly on: number;
  readonly units: readonly string[];
}

const unitDays = (proofs: readonly DutyProof[], lastDay: number): UnitDay[] =>
  proofs.map((proof) => ({ on: dayNumber(proof.on), units: proof.units ?? [] })).filter((proof) => proof.on <= lastDay).sort((a, b) => a.on - b.on);

/**
 * Progress of a share duty on a day. A unit counts once a cycle; one that failed is not proven and so comes up first again.
 * What is needed is the larger of the share of the population and what must be done now so that all units fit in the cycle.
 */
export function shareProgress(cadence: Share, history: Pick<DutyHistory, 'units' | 'proofs'>, day: LocalDate): ShareProgress {
  const today = dayNumber(day);
  const period = periodIndex(cadence.period, today);
  const cycle = periodsInCycle(cadence);
  const cycleStart = Math.floor(period / cycle) * cycle;
  const active = (history.units ?? []).filter((unit) => dayNumber(unit.from) <= today && (unit.to === null || dayNumber(unit.to) >= today)).map((unit) => unit.key);
  const isActive = new Set(active);
  const last = new Map<string, number>();
  const before = new Set<string>();
  const done = new Set<string>();
  for (const proof of unitDays(history.proofs, today)) {
    const at = periodIndex(cadence.period, proof.on);
    for (const unit of proof.units) {
      last.set(unit, proof.on);
      if (at >= cycleStart && at < period) before.add(unit);
      if (at === period && isActive.has(unit) && !before.has(unit)) done.add(unit);
    }
  }
  const fresh = active.filter((unit) => !before.has(unit));
  const left = cycleStart + cycle - period;
  const byShare = Math.ceil((active.length * cadence.numerator) / cadence.denominator);
  const needed = Math.min(fresh.length, Math.max(byShare, Math.ceil(fresh.length / left), cadence.atLeast ?? 0));
  const next = fresh.filter((unit) => !done.has(unit))
    .sort((a, b) => (last.get(a) ?? Number.NEGATIVE_INFINITY) - (last.get(b) ?? Number.NEGATIVE_INFINITY) || (a < b ? -1 : 1));
  return {
    periodFrom: fromDayNumber(periodStart(cadence.period, period)),
    periodTo: fromDayNumber(periodStart(cadence.period, period + 1) - 1),
    cycleFrom: fromDayNumber(periodStart(cadence.period, cycleStart)),
    cycleTo: fromDayNumber(periodStart(cadence.period, cycleStart + cycle) - 1),
    needed,
    done: [...done],
    next,
  };
}

/** By day, then by name: of several on one day the same one is credited, in whatever order they are told. */
const inOrder = (a: DutyProof, b: DutyProof): number => (`${a.on} ${a.ref}` < `${b.on} ${b.ref}` ? -1 : 1);

/** The proofs that complete a period's share: the first of each period on whose day enough units are proven. */
export function completingProofs(cadence: Share, history: DutyHistory): DutyProof[] {
  const complete: DutyProof[] = [];
  const closed = new Set<number>();
  for (const proof of [...history.proofs].sort(inOrder)) {
    const period = periodIndex(cadence.period, dayNumber(proof.on));
    if (closed.has(period)) continue;
    if (proof.units !== undefined) {
      const progress = shareProgress(cadence, history, proof.on);
      if (progress.done.length < progress.needed) continue;
    }
    closed.add(period);
    complete.push(proof);
  }
  return complete;
}
