import { afterEach, describe, expect, it } from 'vitest';
import { dayShort, dayWords, listWords, momentWords, numberWords, shareWords } from './format.js';
import { speak } from './language/index.js';
import { distanceWords, mannersOf, readingWords, setManners, temperatureWords } from './locale.js';
import { parseNumber } from './parse-number.js';

describe('dates and measures by the region', () => {
  it.each([['en-US', 'month-first', 'imperial'], ['en-GB', 'day-first', 'metric'], ['es-ES', 'day-first', 'metric'], ['en-PH', 'month-first', 'metric'], ['zh-Hant-TW', 'day-first', 'metric'], ['en', 'day-first', 'metric'], [undefined, 'day-first', 'metric']] as const)('%s', (language, dates, units) => {
    expect(mannersOf(language)).toEqual({ dates, units });
  });

  it('the month is written in letters either way, so that no date can be misread', () => {
    setManners({ dates: 'month-first', units: 'imperial' });
    expect([dayWords('2026-03-04'), dayShort('2026-03-04'), momentWords('2026-03-04T08:05:00Z', 'UTC')]).toEqual(['Wed Mar 4 2026', 'Mar 4 2026', 'Wed Mar 4 2026 08:05']);
    setManners({ dates: 'day-first', units: 'metric' });
    expect([dayWords('2026-03-04'), dayShort('2026-03-04'), momentWords('2026-03-04T08:05:00Z', 'UTC')]).toEqual(['Wed 4 Mar 2026', '4 Mar 2026', 'Wed 4 Mar 2026 08:05']);
  });

  it('temperatures and distances carry their unit', () => {
    const [metric, imperial] = [{ dates: 'day-first', units: 'metric' }, { dates: 'day-first', units: 'imperial' }] as const;
    expect([temperatureWords(-40, 1, metric), temperatureWords(-40, 1, imperial), temperatureWords(25, 0, imperial)]).toEqual(['-40 °C', '-40 °F', '77 °F']);
    expect([distanceWords(850, metric), distanceWords(1500, metric), distanceWords(42_195, metric)]).toEqual(['850 m', '1.5 km', '42 km']);
    expect([distanceWords(100, imperial), distanceWords(1609.344, imperial), distanceWords(42_195, imperial)]).toEqual(['328 ft', '1.0 mi', '26 mi']);
  });

  it('a reading keeps what was read; only degrees are written in the manner of the device, beside what was read', () => {
    const imperial = { dates: 'day-first', units: 'imperial' } as const;
    expect([readingWords('23.4', '°C', imperial), readingWords('12.5', 'V', imperial), readingWords('yes', null, imperial), readingWords('not read', '°C', imperial)]).toEqual(['74.1 °F (23.4 °C read)', '12.5 V', 'yes', 'not read °C']);
  });
});

describe('in Spanish', () => {
  afterEach(() => speak('en'));

  it('days and months by their Spanish names, in the order of the device', async () => {
    await speak('es');
    setManners({ dates: 'month-first', units: 'metric' });
    expect([dayWords('2026-03-04'), momentWords('2026-03-04T08:05:00Z', 'UTC')]).toEqual(['mié mar 4 2026', 'mié mar 4 2026 08:05']);
    setManners({ dates: 'day-first', units: 'metric' });
    expect([dayWords('2026-01-14'), dayShort('2026-03-04')]).toEqual(['mié 14 ene 2026', '4 mar 2026']);
  });

  it('a decimal comma wherever a number is shown; what was read keeps its digits', async () => {
    await speak('es');
    const metric = { dates: 'day-first', units: 'metric' } as const;
    expect([numberWords(12_345.5), shareWords(384, 412), distanceWords(1500, metric), temperatureWords(23.4, 1, metric), readingWords('12.50', 'V', metric)]).toEqual(['12.345,5', '93,2 %', '1,5 km', '23,4 °C', '12,50 V']);
    expect(listWords(['fuego', 'humo', 'calor'], 'or')).toBe('fuego, humo o calor');
  });

  it.each([['12,5', 12.5, 12.5], ['12.5', 12.5, 12.5], ['0,125', 0.125, 0.125], ['−3,75', -3.75, -3.75], ['12.345', 12.345, undefined], ['12,345', undefined, 12.345], ['1.234,5', undefined, undefined], ['1,234.5', undefined, undefined], ['12,5,', undefined, undefined]] as const)('typed %s is %s in English and %s in Spanish: never a number somebody did not mean', async (typed, english, spanish) => {
    expect(parseNumber(typed)).toBe(english);
    await speak('es');
    expect(parseNumber(typed)).toBe(spanish);
  });
});
