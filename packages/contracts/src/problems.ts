import { z } from 'zod';

/**
 * Every refusal the product knows: its HTTP status and its title. Acts throw `Refusal`; a door turns it into a
 * problem document (RFC 9457). A row of another company is NotFound, exactly as one that never existed.
 */
export const PROBLEMS = {
  BadInput: { status: 400, title: 'The request is not as it should be' },
  NotSignedIn: { status: 401, title: 'Sign in first' },
  SignInRefused: { status: 401, title: 'E-mail or password is wrong' },
  ChooseCompany: { status: 409, title: 'This e-mail belongs to several companies' },
  NotAllowed: { status: 403, title: 'Your role may not do this' },
  NotFound: { status: 404, title: 'Nothing here by that id' },
  TooMany: { status: 429, title: 'Too many tries; wait before the next' },
  TooLarge: { status: 413, title: 'The request is too large' },
  IdReused: { status: 409, title: 'This id was already used for something else' },
  Stale: { status: 409, title: 'Somebody changed this since you loaded it' },
  WrongState: { status: 409, title: 'This cannot be done in its present state' },
  VisitClosed: { status: 409, title: 'The visit is not open' },
  HoldRequired: { status: 409, title: 'The account is not on test; this check would be a real alarm' },
  HoldOpen: { status: 409, title: 'The account is on test' },
  StillOut: { status: 409, title: 'Something taken out of normal is not back' },
  StillOwed: { status: 409, title: 'A check is still owed before the visit can close' },
  NotLicensed: { status: 409, title: 'Skill or licence is missing on that day' },
  RuleBroken: { status: 409, title: 'The plan would break a rule' },
  ImportRefused: { status: 422, title: 'The file cannot be imported' },
  Unavailable: { status: 503, title: 'Something this needs is not reachable now' },
  Internal: { status: 500, title: 'Something went wrong on our side' },
} as const satisfies Record<string, { status: number; title: string }>;

export type ProblemName = keyof typeof PROBLEMS;

/** One refused field: where it is, what was wrong, and what is accepted. */
export const FieldFault = z.object({ path: z.string(), message: z.string() });
export type FieldFault = z.infer<typeof FieldFault>;

/** RFC 9457 problem details, with `errors` for fields and `data` for what a screen needs to show. */
export const ProblemDocument = z.object({
  type: z.string(),
  title: z.string(),
  status: z.int(),
  detail: z.string(),
  instance: z.string().optional(),
  errors: z.array(FieldFault).optional(),
  data: z.record(z.string(), z.unknown()).optional(),
});
export type ProblemDocument = z.infer<typeof ProblemDocument>;

/**
 * A named refusal. `detail` says what, which value and what is accepted, in words for the person at the screen.
 */
export class Refusal extends Error {
  constructor(
    readonly problem: ProblemName,
    readonly detail: string,
    readonly more: { errors?: FieldFault[]; data?: Record<string, unknown> } = {},
  ) {
    super(`${problem}: ${detail}`);
    this.name = 'Refusal';
  }
}

/** The problem document of a refusal. `instance` is the path asked for. */
export function problemDocument(refusal: Refusal, instance?: string): ProblemDocument {
  const { status, title } = PROBLEMS[refusal.problem];
  const slug = refusal.problem.replace(/([a-z])([A-Z])/g, '$1-$2').toLowerCase();
  return {
    type: `urn:bellround:problem:${slug}`, title, status, detail: refusal.detail,
    ...(instance === undefined ? {} : { instance }),
    ...(refusal.more.errors ? { errors: refusal.more.errors } : {}),
    ...(refusal.more.data ? { data: refusal.more.data } : {}),
  };
}

/** Characters that no database keeps and no other program reads: NUL, and half of a pair that stands for one character. */
const UNKEEPABLE = /[\0]|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/;

/** Where an input holds text that cannot be kept, however well it reads otherwise. */
export function textFaults(input: unknown, at: readonly string[] = []): FieldFault[] {
  if (typeof input === 'string') return UNKEEPABLE.test(input) ? [{ path: at.join('.') || '(whole)', message: 'holds a character that cannot be kept (NUL, or half of one); write it anew' }] : [];
  if (typeof input !== 'object' || input === null) return [];
  return Object.entries(input).flatMap(([key, value]) => (UNKEEPABLE.test(key) ? textFaults(key, at) : textFaults(value, [...at, key])));
}

/** Turns a zod error into field faults with paths such as `readings.0.value`. */
export function fieldFaults(error: z.core.$ZodError): FieldFault[] {
  return error.issues.map((issue) => ({ path: issue.path.map(String).join('.') || '(whole)', message: issue.message }));
}
