import { describe, expect, it } from 'vitest';
import { dayShort, dayWords, momentWords } from './format.js';
import { distanceWords, mannersOf, readingWords, setManners, temperatureWords } from './locale.js';

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
