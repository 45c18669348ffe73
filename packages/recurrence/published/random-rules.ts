/** Seeded random recurrence rules for the agreement tests. Only combinations that RFC 5545 3.3.10 allows. */

/** Mulberry32. */
export function generator(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export interface RandomRule {
  readonly dtstart: string;
  readonly timeZone: string;
  readonly rrule: string;
  /** COUNT of the rule, or null; UNTIL as an instant, or null. */
  readonly count: number | null;
  readonly until: string | null;
  /** The rule without COUNT and UNTIL. */
  readonly bare: string;
}

const DAYS = ['MO', 'TU', 'WE', 'TH', 'FR', 'SA', 'SU'];
const ZONES = ['UTC', 'Europe/Madrid', 'America/New_York', 'Australia/Sydney', 'Asia/Kolkata', 'America/Sao_Paulo', 'Pacific/Auckland', 'Africa/Nairobi'];
const FREQS = ['YEARLY', 'YEARLY', 'MONTHLY', 'MONTHLY', 'WEEKLY', 'DAILY', 'HOURLY', 'MINUTELY'] as const;

const two = (n: number): string => String(n).padStart(2, '0');

export function randomRule(random: () => number): RandomRule {
  const whole = (low: number, high: number): number => low + Math.floor(random() * (high - low + 1));
  const pick = <T>(list: readonly T[]): T => list[whole(0, list.length - 1)] as T;
  const some = (make: () => number | string, most: number): string => [...new Set(Array.from({ length: whole(1, most) }, make))].join(',');
  const signed = (most: number): number => (random() < 0.3 ? -whole(1, most) : whole(1, most));
  const chance = (p: number): boolean => random() < p;
  const freq = pick(FREQS);
  const parts: string[] = [`FREQ=${freq}`];
  if (chance(0.5)) parts.push(`INTERVAL=${freq === 'MINUTELY' ? pick([5, 15, 20, 90, 720]) : freq === 'HOURLY' ? pick([2, 3, 6, 12]) : whole(2, 4)}`);
  const isSubDaily = freq === 'HOURLY' || freq === 'MINUTELY';
  let hasBy = false;
  const add = (text: string): void => { parts.push(text); hasBy = true; };
  if (freq === 'YEARLY') {
    const kind = whole(0, 6);
    if (kind === 1) add(`BYWEEKNO=${some(() => signed(53), 2)}`);
    if (kind === 2) add(`BYYEARDAY=${some(() => signed(366), 3)}`);
    if (kind === 3) add(`BYMONTHDAY=${some(() => signed(31), 2)}`);
    if (kind === 4 || kind === 5) add(`BYMONTH=${some(() => whole(1, 12), 3)}`);
    if (kind === 5) add(`BYMONTHDAY=${some(() => signed(31), 2)}`);
    if (kind === 1 ? chance(0.8) : kind !== 2 && chance(0.5)) add(`BYDAY=${some(() => (kind !== 1 && kind !== 3 && kind !== 5 && chance(0.5) ? `${signed(kind === 4 ? 4 : 20)}` : '') + pick(DAYS), 2)}`);
  } else {
    if (chance(isSubDaily ? 0.2 : 0.3)) add(`BYMONTH=${some(() => whole(1, 12), 3)}`);
    if ((freq === 'MONTHLY' || freq === 'DAILY') && chance(0.4)) add(`BYMONTHDAY=${some(() => signed(31), 3)}`);
    if (chance(isSubDaily ? 0.2 : 0.5)) add(`BYDAY=${some(() => (freq === 'MONTHLY' && chance(0.5) ? `${signed(4)}` : '') + pick(DAYS), 3)}`);
  }
  if (!isSubDaily && chance(0.2)) add(`BYHOUR=${some(() => whole(4, 22), 2)}`);
  if (freq !== 'MINUTELY' && chance(0.1)) add(`BYMINUTE=${some(() => whole(0, 59), 2)}`);
  if (hasBy && !isSubDaily && chance(0.15)) parts.push(`BYSETPOS=${signed(3)}`);
  if (chance(0.4)) parts.push(`WKST=${pick(DAYS)}`);
  const year = whole(1997, 2030);
  // 29 Feb and month ends come up on purpose; 04:00 to 22:59 is clear of every change of clocks in these zones.
  const day = chance(0.1) && year % 4 === 0 ? '02-29' : chance(0.15) ? pick(['01-31', '08-31', '12-31', '10-31']) : `${two(whole(1, 12))}-${two(whole(1, 28))}`;
  const dtstart = `${year}-${day}T${two(whole(4, 22))}:${two(whole(0, 59))}:00`;
  const bare = parts.join(';');
  const count = chance(0.35) ? whole(1, 12) : null;
  const until = count === null && chance(0.4) ? `${year + whole(0, 6)}${two(whole(1, 12))}${two(whole(1, 28))}T${two(whole(0, 23))}${two(whole(0, 59))}00Z` : null;
  return { dtstart, timeZone: pick(ZONES), bare, count, until, rrule: bare + (count === null ? '' : `;COUNT=${count}`) + (until === null ? '' : `;UNTIL=${until}`) };
}
