/** The short codes beside a source that say how it is known, as the library and the limits carry them, and their words. */
export const PROVENANCE = { 'SEEN-P': 'seen in the document', 'SEEN-R': 'seen in a secondary source', 'SEEN-U': 'seen in unchecked notes', MEM: 'from memory' } as const;
export type ProvenanceCode = keyof typeof PROVENANCE;

/** A source as a reader gets it: the codes in it written out. */
export function provenanceWords(text: string, words: (code: ProvenanceCode) => string = (code) => PROVENANCE[code]): string {
  return text.replaceAll(/\b(?:SEEN-[PRU]|MEM)\b/g, (code) => words(code as ProvenanceCode));
}
