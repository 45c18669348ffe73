/**
 * RFC 5545 section 3.3.10 read literally and slowly: every day from DTSTART on is looked at and judged by itself. It shares no
 * code with the engine or with any library, and decides where two of them disagree. Wall times only, no zones.
 */
interface Parts { [name: string]: string | undefined }

const DAYS = ['MO', 'TU', 'WE', 'TH', 'FR', 'SA', 'SU'];
const DAY = 86_400_000;
const utc = (y: number, m: number, d: number): number => Date.UTC(y, m - 1, d) / DAY;
const list = (text: string | undefined): number[] | null => (text === undefined ? null : text.split(',').map(Number));

interface Day { n: number; y: number; m: number; d: number; weekday: number; monthLength: number; yearDay: number; yearLength: number }

function dayOf(n: number): Day {
  const date = new Date(n * DAY);
  const y = date.getUTCFullYear();
  const m = date.getUTCMonth() + 1;
  return {
    n, y, m, d: date.getUTCDate(), weekday: (date.getUTCDay() + 6) % 7, monthLength: utc(y, m + 1, 1) - utc(y, m, 1),
    yearDay: n - utc(y, 1, 1) + 1, yearLength: utc(y + 1, 1, 1) - utc(y, 1, 1),
  };
}

/** First day of week 1: the week with at least four days in the year. */
function firstWeek(year: number, weekStart: number): number {
  const january1 = utc(year, 1, 1);
  const into = (dayOf(january1).weekday - weekStart + 7) % 7;
  return into <= 3 ? january1 - into : january1 - into + 7;
}

function inWeek(day: Day, wanted: number[], weekStart: number): boolean {
  const year = [day.y + 1, day.y, day.y - 1].find((y) => firstWeek(y, weekStart) <= day.n) as number;
  const start = firstWeek(year, weekStart);
  const weeks = (firstWeek(year + 1, weekStart) - start) / 7;
  const week = Math.floor((day.n - start) / 7) + 1;
  return wanted.some((w) => (w > 0 ? w : weeks + w + 1) === week);
}

function onDay(day: Day, wanted: string, byMonth: boolean): boolean {
  return wanted.split(',').some((piece) => {
    if (DAYS[day.weekday] !== piece.slice(-2)) return false;
    const nth = piece.length === 2 ? 0 : Number(piece.slice(0, -2));
    if (nth === 0) return true;
    const at = byMonth ? day.d : day.yearDay;
    const length = byMonth ? day.monthLength : day.yearLength;
    return nth > 0 ? Math.ceil(at / 7) === nth : Math.ceil((length - at + 1) / 7) === -nth;
  });
}

function isWanted(day: Day, parts: Parts, start: Day): boolean {
  const freq = parts.FREQ as string;
  const weekStart = DAYS.indexOf(parts.WKST ?? 'MO');
  const months = list(parts.BYMONTH);
  const monthDays = list(parts.BYMONTHDAY);
  const yearDays = list(parts.BYYEARDAY);
  const weeks = list(parts.BYWEEKNO);
  if (months && !months.includes(day.m)) return false;
  if (monthDays && !monthDays.some((d) => (d > 0 ? d : day.monthLength + d + 1) === day.d)) return false;
  if (yearDays && !yearDays.some((d) => (d > 0 ? d : day.yearLength + d + 1) === day.yearDay)) return false;
  if (weeks && !inWeek(day, weeks, weekStart)) return false;
  if (parts.BYDAY) return onDay(day, parts.BYDAY, freq === 'MONTHLY' || months !== null);
  if (monthDays || yearDays) return true;
  // What the rule leaves open is taken from DTSTART.
  if (weeks) return day.weekday === start.weekday;
  if (freq === 'YEARLY') return day.d === start.d && (months !== null || day.m === start.m);
  if (freq === 'MONTHLY') return day.d === start.d;
  return freq !== 'WEEKLY' || day.weekday === start.weekday;
}

function inStep(day: Day, parts: Parts, start: Day): boolean {
  const interval = Number(parts.INTERVAL ?? 1);
  const weekStart = DAYS.indexOf(parts.WKST ?? 'MO');
  const week = (d: Day): number => Math.floor((d.n - ((d.weekday - weekStart + 7) % 7) + 4) / 7);
  switch (parts.FREQ) {
    case 'YEARLY': return (day.y - start.y) % interval === 0;
    case 'MONTHLY': return ((day.y - start.y) * 12 + day.m - start.m) % interval === 0;
    case 'WEEKLY': return (week(day) - week(start)) % interval === 0;
    case 'DAILY': return (day.n - start.n) % interval === 0;
    default: return true;
  }
}

const period = (day: Day, parts: Parts): string => {
  const weekStart = DAYS.indexOf(parts.WKST ?? 'MO');
  if (parts.FREQ === 'YEARLY') return `${day.y}`;
  if (parts.FREQ === 'MONTHLY') return `${day.y}-${day.m}`;
  return `${parts.FREQ === 'WEEKLY' ? day.n - ((day.weekday - weekStart + 7) % 7) : day.n}`;
};

/** Minutes of a day on which the rule falls, seen from DTSTART (minutes since the epoch). */
function minutes(day: Day, parts: Parts, startMinute: number): number[] {
  const hours = list(parts.BYHOUR);
  const inHour = list(parts.BYMINUTE);
  const found: number[] = [];
  for (let at = 0; at < 1440; at += 1) {
    const hour = Math.floor(at / 60);
    const minute = at % 60;
    const startHour = Math.floor((startMinute % 1440) / 60);
    const sinceMinutes = day.n * 1440 + at - startMinute;
    const sinceHours = Math.floor((day.n * 1440 + at) / 60) - Math.floor(startMinute / 60);
    const interval = Number(parts.INTERVAL ?? 1);
    if (parts.FREQ === 'MINUTELY' && sinceMinutes % interval !== 0) continue;
    if (parts.FREQ === 'HOURLY' && sinceHours % interval !== 0) continue;
    if (hours ? !hours.includes(hour) : parts.FREQ !== 'HOURLY' && parts.FREQ !== 'MINUTELY' && hour !== startHour) continue;
    if (inHour ? !inHour.includes(minute) : parts.FREQ !== 'MINUTELY' && minute !== startMinute % 60) continue;
    found.push(at);
  }
  return found;
}

/** The first `limit` wall times of a rule within `years` of DTSTART. BYSETPOS only for FREQ of a day or more. */
export function referenceExpand(dtstart: string, rrule: string, limit: number, years: number): string[] {
  const parts: Parts = Object.fromEntries(rrule.split(';').map((piece) => piece.split('=') as [string, string]));
  const startMinute = Date.parse(`${dtstart}Z`) / 60_000;
  const start = dayOf(Math.floor(startMinute / 1440));
  const positions = list(parts.BYSETPOS);
  const found: number[] = [];
  // With BYSETPOS the whole period of DTSTART is needed, also the days before it.
  let from = start.n;
  while (positions && period(dayOf(from - 1), parts) === period(start, parts)) from -= 1;
  const isSubDaily = parts.FREQ === 'HOURLY' || parts.FREQ === 'MINUTELY';
  const everyDay = isSubDaily ? null : minutes(start, parts, startMinute);
  let set: number[] = [];
  let held = '';
  const settle = (): void => {
    const chosen = positions ? [...new Set(positions.map((p) => (p > 0 ? set[p - 1] : set.at(p))))].filter((x): x is number => x !== undefined).sort((a, b) => a - b) : set;
    found.push(...chosen.filter((minute) => minute >= startMinute));
    set = [];
  };
  for (let n = from; n <= start.n + years * 366 && found.length < limit; n += 1) {
    const day = dayOf(n);
    const name = positions ? period(day, parts) : '';
    if (name !== held) {
      settle();
      held = name;
    }
    if (inStep(day, parts, start) && isWanted(day, parts, start)) set.push(...(everyDay ?? minutes(day, parts, startMinute)).map((minute) => n * 1440 + minute));
    if (!positions) settle();
  }
  if (found.length < limit) settle();
  return found.slice(0, limit).map((minute) => new Date(minute * 60_000).toISOString().slice(0, 19));
}
