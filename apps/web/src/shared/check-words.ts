import { said } from './language/said.js';
/** A kind of check in a few words, as the lists name it. */
export const checkWord = (kind: string): string => said(kind.replaceAll('-', ' '));
