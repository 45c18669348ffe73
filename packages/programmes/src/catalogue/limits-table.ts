import { audibleRules, awgOhmPer1000Ft, type CheckDefinition, type Limit, limitWords, metricOhmPerKm, reportingTimes, sourceWords } from '@bellround/acceptance';
import { furtherLimits } from './further-limits.js';

/** Every limit of the given checks as a Markdown document, one row each: what is read, what is accepted, and where that comes from. */
export function limitsTable(definitions: readonly CheckDefinition[]): string {
  const rows = definitions.flatMap((d) => d.limits.map((limit) => `| ${d.title} | ${labelOf(d, limit)} | ${accepted(limit)} | ${limit.level === 'fail' ? 'fails' : 'warns'} | ${cell(sourceWords(limit.source))} |`));
  return [
    '# Every limit that Bellround applies, and where it comes from', '',
    'Generated from the check catalogue; a spec holds this file equal to it. A limit set by the maker or the company for one subject replaces',
    'the row of the same reading and level, or is held besides a computed one. Local codes, the adopted edition, the listing and licensed practice prevail.', '',
    'SEEN-P: seen in the document or a page reproducing it. SEEN-R: seen in a secondary source. SEEN-U: seen in unchecked notes. MEM: from memory.', '',
    '| check | reading | accepted | breaking it | source |', '| --- | --- | --- | --- | --- |', ...rows, '',
    ...further(), ...behind(), '',
  ].join('\n');
}

/** What the product decides by numbers that are no limit of a check's reading. */
function further(): string[] {
  return ['## Numbers beside the limits of checks', '', ...furtherLimits.flatMap(([title, rows]) => [`### ${title}`, '', '| what | limit | then | source |', '| --- | --- | --- | --- |', ...rows.map((one) => `| ${[one.what, one.limit, one.then, one.source].map(cell).join(' | ')} |`), ''])];
}

/** The tables and formulas that computed limits read, from the engine's own constants. */
function behind(): string[] {
  const seconds = (s: number | null) => (s === null ? 'no such path' : `${s} s`);
  const gauges = [22, 18, 16, 14, 12, 10].map((awg) => `| ${awg} AWG | ${awgOhmPer1000Ft(awg, 'solid') ?? ''} | ${awgOhmPer1000Ft(awg, '7-strand') ?? 'not in the table'} |`);
  return [
    '## What computed limits read', '',
    '### Reporting time of a path, EN 50136-1:2012', '', '| category | first path | second path | how known |', '| --- | --- | --- | --- |',
    ...Object.entries(reportingTimes).map(([category, times]) => `| ${category} | ${seconds(times.primaryS)} | ${seconds(times.alternateS)} | ${times.provenance} |`), '',
    'With the first path down, the second of DP2 to DP4 reports as fast as the first did (MEM). Where the category is not known: 200 s for a trouble shown on site (NFPA 72, 26.6.4, SEEN-R), 60 min for a single technology (NFPA 72, 26.6.3, 2022, SEEN-R).', '',
    '### Level where people are', '', '| rule | above ambient | above a maximum of 60 s | at least | source |', '| --- | --- | --- | --- | --- |',
    ...Object.entries(audibleRules).map(([name, rule]) => `| ${name} | ${rule.aboveAmbientDb} dB | ${rule.aboveMaximumDb} dB | ${rule.floorDb > 0 ? `${rule.floorDb} dB(A)` : 'none'} | ${cell(rule.words)} |`), '',
    '### Resistance of copper', '', '| gauge, ohm per 1000 ft at 75 °C | solid | 7-strand |', '| --- | --- | --- |', ...gauges, '',
    'NEC chapter 9, table 8, uncoated, DC (SEEN-P); 22 AWG from a wire table at 20 °C (SEEN-R), warmed by 0.00393 per °C (CALC).', '',
    '| section, ohm per km at 20 °C | class 1/2 |', '| --- | --- |', ...[0.5, 0.75, 1, 1.5, 2.5].map((mm2) => `| ${mm2} mm² | ${metricOhmPerKm(mm2)} |`), '', 'IEC 60228 (MEM).', '',
    '### Formulas', '', '| what | formula | how known |', '| --- | --- | --- |',
    '| standby capacity, sum | (standby A x h + alarm A x h) x allowance; 1.20 to the 2019 edition, 1.25 reported for 2022 | NFPA 72, 10.6.7, SEEN-R, in conflict: a setting |',
    '| standby capacity, VDE 0833-2 | the sum x 1.25 up to 24 h, x 1.1 more up to 12 h | SEEN-R, a printed example |',
    '| standby capacity, BS 5839-1 | 1.25 (T1 I1 + D I2 / 2), D 1.75 | constants SEEN-R, formula MEM |',
    '| life and temperature | half for each 8 to 10 °C above the reference | SEEN-R |',
    '| capacity at its age | 100 % new, 80 % at the end of the life that the temperature leaves | end of life IEEE 450, IEEE 1188, SEEN-R; curve a company rule |',
    '| charge voltage | 2.25 to 2.32 V a cell at 25 °C, -3 mV a cell and °C | SEEN-R; range MEM |',
    '| drop of a two-wire run | 2 x length x current x resistance | MEM |',
    '| level at distance | less 20 lg of the distances\' ratio | MEM |',
    '| free space | 20 lg km + 20 lg MHz + 32.45 dB | ITU-R P.525, MEM |',
    '| indoors | 20 lg MHz + N lg m + floors - 28 dB | ITU-R P.1238, SEEN-R; 900 MHz coefficients MEM |',
    '| failure share | Wilson score interval, 95 % | R prop.test by scipy\'s tests, SEEN-P |',
    '| life of a device | smoke 10, CO and gas 5, heat 15 years where nothing is marked; its last 183 days warn | as in the row of its check; the warning a company rule |',
    '| supply voltage near its tolerance | the last 2 % of the rated voltage warn | company rule |',
    '| trend | Theil-Sen slope with Sen\'s interval, 95 % | Sen 1968 by scipy\'s tests, SEEN-P |',
  ];
}

function labelOf(definition: CheckDefinition, limit: Limit): string {
  return cell(definition.readings.find((r) => r.key === limit.reading)?.label ?? limit.reading);
}

function accepted(limit: Limit): string {
  if (limit.value === null) return cell(limit.computed ?? '');
  if (limit.value === true) return 'yes';
  if (limit.value === false) return 'no';
  return cell(limitWords(limit));
}

function cell(text: string): string {
  return text.replaceAll('|', '/').replace(/\s+/g, ' ').trim();
}
