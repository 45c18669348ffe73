import type { CheckDefinition, EvidenceGrade, Excuse } from './definition.js';

export type JudgedVerdict = 'pass' | 'marginal' | 'fail' | 'not-enough-data';

/** How far the deciding reading is inside (positive) or outside (negative) its limit. */
export type Margin = { readonly value: number; readonly unit: string };

/** Something the judging found besides the verdict, to be raised as a deficiency of its own. */
export type Finding = { readonly code: 'date-missing' | 'capacity-short' | 'replace-due' | 'step-change' | 'receiver-drop' | 'trend' | 'over-loud'; readonly words: string };

/** What the numbers say about the cause, apart from the verdict: computed, never guessed. */
export type Hint = {
  readonly code: 'cable-explains' | 'cable-does-not-explain' | 'link-explains' | 'link-does-not-explain' | 'capacity-short' | 'cold';
  readonly words: string;
  /** The numbers behind the words, by name with the unit in it. */
  readonly numbers: Readonly<Record<string, number>>;
};

export type Judgement = {
  readonly verdict: JudgedVerdict;
  /** One sentence with the numbers in it. */
  readonly reason: string;
  readonly margin: Margin | null;
  readonly limitSource: string | null;
  readonly notes: readonly string[];
  readonly findings: readonly Finding[];
  /** Diagnosis from the numbers; their words stand among the notes too. */
  readonly hints: readonly Hint[];
  /** Reading keys or facts that were needed and not there. */
  readonly missing: readonly string[];
  /** Evidence grade after the readings: a quick-look method or an expired instrument lowers it. */
  readonly evidence: EvidenceGrade;
  /** False when an instrument's calibration had ended: stored, not to be relied on, proves nothing. */
  readonly reliable: boolean;
  /** False when there is nothing here to check (no module fitted): neither failed nor proven. */
  readonly applicable: boolean;
};

export type Overrule = { readonly to: 'pass' | 'marginal' | 'fail'; readonly reason: string };

/** The verdict that stands together with the one that was computed; both are kept. */
export type OverruledJudgement = {
  readonly verdict: JudgedVerdict;
  readonly computed: Judgement;
  readonly overrule: { readonly to: JudgedVerdict; readonly reason: string; readonly direction: 'down' | 'up' } | null;
};

export class OverruleRefused extends Error {
  override readonly name = 'OverruleRefused';
}

// Order of goodness. 'not-enough-data' stands below marginal: calling it good needs a reason, calling it failed does not.
const goodness: Readonly<Record<JudgedVerdict, number>> = { fail: 0, 'not-enough-data': 1, marginal: 2, pass: 3 };

/**
 * [ACC-5] A technician may overrule downward freely, upward only with a reason of at least 10 characters.
 * Throws OverruleRefused when an upward overrule gives none. The computed judgement stays beside the overruled one.
 */
export function applyOverrule(judgement: Judgement, overrule: Overrule): OverruledJudgement {
  const { to } = overrule;
  const reason = overrule.reason.trim();
  if (to === judgement.verdict) return { verdict: judgement.verdict, computed: judgement, overrule: null };
  const direction = goodness[to] < goodness[judgement.verdict] ? 'down' : 'up';
  if (direction === 'up' && reason.length < 10) {
    throw new OverruleRefused(
      `Raising '${judgement.verdict}' to '${to}' needs a reason in words (at least 10 characters); got '${reason}'.`,
    );
  }
  return { verdict: to, computed: judgement, overrule: { to, reason, direction } };
}

/** [ACC-6] The excuse of this code that the definition knows, or null. Only a failing or unjudgeable check can be excused. */
export function isExcusable(definition: CheckDefinition, judgement: Judgement, code: string): Excuse | null {
  if (judgement.verdict === 'pass' || judgement.verdict === 'marginal') return null;
  return definition.excusable.find((excuse) => excuse.code === code) ?? null;
}
