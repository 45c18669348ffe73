/** What somebody typed as a number: null when nothing, undefined when it is no number. Takes a decimal comma and a real minus sign. */
export function parseNumber(text: string): number | null | undefined {
  const plain = text.trim().replace(/[\s\u00a0\u202f]/g, '').replace('−', '-').replace(',', '.');
  if (plain === '') return null;
  return /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : undefined;
}
