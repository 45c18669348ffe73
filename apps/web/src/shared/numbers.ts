import { language } from './language/index.js';

/** Numbers as the chosen language writes them: 1,234.5 in English, 1.234,5 in Spanish. What is stored and sent never changes. */
const LOCALES = { en: 'en-GB', es: 'es' } as const;
const formats = new Map<string, Intl.NumberFormat>();

function format(least: number, most: number): Intl.NumberFormat {
  const key = `${language()} ${least} ${most}`;
  const known = formats.get(key) ?? new Intl.NumberFormat(LOCALES[language()], { minimumFractionDigits: least, maximumFractionDigits: most });
  formats.set(key, known);
  return known;
}

/** A number with its thousands apart, at most `digits` decimals. */
export const numberWords = (n: number, digits = 2): string => format(0, digits).format(n);

/** A number with exactly `digits` decimals. */
export const fixedWords = (n: number, digits: number): string => format(digits, digits).format(n);

/** A number that was read or typed, as it was: only its decimal point follows the language. */
export const asRead = (value: string): string => (language() !== 'en' && /^-?\d+\.\d+$/.test(value.trim()) ? value.trim().replace('.', ',') : value);

/** Several as one: 'a, b and c'. */
export const listWords = (parts: readonly string[], by: 'and' | 'or' = 'and'): string => new Intl.ListFormat(LOCALES[language()], { type: by === 'and' ? 'conjunction' : 'disjunction' }).format(parts);
