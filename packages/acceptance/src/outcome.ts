import type { CheckDefinition, EvidenceGrade, LocalDate, Readings, Source } from './definition.js';
import type { CheckFacts } from './facts.js';
import type { Finding, Hint, JudgedVerdict, Margin } from './judgement.js';

/** What a judge is given: believable readings only; whatever was not believable has been taken out. */
export type Case = {
  readonly definition: CheckDefinition;
  readonly readings: Readings;
  readonly facts: CheckFacts;
  readonly now: LocalDate;
};

export type Judge = (it: Case) => Outcome;

/** What a judge answers; judge() completes it to a Judgement. */
export type Outcome = {
  readonly verdict: JudgedVerdict;
  readonly reason: string;
  readonly margin?: Margin | null;
  readonly limitSource?: string | null;
  readonly notes?: readonly string[];
  readonly findings?: readonly Finding[];
  readonly hints?: readonly Hint[];
  readonly missing?: readonly string[];
  readonly evidence?: EvidenceGrade;
  readonly applicable?: boolean;
};

const severity: Readonly<Record<JudgedVerdict, number>> = { fail: 3, 'not-enough-data': 2, marginal: 1, pass: 0 };

/** [ACC-3] A fail that is proven stands whatever is missing; what is missing keeps anything better from being said. */
export function worst(outcomes: readonly [Outcome, ...Outcome[]]): Outcome {
  const ordered = outcomes.toSorted((a, b) => severity[b.verdict] - severity[a.verdict]);
  const first = ordered[0]!;
  const failing = ordered.filter((o) => o.verdict === first.verdict && o.verdict !== 'pass');
  return {
    ...first,
    reason: failing.length > 1 ? failing.map((o) => o.reason).join(' ') : first.reason,
    notes: outcomes.flatMap((o) => o.notes ?? []),
    findings: outcomes.flatMap((o) => o.findings ?? []),
    hints: outcomes.flatMap((o) => o.hints ?? []),
    missing: [...new Set(outcomes.flatMap((o) => o.missing ?? []))],
  };
}

export function notEnough(reason: string, missing: readonly string[], notes: readonly string[] = []): Outcome {
  return { verdict: 'not-enough-data', reason, missing, notes };
}

/** 'NFPA 72, 10.6.7 (SEEN-R)': what is shown beside a limit. */
export function sourceWords(source: Source): string {
  const clause = source.clause === undefined ? '' : `, ${source.clause}`;
  return source.provenance === source.text ? source.text : `${source.text}${clause} (${source.provenance})`;
}

export function numberReading(it: Case, key: string): number | null {
  const value = it.readings[key];
  return typeof value === 'number' ? value : null;
}

export function textReading(it: Case, key: string): string | null {
  const value = it.readings[key];
  return typeof value === 'string' && value !== '' ? value : null;
}

export function yesNo(it: Case, key: string): boolean | null {
  const value = it.readings[key];
  return typeof value === 'boolean' ? value : null;
}

/** A number with at most `digits` decimals and no trailing zeros: '14.69', '80'. */
export function num(value: number, digits = 2): string {
  const text = value.toFixed(digits);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

export function round(value: number, digits = 2): number {
  const factor = 10 ** digits;
  // Never -0: it reads as another value than the 0 that travels as JSON.
  return Math.round(value * factor) / factor + 0;
}
