import { describe, expect, it } from 'vitest';
import { governing, localDate, timeline, type Cadence } from '@bellround/recurrence';
import { programmeLibrary, type Rule } from '../src/index.js';

const d = (text: string) => localDate(text);
const ruleOf = (programme: string, key: string): Rule => programmeLibrary.find((one) => one.key === programme)!.rules.find((rule) => rule.key === key)!;

/** The window after a good check on Wednesday 10 March 2027, as the engine gives it: opens, due, lapses. */
function after(cadence: Cadence): string[] {
  const window = governing(timeline({ cadence, from: d('2026-12-01'), basisOn: null, proofs: [{ on: d('2027-03-10'), ref: 'c', clean: true }] }, d('2027-03-11')), d('2027-03-11'))!;
  return [window.opens, window.due, window.lapses];
}

/*
 * What the words of frequency mean, reckoned by hand from 10 March 2027. Definitions from memory (NFPA 72 and NFPA 25 chapter
 * 3): annual 9 to 15 months, semiannual 4 to 8, quarterly 2 to 4 after the last; monthly and weekly once in each calendar
 * month and week. Verify against your adopted edition.
 */
const MEANS = {
  annual: ['2027-12-10', '2028-03-10', '2028-06-10'], semiannual: ['2027-07-10', '2027-09-10', '2027-11-10'], quarterly: ['2027-05-10', '2027-06-10', '2027-07-10'],
  monthly: ['2027-04-01', '2027-04-30', '2027-04-30'], weekly: ['2027-03-15', '2027-03-21', '2027-03-21'],
} as const;

type Row = readonly [item: string, programme: string, rule: string, means: keyof typeof MEANS, provenance: string];

// FACTS 1a: NFPA 72 Table 14.3.1, visual inspection.
const VISUAL: readonly Row[] = [
  ['all equipment: building, occupancy, environment', 'fire-frequency-tables', 'visual-premises', 'annual', 'SEEN-P: NFPA 72-2013 Table 14.3.1 row 1 and an extract of the 2019 edition'],
  ['control equipment of a monitored system', 'fire-frequency-tables', 'visual-control-monitored', 'annual', 'SEEN-P: row 2(a)(1) to (4)'],
  ['trouble signals of a monitored system', 'fire-frequency-tables', 'visual-trouble-monitored', 'semiannual', 'SEEN-P: row 2(a)(5)'],
  ['control equipment of an unmonitored system', 'fire-frequency-tables', 'visual-control-unmonitored', 'weekly', 'SEEN-P: row 2(b)'],
  ['vented lead-acid battery', 'fire-frequency-tables', 'visual-battery-vented', 'monthly', 'SEEN-P: 2013 edition, row 9'],
  ['nickel-cadmium or sealed lead-acid battery', 'fire-frequency-tables', 'visual-battery-semiannual', 'semiannual', 'SEEN-P: 2013 edition, row 9'],
  ['primary dry cell', 'fire-frequency-tables', 'visual-battery-dry', 'monthly', 'SEEN-P: 2013 edition, row 9'],
  ['initiating devices', 'fire-frequency-tables', 'visual-initiating', 'semiannual', 'SEEN-R: open code citing Table 14.3.1; else from memory'],
  ['notification appliances', 'fire-frequency-tables', 'visual-appliances', 'semiannual', 'SEEN-R: open code citing Table 14.3.1; else from memory'],
  ['waterflow and valve supervisory', 'fire-frequency-tables', 'visual-waterflow', 'quarterly', 'from memory (a page says "Qua..." and is cut)'],
  ['carbon monoxide detectors', 'fire-frequency-tables', 'visual-co', 'semiannual', 'from memory'],
  ['off-premises transmitters', 'fire-frequency-tables', 'visual-transmitters', 'annual', 'SEEN-P: row 4'],
];
// FACTS 1b: NFPA 72 Table 14.4.3.2 and its forerunners.
const FUNCTIONAL: readonly Row[] = [
  ['control equipment, monitored', 'fire-frequency-tables', 'control-monitored', 'annual', 'SEEN-P: older edition, Table 10.4.4 rows 1(a) to (f)'],
  ['control equipment, unmonitored', 'fire-frequency-tables', 'control-unmonitored', 'quarterly', 'SEEN-P: same, row 2'],
  ['vented lead-acid at a central station: load voltage', 'fire-frequency-tables', 'battery-vented', 'monthly', 'SEEN-P: same, row 5(a)'],
  ['nickel-cadmium at a central station: charger', 'fire-frequency-tables', 'battery-nickel', 'quarterly', 'SEEN-P: same, row 5(b)(1)'],
  ['sealed lead-acid: load voltage', 'fire-frequency-tables', 'battery-sealed', 'semiannual', 'SEEN-R: trade pages ("load tests semiannually"); exact row from memory'],
  ['vented lead-acid at a central station: charger', 'fire-frequency-tables', 'charger-vented', 'annual', 'SEEN-P: same, row 5(a)'],
  ['sealed lead-acid in fire systems, editions to 2016: charger', 'fire-frequency-tables', 'charger-sealed', 'annual', 'SEEN-R: trade pages; exact row from memory'],
  ['smoke detector, functional', 'fire-frequency-tables', 'smoke-functional', 'annual', 'SEEN-R and SEEN-U: open text'],
  ['manual stations', 'fire-frequency-tables', 'call-point', 'annual', 'SEEN-R and SEEN-U'],
  ['waterflow devices', 'fire-frequency-tables', 'waterflow', 'semiannual', 'SEEN-R: open text citing the 2025 edition, 14.4.3.2'],
  ['valve-supervisory devices', 'fire-frequency-tables', 'valve-supervisory', 'semiannual', 'SEEN-R: open text citing the 2025 edition, 14.4.3.2'],
  ['audible appliances', 'fire-frequency-tables', 'sounder', 'annual', 'SEEN-R: open text'],
  ['visible appliances', 'fire-frequency-tables', 'visual-alarm', 'annual', 'SEEN-R: open text'],
  ['off-premises transmission', 'fire-frequency-tables', 'transmission', 'annual', 'SEEN-R: open text'],
  ['carbon monoxide, functional', 'carbon-monoxide', 'functional', 'annual', 'from memory'],
  ['household monitored system: automatic signal', 'household-monitored', 'monthly-signal', 'monthly', 'SEEN-P: Texas State Fire Marshal notice, May 2014, quoting NFPA 72-2007 11.7.8(6)'],
  ['single and multiple station alarms: occupant', 'household-monitored', 'occupant-monthly', 'monthly', 'SEEN-R: licensing-exam pages'],
];

describe('[PRO-1] frequencies as published', () => {
  it.each([...VISUAL, ...FUNCTIONAL])('%s (%s, %s): %s [%s]', (_, programme, key, means) => {
    expect(after(ruleOf(programme, key).cadence as Cadence)).toEqual(MEANS[means]);
  });
  it('smoke sensitivity: installed 2010, then 2011, 2013, 2015, 2020 (SEEN-R: three independent pages, published worked dates)', () => {
    const cadence = ruleOf('fire-frequency-tables', 'smoke-sensitivity').cadence as Cadence;
    const windows = timeline({ cadence, from: d('2010-01-01'), basisOn: d('2010-06-15'), proofs: ['2011-06-10', '2013-06-05', '2015-06-01'].map((on) => ({ on: d(on), ref: on, clean: true })) }, d('2016-01-01'));
    expect(windows.slice(1).map((window) => window.lapses.slice(0, 4))).toEqual(['2011', '2013', '2015', '2020']);
  });
  it('restorable heat detectors: two or more each year, all within 5 years (from memory)', () => {
    expect(ruleOf('fire-frequency-tables', 'heat-share').cadence).toEqual({ kind: 'share', period: 'year', numerator: 1, denominator: 5, atLeast: 2 });
  });
  it.each([
    ['smoke-head', 10, 'SEEN-R: page quoting NFPA 72 29.10.1, of manufacture, for alarms'], ['battery-sealed', 5, 'SEEN-R: 2007 Table 10.4.4 item 6(d)(1), of manufacture'],
  ] as const)('%s is replaced at %i years of manufacture [%s]', (key, years, _) => {
    const rule = ruleOf('maker-age', key);
    expect([rule.cadence, rule.basis]).toMatchObject([{ kind: 'age', years }, 'manufacture']);
  });
  it('BS 5839-1:2017 45.3: not over 6 months between visits (SEEN-P); 2025: 5 to 7 months (SEEN-R: IET Wiring Matters, November 2025)', () => {
    expect(after(ruleOf('fire-code-of-practice-2017', 'service-visit').cadence as Cadence)[2]).toBe('2027-09-10');
    expect(after(ruleOf('fire-code-of-practice-2025', 'service-visit').cadence as Cadence)).toEqual(['2027-08-10', '2027-09-10', '2027-10-10']);
  });
  it('BS 5839-1 clause 44, weekly user check by the occupant (SEEN-R); clause 45, all devices in 12 months (SEEN-R), a quarter at each of four visits (from memory)', () => {
    expect(after(ruleOf('fire-code-of-practice-2017', 'weekly-user').cadence as Cadence)).toEqual(MEANS.weekly);
    expect(ruleOf('fire-code-of-practice-2017', 'weekly-user').by).toBe('occupant');
    for (const key of ['devices-smoke', 'devices-heat', 'devices-call-point', 'devices-sounder']) expect(after(ruleOf('fire-code-of-practice-2017', key).cadence as Cadence)[2]).toBe('2028-03-10');
    expect(ruleOf('fire-code-of-practice-2017', 'detectors-share').cadence).toEqual({ kind: 'share', period: 'quarter', numerator: 1, denominator: 4 });
  });
});

/*
 * Where the library does not follow a published row, and why. Each stands in FACTS section 1.
 * - In-building voice equipment, semiannual: no device kind for it.
 * - Sealed lead-acid charger and 30-minute discharge, annual; vented: specific gravity, semiannual: the check on load of the
 *   same battery is asked for more often; their own readings are not told apart.
 * - VRLA 2019 and later, replaced or load-checked for capacity every 3 years: the maker-age programme replaces at 5; a company
 *   on a later edition clones it with 3.
 * - Heat, not restorable, after 15 years: devices are not told apart by being restorable.
 * - Reacceptance after a change: an event of a visit, no frequency.
 * - Household systems by a contractor every 3 years: looked for and not found, so no duty.
 * - BS 5839-1, daily look at the panel by the occupant: shorter than a week; no duty of ours.
 * - EN 50131-7: another page says grades 1 and 2 once, grades 3 and 4 twice a year (conflicting): the programme is by signalling.
 */
