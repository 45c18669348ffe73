/**
 * An input that cannot be accepted: which part, which value, and what would be.
 * Doors show `message` as it stands.
 */
export class RecurrenceInputError extends Error {
  override readonly name = 'RecurrenceInputError';
  constructor(
    /** The part of the input, e.g. 'rrule BYMONTH' or 'from'. */
    readonly part: string,
    /** The value as it was given. */
    readonly value: string,
    /** What is accepted instead, in words. */
    readonly accepted: string,
  ) {
    super(`${part}: "${value}" is not accepted; accepted: ${accepted}`);
  }
}

/** A search was stopped at its bound before it could answer; the bound stands in the message. */
export class SearchBoundReached extends Error {
  override readonly name = 'SearchBoundReached';
  constructor(
    /** What was searched for. */
    readonly what: string,
    /** The bound in words, e.g. '400 years after 2027-01-01T09:00:00'. */
    readonly bound: string,
  ) {
    super(`${what}: stopped at the bound of ${bound}`);
  }
}
