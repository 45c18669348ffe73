import { deviceKinds, deviceLinks, evidenceGrades, pathTechnologies, subjectKinds } from '@bellround/acceptance';
import { type Cadence, RecurrenceInputError, checkCadence } from '@bellround/recurrence';
import { z } from 'zod';

/** Kinds of system that a programme can be applied to. */
export const programmeSystemKinds = ['intrusion', 'fire', 'panic', 'co', 'environmental'] as const;
export type ProgrammeSystemKind = (typeof programmeSystemKinds)[number];

export const batteryChemistries = ['lead-acid-sealed', 'lead-acid-vented', 'nickel-cadmium', 'lithium-primary', 'lithium-ion', 'alkaline'] as const;
export type BatteryChemistry = (typeof batteryChemistries)[number];

/** Stands on every programme of the library, in front of anything of its own. */
export const LIBRARY_CAUTION =
  'Local codes, the edition adopted by the authority, the listing and licensed practice prevail. This programme is a reminder drawn up in our own words; following it is not compliance. Check every interval against your adopted edition before you rely on it.';

const key = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'lower-case words joined by hyphens').max(80);
const words = z.string().trim().min(1).max(400);
const localDateText = z.string().regex(/^\d{4}-\d{2}-\d{2}$/, 'a date written YYYY-MM-DD');
const span = z.union([z.strictObject({ months: z.int().min(0).max(1200) }), z.strictObject({ days: z.int().min(0).max(36_600) })]);
const period = z.enum(['week', 'month', 'quarter', 'half-year', 'year']);

const cadenceShape = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('fixed-month'), everyMonths: z.int(), dueMonth: z.int(), dueDay: z.union([z.int(), z.literal('month-end')]),
    anchorYear: z.int().optional(), early: span, late: span,
  }),
  z.strictObject({
    kind: z.literal('calendar-rule'), dtstart: z.string(), timeZone: z.string(), rrule: z.string(),
    rdate: z.array(z.string()).optional(), exdate: z.array(z.string()).optional(), earlyDays: z.int(), lateDays: z.int(),
  }),
  z.strictObject({
    kind: z.literal('since-last'), min: span, nominal: span, max: span,
    beforeMin: z.enum(['ignored', 'counts']).optional(), holdDay: z.int().optional(),
  }),
  z.strictObject({ kind: z.literal('once-per'), period, minGapDays: z.int() }),
  z.strictObject({ kind: z.literal('age'), years: z.int(), early: span, late: span }),
  z.strictObject({ kind: z.literal('after-event'), within: span, late: span }),
  z.strictObject({ kind: z.literal('extending'), first: span, base: span, extended: span, afterClean: z.int(), early: span, late: span }),
  z.strictObject({ kind: z.literal('share'), period, numerator: z.int(), denominator: z.int(), atLeast: z.int().optional() }),
]);

// The shape and the engine's type must accept exactly the same values: neither may have a part the other lacks.
type Alike<A, B> = [A] extends [B] ? ([B] extends [A] ? true : never) : never;
const cadenceIsTheEngines: Alike<z.infer<typeof cadenceShape>, Cadence> = true;
void cadenceIsTheEngines;

/** A cadence as it may arrive from outside: the shape, and the engine's own bounds with its own words. */
export const cadenceSchema = cadenceShape.superRefine((cadence, context) => {
  try {
    checkCadence(cadence);
  } catch (error) {
    if (!(error instanceof RecurrenceInputError)) throw error;
    context.addIssue({ code: 'custom', message: error.message, path: [error.part.replace('cadence ', '')] });
  }
});

/** Which subjects of a system a rule falls on. What is absent does not narrow. */
const appliesSchema = z.strictObject({
  /** Subject device, or the population of a share: kinds of device. */
  deviceKinds: z.array(z.enum(deviceKinds)).min(1).optional(),
  links: z.array(z.enum(deviceLinks)).min(1).optional(),
  pathTechnologies: z.array(z.enum(pathTechnologies)).min(1).optional(),
  /** EN 50136-1 categories, such as SP2. A path without a category is not meant. */
  pathCategories: z.array(z.string().regex(/^(SP[1-6]|DP[1-4])$/)).min(1).optional(),
  batteryChemistries: z.array(z.enum(batteryChemistries)).min(1).optional(),
  /** Batteries of the control unit and supplies ('system') or inside devices ('device'). */
  batteriesOf: z.enum(['system', 'device']).optional(),
  /** The system's grade or category as it is written, without regard to case. */
  grades: z.array(z.string().min(1)).min(1).optional(),
  /** Systems with a live account at a supervising station, or without. */
  monitored: z.boolean().optional(),
  /** Systems with at least this many paths. */
  minPaths: z.int().min(1).max(9).optional(),
  /** Only systems that hold at least one device of these kinds (for subject system). */
  withDeviceKinds: z.array(z.enum(deviceKinds)).min(1).optional(),
  /** Only systems whose control unit or supplies hold a battery of these chemistries. */
  withBatteryChemistries: z.array(z.enum(batteryChemistries)).min(1).optional(),
});
export type RuleApplies = z.infer<typeof appliesSchema>;

export const ruleSchema = z.strictObject({
  key,
  title: words,
  subject: z.enum(subjectKinds),
  applies: appliesSchema,
  cadence: cadenceSchema,
  /** What the first window counts from when nothing was ever proven. */
  basis: z.enum(['commissioning', 'manufacture', 'none']),
  /** Keys of the check catalogue. */
  checkKinds: z.array(key).min(1),
  /** Whether one of the kinds meets the duty, or all of them together. */
  meets: z.enum(['any', 'all']),
  /** For 'all': the kinds must fall within this many days of each other; the last one is the date of the proof. */
  completeWithinDays: z.int().min(0).max(366),
  /** 'working' is credited by pass and marginal; 'tested' by fail too. */
  credits: z.enum(['working', 'tested']),
  minEvidence: z.enum(evidenceGrades),
  /** Minutes on site for one subject. */
  minutes: z.int().min(0).max(1440),
  skills: z.array(key),
  licences: z.array(key),
  by: z.enum(['occupant', 'technician', 'licensed']),
  /** Can be met from the station's history or a remote session, without a visit. */
  remotely: z.boolean(),
  /** Sounders work: noise hours count. */
  sounds: z.boolean(),
  mandated: z.boolean(),
  /** After a suspension: 'check' owes one on return even when the window is not open yet. Absent: it goes on as it was. */
  onReturn: z.enum(['continue', 'check']).optional(),
  /** Days before the lapse on which a reminder goes out, largest first. */
  reminderStagesDays: z.array(z.int().min(0).max(366)),
  source: z.strictObject({
    clause: words,
    /** How it is known: 'SEEN-P ...', 'SEEN-R ...', 'from memory: verify against your adopted edition', 'common practice', 'company rule'. */
    provenance: words,
  }),
});
export type Rule = z.infer<typeof ruleSchema>;

/** A named, versioned set of duties of one regime that can be applied to a kind of system. */
export const programmeSchema = z.strictObject({
  key,
  version: z.int().min(1),
  title: words,
  regime: z.strictObject({ kind: z.enum(['standard', 'contract', 'insurer', 'maker', 'company']), name: words, edition: z.string().trim().max(120) }),
  systemKinds: z.array(z.enum(programmeSystemKinds)).min(1),
  caution: z.string().trim().min(1).max(1200),
  source: words,
  /** When a person of the company compared it with the adopted edition; null until somebody has. */
  checkedOn: localDateText.nullable(),
  rules: z.array(ruleSchema).min(1).max(200),
}).superRefine((programme, context) => {
  const seen = new Set<string>();
  programme.rules.forEach((rule, at) => {
    if (seen.has(rule.key)) context.addIssue({ code: 'custom', message: `rule key "${rule.key}" stands twice; each rule needs its own`, path: ['rules', at, 'key'] });
    seen.add(rule.key);
    for (const problem of ruleProblems(rule)) context.addIssue({ code: 'custom', message: problem.message, path: ['rules', at, ...problem.path] });
  });
});
export type Programme = z.infer<typeof programmeSchema>;

/** What a shape cannot say of one rule: parts that contradict each other. */
function ruleProblems(rule: Rule): { message: string; path: string[] }[] {
  const problems: { message: string; path: string[] }[] = [];
  const refuse = (isWrong: boolean, message: string, ...path: string[]): void => {
    if (isWrong) problems.push({ message, path });
  };
  const { applies, subject, cadence } = rule;
  refuse(subject !== 'path' && (applies.pathTechnologies ?? applies.pathCategories) !== undefined, `technologies and categories of paths only narrow subject "path", not "${subject}"`, 'applies');
  refuse(subject !== 'battery' && (applies.batteryChemistries ?? applies.batteriesOf) !== undefined, `battery chemistries only narrow subject "battery", not "${subject}"`, 'applies');
  refuse(subject !== 'device' && cadence.kind !== 'share' && (applies.deviceKinds ?? applies.links) !== undefined, `device kinds and links only narrow subject "device" or a share, not "${subject}"`, 'applies');
  refuse(cadence.kind === 'share' && subject !== 'system', 'a share is owed by a system; its units are the devices named in applies.deviceKinds', 'subject');
  refuse(cadence.kind === 'share' && applies.deviceKinds === undefined, 'a share names the kinds of device it is a share of', 'applies', 'deviceKinds');
  refuse(cadence.kind === 'age' && rule.basis === 'none', 'an age counts from manufacture or commissioning', 'basis');
  refuse(rule.by === 'occupant' && rule.minEvidence !== 'C', 'what an occupant does is declared by the occupant: evidence C', 'minEvidence');
  refuse(rule.mandated && rule.minEvidence === 'D', 'a quick look or an inherited record meets no mandated duty: evidence A, B or C', 'minEvidence');
  refuse(rule.by === 'licensed' && rule.licences.length === 0, 'a licensed duty names the licences that count', 'licences');
  refuse(rule.reminderStagesDays.some((days, at, all) => at > 0 && days >= (all[at - 1] as number)), 'reminder stages run from the earliest to the latest, largest number first', 'reminderStagesDays');
  return problems;
}
