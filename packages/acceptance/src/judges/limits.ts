import type { Limit, ReadingValue } from '../definition.js';
import type { Margin } from '../judgement.js';
import { type Case, num, type Outcome, round, sourceWords, worst } from '../outcome.js';

/** [ACC-4] The limits that hold here: the subject's own replace the catalogue's of the same reading and level. */
export function effectiveLimits(it: Case): Limit[] {
  const own = it.facts.limits ?? [];
  const replaced = it.definition.limits.filter((limit) => !own.some((o) => o.reading === limit.reading && o.level === limit.level));
  return [...replaced, ...own.filter((limit) => it.definition.readings.some((r) => r.key === limit.reading))];
}

/** Holds every reading against its limits; the worst counts, the margin is that of the tightest numeric limit. */
export function judgeLimits(it: Case): Outcome {
  const checked = effectiveLimits(it).filter((limit) => limit.value !== null).map((limit) => holdAgainst(it, limit));
  const missing = it.definition.readings.filter((r) => r.required && (it.readings[r.key] ?? null) === null);
  const gaps: Outcome[] = missing.length === 0 ? [] : [{
    verdict: 'not-enough-data',
    reason: `Not read: ${missing.map((r) => r.label.toLowerCase()).join(', ')}.`,
    missing: missing.map((r) => r.key),
  }];
  const all = [...checked.filter((o) => o !== null), ...gaps];
  if (all.length === 0) return { verdict: 'pass', reason: `${it.definition.title}: all that was asked was read.` };
  const outcome = worst(all as [Outcome, ...Outcome[]]);
  if (outcome.verdict !== 'pass') return outcome;
  const tightest = all.filter((o) => o.margin != null).toSorted((a, b) => a.margin!.value - b.margin!.value)[0];
  return { ...outcome, ...tightest, reason: passReason(all, it) };
}

function passReason(all: readonly Outcome[], it: Case): string {
  const numeric = all.filter((o) => o.margin != null).map((o) => o.reason);
  return numeric.length > 0 ? numeric.join(' ') : `${it.definition.title}: all as it must be.`;
}

/** One reading against one limit, in words with the numbers; null when the reading was not taken. */
export function holdAgainst(it: Case, limit: Limit): Outcome | null {
  const value = it.readings[limit.reading] ?? null;
  if (value === null || limit.value === null) return null;
  const label = it.definition.readings.find((r) => r.key === limit.reading)?.label ?? limit.reading;
  const holds = compare(value, limit);
  const margin = marginTo(value, limit);
  const unit = limit.unit === '' ? '' : ` ${limit.unit}`;
  const asked = limitWords(limit);
  const reason = typeof value === 'number'
    ? `${label} ${num(value, 3)}${unit}, ${asked}${margin === null ? '' : holds ? `: inside by ${num(margin.value, 3)}${unit}` : `: outside by ${num(-margin.value, 3)}${unit}`}.`
    : holds ? `${label}: as it must be.` : `${label}: ${said(value)}, must be ${said(limit.value)}.`;
  return { verdict: holds ? 'pass' : limit.level, reason, margin, limitSource: sourceWords(limit.source) };
}

function said(value: ReadingValue): string {
  return value === true ? 'yes' : value === false ? 'no' : `${value}`;
}

export function compare(value: NonNullable<ReadingValue>, limit: Limit): boolean {
  const held = limit.value;
  if (held === null) return true;
  if (typeof value !== typeof held) return false;
  switch (limit.comparator) {
    case '=': return value === held;
    case '>=': return value >= held;
    case '<=': return value <= held;
    case '>': return value > held;
    case '<': return value < held;
    case 'between': return value >= held && typeof value === 'number' && value <= (limit.upper ?? Infinity);
  }
}

/** Positive inside, negative outside; null where a distance makes no sense. */
export function marginTo(value: ReadingValue, limit: Limit): Margin | null {
  if (typeof value !== 'number' || typeof limit.value !== 'number') return null;
  const below = value - limit.value;
  switch (limit.comparator) {
    case '>=': case '>': return { value: round(below, 4), unit: limit.unit };
    case '<=': case '<': return { value: round(-below, 4), unit: limit.unit };
    case 'between': return { value: round(Math.min(below, (limit.upper ?? Infinity) - value), 4), unit: limit.unit };
    case '=': return null;
  }
}

export function limitWords(limit: Limit): string {
  const unit = limit.unit === '' ? '' : ` ${limit.unit}`;
  const words = { '>=': 'at least', '<=': 'at most', '>': 'more than', '<': 'less than', '=': 'exactly', between: 'between' }[limit.comparator];
  const upper = limit.comparator === 'between' ? ` and ${limit.upper}` : '';
  return `${words} ${limit.value}${upper}${unit}`;
}
