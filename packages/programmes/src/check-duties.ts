import type { Rule } from './programme.js';
import { programmeLibrary } from './library/index.js';

export type CheckDuty = {
  readonly programmeKey: string;
  readonly programmeTitle: string;
  readonly ruleKey: string;
  readonly ruleTitle: string;
  readonly mandated: boolean;
  /** The other kinds that the rule asks for besides this one; empty when this one alone meets it. */
  readonly togetherWith: readonly string[];
  readonly source: Rule['source'];
};

/** The duties of the shipped programmes that a kind of check can meet, alone or together with others. */
export function dutiesMetBy(checkKey: string): CheckDuty[] {
  return programmeLibrary.flatMap((programme) => programme.rules.filter((rule) => rule.checkKinds.includes(checkKey)).map((rule) => ({
    programmeKey: programme.key, programmeTitle: programme.title, ruleKey: rule.key, ruleTitle: rule.title, mandated: rule.mandated,
    togetherWith: rule.meets === 'all' ? rule.checkKinds.filter((kind) => kind !== checkKey) : [], source: rule.source,
  })));
}
