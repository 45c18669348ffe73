import type { Cadence, Span } from '@bellround/recurrence';
import { checkDefinition } from '../catalogue/index.js';
import type { Rule } from '../programme.js';

/*
 * The words of frequency as the North American codes define them: annual 9 to 15 months, semiannual 4 to 8, quarterly 2 to 4
 * after the last; monthly and weekly once in each calendar month and week.
 * From memory (definitions of frequency, NFPA 72 and NFPA 25 chapter 3): verify against your adopted edition.
 */
export const ANNUAL: Cadence = { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 15 } };
export const SEMIANNUAL: Cadence = { kind: 'since-last', min: { months: 4 }, nominal: { months: 6 }, max: { months: 8 } };
export const QUARTERLY: Cadence = { kind: 'since-last', min: { months: 2 }, nominal: { months: 3 }, max: { months: 4 } };
export const MONTHLY: Cadence = { kind: 'once-per', period: 'month', minGapDays: 0 };
export const WEEKLY: Cadence = { kind: 'once-per', period: 'week', minGapDays: 0 };

/** Rolling with the source's own limit as the latest day; the early edge is a company rule. */
export const within = (early: Span, latest: Span): Cadence => ({ kind: 'since-last', min: early, nominal: latest, max: latest });

export const MEMORY = 'from memory: verify against your adopted edition';
export const COMMON = 'common practice';
export const COMPANY = 'company rule';

type Given = Pick<Rule, 'key' | 'title' | 'subject' | 'cadence' | 'checkKinds' | 'minutes' | 'source'> & Partial<Rule>;

const LIFE_SAFETY_REMINDERS = [60, 30, 14, 7];

/** A rule with the defaults most have: one kind is enough, it must work, a technician's evidence, a visit, mandated; loud when its checks are. */
export function rule(given: Given): Rule {
  return {
    applies: {}, basis: 'commissioning', meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B', skills: [], licences: [],
    by: 'technician', remotely: false, sounds: given.checkKinds.some((kind) => checkDefinition(kind)?.sounds === true), mandated: true, reminderStagesDays: [30, 14, 7], ...given,
  };
}

/** As rule, for fire work: fire skill and the longer row of reminders. */
export const fireRule = (given: Given): Rule => rule({ skills: ['fire'], reminderStagesDays: LIFE_SAFETY_REMINDERS, ...given });

/** As rule, for intrusion work. */
export const intrusionRule = (given: Given): Rule => rule({ skills: ['intrusion'], ...given });
