import { dayWords } from '../../../shared/format.js';

/** Words of the engine with their days written as people read them: '2027-03-09' -> 'Tue 9 Mar 2027'. */
export function plainWords(words: string): string {
  return words.replace(/\b\d{4}-\d{2}-\d{2}\b/g, (day) => dayWords(day));
}
