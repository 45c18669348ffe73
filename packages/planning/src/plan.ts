import type { Day } from './problem.js';

export interface Stop {
  readonly visitId: string;
  readonly arriveMin: number;
  readonly startMin: number;
  readonly endMin: number;
  readonly travelMin: number;
  /** Minutes of set-up saved because the stop before is at the same address. */
  readonly savedMin?: number;
  /** Minutes between arrival and start, without the break. */
  readonly waitMin: number;
  /** Two-person visits: the other technician. */
  readonly second?: string;
  /** Set on the stop of the other technician: whom he or she joins. */
  readonly joins?: string;
}

/** One technician's stops of one day. */
export interface Round {
  readonly technicianId: string;
  readonly day: Day;
  /** Leaves home. */
  readonly startMin: number;
  /** Is back at the end place. */
  readonly endMin: number;
  readonly stops: readonly Stop[];
  readonly break?: { readonly startMin: number; readonly endMin: number };
  readonly overtimeMin: number;
  readonly travelMin: number;
}

/** Codes of the rule that keeps a visit out (or would be broken by putting it in). */
export type RuleCode =
  | 'no-window' | 'skill' | 'licence' | 'equipment' | 'forbidden' | 'pinned' | 'pair' | 'pair-only'
  | 'stock' | 'notice' | 'permit' | 'promise' | 'errand'
  | 'window' | 'shift' | 'break' | 'overlap' | 'no-shift' | 'full' | 'unknown';

export interface Reason {
  readonly rule: RuleCode;
  readonly words: string;
}

export interface Unplaced {
  readonly visitId: string;
  readonly reason: Reason;
  /** True where a mandated duty lapses because of it. */
  readonly lapses: boolean;
}

export type TermName = 'lapses' | 'exposure' | 'overtime' | 'travel' | 'promises' | 'change' | 'balance';

/** One named part of the cost; the first that differs decides between two plans (travel, promises, change, balance share a level). */
export interface CostTerm {
  readonly name: TermName;
  readonly value: number;
  readonly unit: string;
  readonly words: string;
}

export interface WeekPlan {
  readonly rounds: readonly Round[];
  readonly unplaced: readonly Unplaced[];
  readonly cost: readonly CostTerm[];
}

export interface CostValues {
  readonly lapses: number;
  readonly exposure: number;
  readonly overtime: number;
  readonly travel: number;
  /** Prices of broken promises, in travel minutes. */
  readonly promises: number;
  readonly change: number;
  readonly balance: number;
}

/** Turns values into terms that explain themselves; values to the sixth decimal, so that sums of differences leave no dust. */
export function termsOf(v: CostValues): CostTerm[] {
  const tidy = (x: number): number => Math.round(x * 1e6) / 1e6 + 0;
  const n = (x: number): string => String(Math.round(x * 100) / 100);
  return [
    { name: 'lapses', value: tidy(v.lapses), unit: 'weight', words: v.lapses === 0 ? 'no mandated duty lapses' : `mandated duties lapse, weight ${n(v.lapses)}` },
    { name: 'exposure', value: tidy(v.exposure), unit: 'exposure', words: `exposure left by visits not made, or made later than best: ${n(v.exposure)}` },
    { name: 'overtime', value: tidy(v.overtime), unit: 'min', words: `${n(v.overtime)} minutes past the end of shifts` },
    { name: 'travel', value: tidy(v.travel), unit: 'min', words: `${n(v.travel)} minutes of travel` },
    { name: 'promises', value: tidy(v.promises), unit: 'min', words: v.promises === 0 ? 'no priced promise is broken' : `priced promises broken, worth ${n(v.promises)} minutes of travel` },
    { name: 'change', value: tidy(v.change), unit: 'visits', words: `${n(v.change)} published visits with another technician or day` },
    { name: 'balance', value: tidy(v.balance), unit: 'min', words: `evenness ${n(v.balance)}: minutes of load weighted by how full each technician's week is; least when all are equally full` },
  ];
}

/** Value of one term. */
export function termValue(cost: readonly CostTerm[], name: TermName): number {
  return cost.find((t) => t.name === name)?.value ?? 0;
}

/**
 * Negative when a is better. Lapses, then exposure, then overtime, strictly; then travel, promises, change and balance
 * together at their exchange rates (strict order there would move a hundred published visits for a minute).
 */
export function compareCost(a: readonly CostTerm[], b: readonly CostTerm[], changeMin = 10, balanceMin = 0.05): number {
  for (const name of ['lapses', 'exposure', 'overtime'] as const) {
    const d = termValue(a, name) - termValue(b, name);
    if (Math.abs(d) > 0.005) return d;
  }
  const last = (c: readonly CostTerm[]): number => termValue(c, 'travel') + termValue(c, 'promises') + changeMin * termValue(c, 'change') + balanceMin * termValue(c, 'balance');
  return last(a) - last(b);
}
