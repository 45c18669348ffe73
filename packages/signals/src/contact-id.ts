import { type Decoded, quoted, refused } from './decoded.js';

export type Qualifier = 'new' | 'restore' | 'still';

/** One Contact ID report. SIA DC-05. */
export type ContactId = {
  /** Four digits 0-9 and B-F. */
  readonly account: string;
  /** '18' or '98' for event reports; anything else decodes and is described as no event. */
  readonly messageType: string;
  /** The digit as sent; `qualifier` is its meaning, null when it is none of 1, 3 and 6. */
  readonly qualifierDigit: string;
  readonly qualifier: Qualifier | null;
  /** Three digits, e.g. '131'. */
  readonly code: string;
  /** '00' means no group. */
  readonly group: string;
  /** Zone or user, '000' means none. */
  readonly zone: string;
};

const qualifiers: Readonly<Record<string, Qualifier>> = { '1': 'new', '3': 'restore', '6': 'still' };

/**
 * [SIG-1] Decodes a report of sixteen digits ACCT MT QXYZ GG CCC S (blanks between fields allowed), checksum included.
 * 'A' is taken as another spelling of 0 outside the account and refused inside it. Letters are upper case only: a lower-case
 * letter is one flipped bit away, and a flipped bit must never pass.
 */
export function decodeContactId(text: string): Decoded<ContactId> {
  const digits = text.replace(/[ ]/g, '');
  if (digits.length !== 16) return refused('short', `A Contact ID report has 16 digits; got ${digits.length}: ${quoted(text)}.`);
  if (!/^[0-9A-F]{16}$/.test(digits)) return refused('bad-digit', `Only 0-9 and B-F may stand in a Contact ID report: ${quoted(text)}.`);
  if (digits.slice(0, 4).includes('A')) return refused('bad-digit', `An account holds no digit A: ${quoted(digits.slice(0, 4))}.`);
  if (digitSum(digits) % 15 !== 0) {
    return refused('bad-checksum', `The checksum ${digits[15]} does not fit; ${checksumDigit(digits.slice(0, 15))} would: ${quoted(text)}.`);
  }
  const plain = digits.replaceAll('A', '0');
  const qualifierDigit = plain[6]!;
  return {
    ok: true,
    value: {
      account: plain.slice(0, 4), messageType: plain.slice(4, 6), qualifierDigit, qualifier: qualifiers[qualifierDigit] ?? null,
      code: plain.slice(7, 10), group: plain.slice(10, 12), zone: plain.slice(12, 15),
    },
  };
}

/** [SIG-2] The sixteen digits of a report. Throws RangeError for a field that does not fit its digits. */
export function encodeContactId(report: ContactId): string {
  const body = `${report.account}${report.messageType}${report.qualifierDigit}${report.code}${report.group}${report.zone}`;
  if (!/^[0-9B-F]{15}$/.test(body)) throw new RangeError(`Contact ID fields give ${quoted(body)}; expected 15 digits 0-9 and B-F.`);
  return body + checksumDigit(body);
}

/** The digit that makes the total of all sixteen divisible by 15: 0 counts 10, B-F 11 to 15; F for remainder 0, 0 for a needed 10. SIA DC-05. */
export function checksumDigit(first15: string): string {
  const needed = 15 - (digitSum(first15) % 15);
  return needed === 10 ? '0' : needed.toString(16).toUpperCase();
}

function digitSum(digits: string): number {
  let sum = 0;
  for (const digit of digits) sum += digit === '0' ? 10 : parseInt(digit, 16);
  return sum;
}
