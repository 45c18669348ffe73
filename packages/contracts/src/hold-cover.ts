/** Minutes before the end of an on-test hold at which it is warned of, on the phone and by the house (company rule). */
export const HOLD_WARNINGS_MIN: readonly number[] = [15, 5, 1];

/** What of a hold decides whether a signal would be ignored by the station. Instants are UTC ISO text. */
export interface HoldToCover {
  readonly accountId: string;
  /** what is on test; an empty list covers everything */
  readonly parts: readonly string[];
  readonly stationReference: string;
  readonly openedAt: string;
  readonly untilAt: string;
  readonly closedAt: string | null;
}

/** The subject that would signal: its account (null: not known, any live account of the site may hear it), its system's kind, and what it is. */
export interface SubjectToCover { readonly accountId: string | null; readonly systemKind: string; readonly kind: string }

export type HoldCover<H> =
  | { readonly isCovered: true; readonly hold: H | null }
  /** `last`: the hold that covered it before, if any; `why` in words */
  | { readonly isCovered: false; readonly last: H | null; readonly why: string };

function isPartOf(hold: HoldToCover, subject: SubjectToCover): boolean {
  return hold.parts.length === 0 || hold.parts.includes(subject.systemKind) || (subject.kind === 'path' && hold.parts.includes('paths'))
    || (hold.parts.includes('panic') && ['hold-up', 'medical'].includes(subject.systemKind));
}

/**
 * VIS-5. Whether a hold makes a signal of this subject harmless at `at`; from opening, before its end, and until it was closed.
 * The phone asks before a step and while it lasts, the house asks again when the check is recorded: the same code.
 * No live account at all: no station listens, so there is nothing to hold and `hold` is null.
 */
export function holdCover<H extends HoldToCover>(holds: readonly H[], subject: SubjectToCover, liveAccountIds: readonly string[], at: string): HoldCover<H> {
  const moment = Date.parse(at);
  const accountIds = subject.accountId !== null ? [subject.accountId] : liveAccountIds;
  if (accountIds.length === 0) return { isCovered: true, hold: null };
  const ours = holds.filter((hold) => accountIds.includes(hold.accountId) && isPartOf(hold, subject) && Date.parse(hold.openedAt) <= moment);
  const good = ours.find((hold) => moment < Date.parse(hold.untilAt) && (hold.closedAt === null || moment <= Date.parse(hold.closedAt)));
  if (good) return { isCovered: true, hold: good };
  const last = ours.at(-1) ?? null;
  if (last === null) return { isCovered: false, last, why: 'no hold of this visit covers it' };
  const isClosedEarly = last.closedAt !== null && Date.parse(last.closedAt) < Date.parse(last.untilAt);
  return { isCovered: false, last, why: `the hold (station's reference ${last.stationReference}) ${isClosedEarly ? `was closed at ${last.closedAt}` : `ended at ${last.untilAt}`}` };
}
