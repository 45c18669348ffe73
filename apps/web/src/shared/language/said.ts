import { provenanceWords } from '@bellround/contracts';
import { language, phrase } from './index.js';

/**
 * What a server or an engine says in English, in the language of this device: reasons of verdicts, of windows and of plans, refusals,
 * steps and cautions of checks. English is said as it comes. Every other language brings a reader of its sentences (docs/adr/0012).
 */
type Reader = (text: string) => string;
const FETCHED: Readonly<Record<string, () => Promise<{ readonly reader: Reader }>>> = { es: () => import('./es/reader.js') };

const KNOWN = { 'SEEN-P': () => phrase('word.seen-in-the-document'), 'SEEN-R': () => phrase('word.seen-in-a-secondary-source'), 'SEEN-U': () => phrase('word.seen-in-unchecked-notes'), MEM: () => phrase('word.from-memory') };
let reader: Reader | null = null;
const asked = new Map<string, Promise<void>>();

/** Settled once sentences can be said; every screen waits for it beside its own script. Sentences that cannot be fetched stay English. */
export function sentencesReady(): Promise<void> {
  const now = language();
  const fetch = FETCHED[now];
  if (fetch === undefined) { reader = null; return Promise.resolve(); }
  const before = asked.get(now) ?? fetch().then((one) => { reader = one.reader; }, () => { asked.delete(now); });
  asked.set(now, before);
  return before;
}

/** Codes of how a source is known are written out, in every language. */
export function said(text: string): string {
  return provenanceWords(reader === null ? text : reader(text), (code) => KNOWN[code]());
}
