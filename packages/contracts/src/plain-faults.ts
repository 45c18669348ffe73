import { z } from 'zod';

const KINDS: Record<string, string> = { string: 'text', number: 'a number', int: 'a whole number', boolean: 'yes or no', array: 'a list', object: 'an object', date: 'a date' };

/** The default words for what a schema refuses: what is accepted, in the words of our screens. Schemas' own words win. */
export function plainFault(issue: z.core.$ZodRawIssue): string | undefined {
  switch (issue.code) {
    case 'invalid_type': return issue.input === undefined ? 'is missing' : `must be ${kindOf(issue)}`;
    case 'too_small': return bound(issue.origin, issue.minimum, 'least', issue.inclusive ?? true);
    case 'too_big': return bound(issue.origin, issue.maximum, 'most', issue.inclusive ?? true);
    case 'invalid_value': return `must be ${issue.values.length === 1 ? '' : 'one of '}${issue.values.map(String).join(', ')}`;
    case 'unrecognized_keys': return `has fields nobody knows: ${issue.keys.join(', ')}`;
    case 'not_multiple_of': return `must be a multiple of ${String(issue.divisor)}`;
    default: return undefined;
  }
}

// Text where a whole number belongs is told as 'number' expected; that it must be whole stands in the schema alone.
function kindOf(issue: z.core.$ZodRawIssue<z.core.$ZodIssueInvalidType>): string {
  const def = issue.inst?._zod.def as { readonly format?: string; readonly checks?: readonly z.core.$ZodCheck[] } | undefined;
  const formats = [def?.format, ...(def?.checks ?? []).map((check) => (check._zod.def as { readonly format?: string }).format)];
  const expected = issue.expected === 'number' && formats.includes('safeint') ? 'int' : issue.expected;
  return KINDS[expected] ?? expected;
}

function bound(origin: string, limit: number | bigint, side: 'least' | 'most', isInclusive: boolean): string {
  if (origin === 'string') return side === 'least' && Number(limit) === 1 ? 'must not be empty' : `must have at ${side} ${limit} character${Number(limit) === 1 ? '' : 's'}`;
  if (origin === 'array' || origin === 'set') return side === 'least' && Number(limit) === 1 ? 'must hold at least one' : `must hold at ${side} ${limit}`;
  if (isInclusive) return `must be at ${side} ${limit}`;
  return `must be ${side === 'least' ? 'more' : 'less'} than ${limit}`;
}

/** Makes every schema of this process speak plainly. Each door calls it once, before its first request. */
export function speakPlainly(): void {
  z.config({ customError: plainFault });
}
