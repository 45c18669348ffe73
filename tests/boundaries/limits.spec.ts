import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { furtherLimits } from '@bellround/programmes';
import { describe, expect, it } from 'vitest';

// docs/guide/limits.md is every limit that the product applies. A number that decides something stands in the catalogue, in
// further-limits.ts, or here as what it is instead: a table printed elsewhere, a unit, a rounding. A new one fails until it is placed.
const ROOT = join(import.meta.dirname, '..', '..');
const rows = furtherLimits.flatMap(([, some]) => some);
const read = (file: string) => readFileSync(join(ROOT, file), 'utf8');
const sourcesUnder = (folder: string): string[] => readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' }).filter((name) => /\.tsx?$/.test(name) && !/\.spec\./.test(name)).map((name) => `${folder}/${name}`).toSorted();

/** Numbers of the engines that are no limit, by file: a line that holds one of these texts is explained. */
const NO_LIMIT: Readonly<Record<string, readonly string[]>> = {
  'packages/acceptance/src/judgement.ts': ['goodness:'], // an order
  'packages/acceptance/src/outcome.ts': ['severity:'], // an order
  'packages/acceptance/src/visit-order.ts': ['return 4', '? 3 : 0'], // an order of phases
  'packages/acceptance/src/minimum-pick.ts': ['searchLimit'], // bound of a search
  'packages/acceptance/src/readings.ts': ['value.length <= 2000'], // length of a text
  'packages/acceptance/src/hints.ts': ['1e-9', '0.8 % less', 'needAh: round(', 'round(dropV, 3)'], // a guard, words, rounding
  // Rounding; in the row of its check: 12.5 V at rest, five years; 25 °C is where the temperature is not known; the rest are words.
  'packages/acceptance/src/judges/battery.ts': ['round(', '(12.5 * nominal)', "'temperatureC') ?? 25", "'ageLimitYears'] ?? 5", '365.25', 'above the 80 % rule'],
  'packages/acceptance/src/judges/charge.ts': ['2.25), floatVoltageV', 'round('], // in the row of its check
  // Defaults that stand in the row of their check.
  'packages/acceptance/src/judges/device.ts': ["'tolerancePctPerFt'] ?? 0.25", '1e-9', 'round(', "'warnDays'] ?? 183", "'maxTurns'] ?? 2"],
  'packages/acceptance/src/judges/false-alarms.ts': ["'leastForPolice'] ?? 3", "'perHundred'] ?? 4"],
  'packages/acceptance/src/judges/limits.ts': ['num(value, 3)', 'round('],
  'packages/acceptance/src/judges/mesh.ts': ["'leastSent'] ?? 30", '95 % between', "'maxHops'] ?? 4"],
  // 31 and 99 are codes of +CSQ; the others stand in the row of their check.
  'packages/acceptance/src/judges/path.ts': ["'roundTripLimitS'] ?? 90", 'raw > 31', "'reportLimitS'] ?? 200", "'panelLimitS'] ?? 200", "'stationLimitS'] ?? 3600", 'limitSource:', 'round('],
  'packages/acceptance/src/judges/sound.ts': ["'referenceDistanceM'] ?? 3.05", 'level - 110', '110 dB(A) ceiling'],
  'packages/acceptance/src/judges/supply.ts': ["'lowPct'] ?? 15", 'round(', 'awg-'],
  'packages/acceptance/src/judges/wireless.ts': ["'goodMarginDb'] ?? 20", "'stepDb'] ?? 6", 'num(-trend'],
  'packages/acceptance/src/power/ageing.ts': ['273.15', '8.617333262e-5', '0.5 ** ', 'endOfLifeShare = 0.8', 'atC: 25'], // constants of nature; in the formulas
  'packages/acceptance/src/power/standby.ts': ['<= 24 ? 1.25', '1.25 * (load', 'grade: 1 | 2 | 3 | 4'], // in the formulas
  'packages/acceptance/src/power/voltage.ts': ['at25VPerCell', '? 0.95 : 0.9', 'nominalV = 12'], // in the formulas and in the row of its check
  'packages/acceptance/src/power/cable.ts': ["'7-strand':", 'solid: 19.63', 'ohmPerKm', '0.3048', 'temperatureC = 75', 'temperatureC = 20', '?? 75', '?? 20'], // printed tables and the temperature of each
  'packages/acceptance/src/path-categories.ts': ['[minute, hour, day]', 'provenance:'], // a printed table
  'packages/acceptance/src/radio/drop.ts': ['round(dropDb, 3)'],
  // Codes of open standards to dBm; the margin's defaults stand in the row of its check.
  'packages/acceptance/src/radio/level.ts': ['code', '2 * (rssiDbm + 100)', 'goodDb = 20', '0.2, 0.4, 0.8'],
  'packages/acceptance/src/radio/path-loss.ts': ['20 * Math.log10', '{ n: ', 'n: 28', 'around900Mhz', 'floors900Mhz'], // in the formulas
  'packages/acceptance/src/reading-trends.ts': ['(95 % between'],
  'packages/acceptance/src/sound/level.ts': ['20 * Math.log10', 'aboveAmbientDb:', '10 * Math.log10', '8 / 2 **', 'baseDb ='], // in the formulas, printed, and hours at a level (nowhere a limit)
  'packages/acceptance/src/statistics/line.ts': ['confidence = 0.95', '/ 18', '0.5 + confidence', 'k * (k - 1)'], // in the formulas
  'packages/acceptance/src/statistics/trend.ts': ['daysPerYear = 365.25'],
  'packages/signals/src/comb.ts': ['MOST_TEETH', '24 * hourMs', 'leanMin:'], // what is drawn
  'packages/signals/src/gaps.ts': ['hours < 48', '/ 24', '* 24'], // words
  'packages/signals/src/open-troubles.ts': ['\\d{3}'],
  'packages/signals/src/receiver.ts': ['<= 64', '{3,16}', "padStart(4", 'slice(0, 8)', '/ 60_000'], // memory and shapes of text
};
/** Files whose numbers are arithmetic, codes or shapes of text. */
const ALL_EXPLAINED = /statistics\/(normal|wilson)|local-date|signals\/src\/(crc|sealed-keys|contact-id|assignment|decode-event|event-words|history|decoded|dc09|zip|zone-lists)\.ts/;
const TOO_PLAIN = new Set(['0', '1', '2', '10', '12', '60', '100', '1000', '1_000', '3_600_000']);

describe('every number that decides something stands in the table of limits', () => {
  it('what the table says stands in the code, word for word', () => {
    expect(rows.length).toBeGreaterThan(60);
    expect(rows.filter(({ file, code }) => !read(file).includes(code)).map(({ file, code }) => `${file}: ${code}`)).toEqual([]);
    expect(rows.filter((one) => ![one.what, one.limit, one.then, one.source].every((text) => text.trim().length > 2))).toEqual([]);
    expect(new Set(rows.map(({ file, code }) => `${file} ${code}`)).size).toBe(rows.length);
  });

  it('and each is told where it comes from', () => {
    const known = /company rule|common practice|from memory|\((SEEN-P|SEEN-R|SEEN-U|MEM)\b/;
    expect(rows.filter((one) => !known.test(one.source)).map((one) => `${one.what}: ${one.source}`)).toEqual([]);
  });

  it('no number of the engines is without its place', () => {
    const files = ['packages/acceptance/src', 'packages/signals/src'].flatMap(sourcesUnder).filter((file) => !ALL_EXPLAINED.test(file) && !/spec-builders/.test(file));
    const without = files.flatMap((file) => {
      const placed = [...rows.filter((one) => one.file === file).map((one) => one.code), ...(NO_LIMIT[file] ?? [])];
      return read(file).split('\n').flatMap((line, at) => {
        if (/^\s*(\*|\/\/|\/\*\*|import|export \*)/.test(line)) return [];
        const numbers = [...line.replace(/\/\*\*.*?\*\//g, '').replace(/'[^']*'/g, '').matchAll(/(?<![\w.])\d[\d_]*(?:\.\d+)?/g)].map((match) => match[0]).filter((text) => !TOO_PLAIN.has(text));
        return numbers.length === 0 || placed.some((text) => line.includes(text)) ? [] : [`${file}:${at + 1}: ${line.trim()}`];
      });
    });
    expect(without).toEqual([]);
  });

  it('no number of the work on site that says its source is without its row', () => {
    const files = ['packages/operations/src/visits', 'packages/operations/src/deficiencies', 'packages/operations/src/signals'].flatMap(sourcesUnder)
      .concat(['installed', 'recording', 'deficiency-book', 'battery-parts', 'station-history'].map((name) => `packages/operations/src/${name}.ts`), ['deficiencies', 'hold-cover', 'entry-codes', 'visits'].map((name) => `packages/contracts/src/${name}.ts`), ['apps/web/src/shared/holds.ts', 'apps/web/src/shared/contact.ts']);
    // Bounds of memory and of lists, and the window in which a retest or an arrival is looked for: nothing is judged by them.
    const bounds = /^(MOST|MOST_PROBLEMS|MOST_CLOSED|EVENTS_MOST|BEFORE_MS|AFTER_MS|MARKS_S|LIFE_MS|LAG_MS|CHANGES_BACK_DAYS|LEAST_MIN|(DAY|HOUR|MINUTE)_MS)$/;
    const without = files.flatMap((file) => [...read(file).matchAll(/^(?:export )?const ([A-Z][A-Z_\d]*)\b[^=\n]*= ([^;]*\d[^;]*);/gm)].flatMap(([, name, value]) => (/['"`]/.test(value!.replace(/'non-critical'/, '')) || bounds.test(name!) || rows.some((one) => one.file === file && one.code.includes(value!.trim())) || rows.some((one) => one.file === file && one.code.startsWith(`${name} `)) ? [] : [`${file}: ${name} = ${value}`])));
    expect(without).toEqual([]);
  });
});
