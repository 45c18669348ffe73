import { describe, expect, it } from 'vitest';
import { fleetWords, hoursWords, ninesOf, rateWords, shareWords } from './exposure-words.js';

describe('words of exposure', () => {
  it.each([[0.001, 'under 1 min'], [0.5, '30 min'], [9.44, '9.4 h'], [1312.4, '1,312 h']])('%f hours: %s', (hours, words) => expect(hoursWords(hours)).toBe(words));
  it.each([[0, '0 %'], [0.004, 'under 1 %'], [0.61, '61 %']])('share %f: %s', (share, words) => expect(shareWords(share)).toBe(words));
  it.each([[99.8, '99 %'], [0, '0 %']])('nobody is above the whole fleet: %f is %s', (percentile, words) => expect(fleetWords(percentile)).toBe(words));
  it.each([[0.00001, 'under 0.0001'], [0.00713, '0.0071'], [0.35, '0.35'], [12.2, '12']])('rate %f: %s', (rate, words) => expect(rateWords(rate)).toBe(words));
  it('a link grows one step per factor of ten, and stays within four', () => {
    expect([0, 0.9, 0.99, 0.999, 1].map(ninesOf).map((nines) => Math.round(nines * 1000) / 1000)).toEqual([0, 1, 2, 3, 4]);
  });
});
