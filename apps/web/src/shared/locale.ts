import { useSyncExternalStore } from 'react';
import { phrase } from './language/index.js';
import { asRead, fixedWords, numberWords } from './numbers.js';

/** How dates and measures are written on this device. What is stored and sent never changes: metres, degrees Celsius, ISO days. */
export interface Manners { readonly dates: 'day-first' | 'month-first'; readonly units: 'metric' | 'imperial' }

const KEY = 'bellround.manners';
/** Countries by their ISO 3166 codes that write miles and degrees Fahrenheit in daily life (common practice). */
const IMPERIAL = new Set(['US', 'LR', 'MM']);
const MONTH_FIRST = new Set(['US', 'PH', 'PW', 'FM', 'MH']);

/** What a region is used to; without a region: day first and metric. */
export function mannersOf(language: string | undefined): Manners {
  const region = /^[a-z]{2,3}(?:-[A-Z][a-z]{3})?-([A-Z]{2})\b/.exec(language ?? '')?.[1] ?? '';
  return { dates: MONTH_FIRST.has(region) ? 'month-first' : 'day-first', units: IMPERIAL.has(region) ? 'imperial' : 'metric' };
}

const listeners = new Set<() => void>();
let current: Manners | null = null;

/** As chosen on this device, else as its language's region is used to. */
export function manners(): Manners {
  if (current !== null) return current;
  const own = mannersOf(typeof document === 'undefined' ? undefined : navigator.language);
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? '{}') as Partial<Manners>;
    current = { dates: kept.dates === 'day-first' || kept.dates === 'month-first' ? kept.dates : own.dates, units: kept.units === 'metric' || kept.units === 'imperial' ? kept.units : own.units };
  } catch {
    current = own;
  }
  return current;
}

export function setManners(next: Manners): void {
  current = next;
  try { localStorage.setItem(KEY, JSON.stringify(next)); } catch { /* storage is off: it holds until the page is closed */ }
  for (const tell of listeners) tell();
}

export function useManners(): Manners {
  return useSyncExternalStore((tell) => { listeners.add(tell); return () => { listeners.delete(tell); }; }, manners);
}

/** 23.4 -> '23.4 °C' or '74.1 °F'. */
export function temperatureWords(celsius: number, digits = 1, { units } = manners()): string {
  const value = units === 'imperial' ? celsius * 1.8 + 32 : celsius;
  return `${numberWords(value, digits)} ${units === 'imperial' ? '°F' : '°C'}`;
}

/** 1500 -> '1.5 km' or '0.93 mi'; short ones in metres or feet. */
export function distanceWords(metres: number, { units } = manners()): string {
  if (units === 'metric') return metres < 1000 ? `${Math.round(metres)} m` : `${fixedWords(metres / 1000, metres < 10_000 ? 1 : 0)} km`;
  const miles = metres / 1609.344;
  return miles < 0.1 ? `${Math.round(metres / 0.3048)} ft` : `${fixedWords(miles, miles < 1 ? 2 : miles < 10 ? 1 : 0)} mi`;
}

/** A reading as it is shown: temperatures and long distances in the manner of this device, everything else as it was read. */
export function readingWords(value: string, unit: string | null, now = manners()): string {
  const number = Number(value);
  if (unit === '°C' && value.trim() !== '' && Number.isFinite(number)) return now.units === 'metric' ? `${asRead(value)} °C` : phrase('app.shown-value-c-read', { shown: temperatureWords(number, 1, now), value: asRead(value) });
  return `${asRead(value)} ${unit ?? ''}`.trim();
}
