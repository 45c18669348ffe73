import type { LocalDate } from './local-date.js';

/** A try at access before a window lapsed, as far as lateness looks at it. */
export interface AccessAttempt {
  readonly on: LocalDate;
  readonly how: 'at-door' | 'call' | 'message' | 'letter';
  /** At the door: position and a photo of the card were kept. Otherwise: a copy or log of what was sent. */
  readonly isProven: boolean;
}

/** Who could have prevented a lateness. It changes nothing of the lateness itself. */
export interface LateBecause {
  readonly who: 'customer' | 'ours';
  /** 'customer (3 attempts, letter)' or 'ours (1 attempt is not enough)'. */
  readonly words: string;
}

/** Proven attempts at the door that shift lateness to the customer. Company rule. */
export const ATTEMPTS_NEEDED = 2;

const counted = (n: number): string => `${n} attempt${n === 1 ? '' : 's'}`;

/**
 * Attributes a late or missed window. A reason needs evidence or it falls back to us: enough proven attempts at the door inside
 * the window count as the customer's, a letter is named beside them; what is not proven counts for nothing.
 */
export function lateBecause(window: { readonly opens: LocalDate; readonly lapses: LocalDate }, attempts: readonly AccessAttempt[], needed = ATTEMPTS_NEEDED): LateBecause {
  const inside = attempts.filter((attempt) => attempt.isProven && attempt.on >= window.opens && attempt.on <= window.lapses);
  const atDoor = inside.filter((attempt) => attempt.how === 'at-door').length;
  const letter = inside.some((attempt) => attempt.how === 'letter');
  if (atDoor >= needed) return { who: 'customer', words: `customer (${counted(atDoor)}${letter ? ', letter' : ''})` };
  const tried = attempts.filter((attempt) => attempt.how === 'at-door').length;
  return { who: 'ours', words: tried === 0 ? 'ours (no attempt)' : `ours (${counted(tried)}, ${atDoor} proven; ${needed} are needed)` };
}
