import { language } from './language/index.js';

/**
 * What somebody typed as a number: null when nothing, undefined when it is no number. Takes a decimal comma as well as a point,
 * and a real minus sign. What could be thousands in the language of the screen (12,345 in English, 12.345 in Spanish) is refused
 * rather than read a thousand times too small.
 */
export function parseNumber(text: string): number | null | undefined {
  const plain = text.trim().replace(/[\s\u00a0\u202f]/g, '').replace('−', '-');
  if (plain === '') return null;
  if ((language() === 'en' ? /^-?[1-9]\d{0,2}(,\d{3})+$/ : /^-?[1-9]\d{0,2}(\.\d{3})+$/).test(plain)) return undefined;
  const pointed = plain.replace(',', '.');
  return /^-?(\d+\.?\d*|\.\d+)$/.test(pointed) ? Number(pointed) : undefined;
}
