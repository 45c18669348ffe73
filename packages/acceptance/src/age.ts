import type { LocalDate } from './definition.js';
import { addMonths, ageWords, dayNumber, monthsBetween } from './local-date.js';

export type Age =
  | { readonly kind: 'known'; readonly months: number; readonly words: string }
  | { readonly kind: 'at-least'; readonly months: number; readonly words: string }
  | { readonly kind: 'unknown'; readonly words: string };

/** [ACC-16] Age at a date. Without a date of make the first sight gives a lower bound only; without either it is unknown, never young. */
export function ageAt(dates: { madeOn?: LocalDate | undefined; firstSeenOn?: LocalDate | undefined }, now: LocalDate): Age {
  const { madeOn, firstSeenOn } = dates;
  if (madeOn !== undefined && dayNumber(madeOn) !== null) {
    const months = monthsBetween(madeOn, now);
    return { kind: 'known', months, words: `${ageWords(months)} on ${now}` };
  }
  if (firstSeenOn !== undefined && dayNumber(firstSeenOn) !== null) {
    const months = monthsBetween(firstSeenOn, now);
    return { kind: 'at-least', months, words: `at least ${ageWords(months)} by ${now}, made date unknown` };
  }
  return { kind: 'unknown', words: "age can't be told: no made date, never seen before" };
}

export type AgeDue = { readonly due: boolean; readonly dueOn: LocalDate | null; readonly words: string };

/** [ACC-17] Whether an age rule has come due. An unknown date of make counts as due. The last day before the limit is still good. */
export function ageDue(dates: { madeOn?: LocalDate | undefined; firstSeenOn?: LocalDate | undefined }, limitMonths: number, now: LocalDate): AgeDue {
  const age = ageAt(dates, now);
  if (age.kind !== 'known') return { due: true, dueOn: null, words: `${age.words}; treated as due (date missing)` };
  const dueOn = addMonths(dates.madeOn!, limitMonths);
  return { due: now >= dueOn, dueOn, words: `${age.words}, limit ${ageWords(limitMonths)} reached ${dueOn}` };
}
