import type { Programme, Rule } from './programme.js';

/** One part of a rule that two versions tell differently. */
export interface RuleChange {
  readonly ruleKey: string;
  readonly part: keyof Rule;
  readonly before: unknown;
  readonly after: unknown;
}

/** What a change of programme does to its rules. */
export interface ProgrammeDiff {
  readonly added: readonly Rule[];
  readonly removed: readonly Rule[];
  readonly changed: readonly RuleChange[];
  /** Rules whose windows move: cadence, basis, subject or what they apply to has changed. */
  readonly moves: readonly string[];
}

const MOVES: readonly (keyof Rule)[] = ['cadence', 'basis', 'subject', 'applies', 'onReturn'];

/** Text that is equal for equal data, whatever the order of its keys. */
function settled(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(settled).join(',')}]`;
  if (value !== null && typeof value === 'object') {
    const entries = Object.entries(value).filter(([, part]) => part !== undefined).sort(([a], [b]) => (a < b ? -1 : 1));
    return `{${entries.map(([name, part]) => `${JSON.stringify(name)}:${settled(part)}`).join(',')}}`;
  }
  return JSON.stringify(value);
}

/** Compares two programmes (or versions of one) rule by rule; rules are the same when their keys are. */
export function diffProgrammes(before: Programme, after: Programme): ProgrammeDiff {
  const old = new Map(before.rules.map((rule) => [rule.key, rule]));
  const fresh = new Map(after.rules.map((rule) => [rule.key, rule]));
  const changed: RuleChange[] = [];
  for (const [ruleKey, rule] of fresh) {
    const was = old.get(ruleKey);
    if (!was) continue;
    for (const part of [...new Set([...Object.keys(was), ...Object.keys(rule)])] as (keyof Rule)[]) {
      if (settled(was[part]) !== settled(rule[part])) changed.push({ ruleKey, part, before: was[part], after: rule[part] });
    }
  }
  return {
    added: after.rules.filter((rule) => !old.has(rule.key)),
    removed: before.rules.filter((rule) => !fresh.has(rule.key)),
    changed,
    moves: [...new Set(changed.filter((change) => MOVES.includes(change.part)).map((change) => change.ruleKey))],
  };
}
