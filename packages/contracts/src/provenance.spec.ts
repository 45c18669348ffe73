import { describe, expect, it } from 'vitest';
import { provenanceWords } from './provenance.js';

describe('how a source is known', () => {
  it.each([
    ['SEEN-R: licensing-exam pages', 'seen in a secondary source: licensing-exam pages'],
    ['reporting times by category: EN 50136-1:2012 (MEM, SP6 and DP4 primary SEEN-R)', 'reporting times by category: EN 50136-1:2012 (from memory, SP6 and DP4 primary seen in a secondary source)'],
    ['common delay (SEEN-U, band MEM); SEEN-P', 'common delay (seen in unchecked notes, band from memory); seen in the document'],
    ['REMEMBER the SEEN-X sign', 'REMEMBER the SEEN-X sign'],
  ])('%s', (text, words) => { expect(provenanceWords(text)).toBe(words); });
});
