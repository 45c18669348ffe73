import { TimeZone } from './basics.js';
import { withoutApostrophe } from './csv.js';

/** The Postgres type in which a read cell is staged. */
export type StagedType = 'text' | 'integer' | 'double precision' | 'date' | 'time' | 'boolean' | 'jsonb' | 'text[]';
export interface Stage { readonly suffix: string; readonly type: StagedType }

/** Values in Postgres's own text form, one per stage; or what is wrong, in words. */
export type CellRead = { readonly values: readonly (string | null)[] } | { readonly problem: string };

/** How one column's text is read from a file and written back to one. */
export interface CellType {
  /** what is accepted, in words: shown beside a problem, in the sample and on the import page */
  readonly accepted: string;
  readonly stages: readonly Stage[];
  /** `today` is the company's local day */
  read(text: string, today: string): CellRead;
  /** the inverse of `read`, from the staged values; text that could run as a formula is neutralised by the writer */
  show(values: readonly unknown[]): string;
  /** true: the text is written by people and may begin with = + - @ */
  readonly free: boolean;
}

const one = (type: StagedType): readonly Stage[] => [{ suffix: '', type }];
const value = (text: string | null): CellRead => ({ values: [text] });
const plain = ([given]: readonly unknown[]): string => (given === null || given === undefined ? '' : String(given));

// Control characters (but tab and line ends) and the marks that turn reading direction: invisible, and able to hide what a text says.
const HIDDEN = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f\u202a-\u202e\u2066-\u2069]/;

/**
 * What every cell passes first: outer blanks and the exporter's apostrophe are taken away, text is composed (NFC).
 * A formula, hidden characters and bytes that were not UTF-8 are refused with the reason.
 */
export function cleanCell(raw: string): { text: string } | { problem: string } {
  const trimmed = raw.trim();
  if (trimmed.startsWith('=')) return { problem: 'begins with "=": a spreadsheet would run it as a formula. Put the value itself; if the text truly begins so, write an apostrophe before it' };
  if (trimmed.includes('\uFFFD')) return { problem: 'holds bytes that are not UTF-8. Save the file as "CSV UTF-8"' };
  if (HIDDEN.test(trimmed)) return { problem: 'holds hidden control or direction characters. Type the text again' };
  return { text: withoutApostrophe(trimmed).normalize('NFC') };
}

export function key(of: string): CellType {
  return { accepted: `the ${of}'s own key in your records, 1 to 80 characters, always the same for the same ${of}`, stages: one('text'), free: true, show: plain,
    read: (text) => (text.length <= 80 && !/[\r\n\t]/.test(text) ? value(text) : { problem: `has ${text.length} characters or a line break` }) };
}

export function words(longest: number, accepted = `text of at most ${longest} characters`): CellType {
  return { accepted, stages: one('text'), free: true, show: plain,
    read: (text) => (text.length <= longest ? value(text) : { problem: `has ${text.length} characters` }) };
}

export function choice(codes: readonly string[]): CellType {
  return { accepted: `one of: ${codes.join(', ')}`, stages: one('text'), free: false, show: plain,
    read: (text) => { const code = text.toLowerCase().replaceAll(' ', '-'); return codes.includes(code) ? value(code) : { problem: 'is not one of the known words' }; } };
}

export function yesNo(): CellType {
  return { accepted: 'yes or no', stages: one('boolean'), free: false, show: ([given]) => (given === null || given === undefined ? '' : given ? 'yes' : 'no'),
    read: (text) => (/^(yes|y|true|1)$/i.test(text) ? value('t') : /^(no|n|false|0)$/i.test(text) ? value('f') : { problem: 'is neither yes nor no' }) };
}

export interface Range { readonly min: number; readonly max: number; readonly unit: string; /** stored = written x factor, rounded to a whole number */ readonly factor?: number; readonly whole?: boolean }

export function amount({ min, max, unit, factor, whole }: Range): CellType {
  const range = `${whole ? 'a whole number' : 'a number with a decimal point'} from ${min} to ${max}${unit === '' ? '' : ` ${unit}`}`;
  return {
    accepted: range, stages: one(whole || factor ? 'integer' : 'double precision'), free: false,
    show: ([given]) => (given === null || given === undefined ? '' : String(factor ? Number(given) / factor : given)),
    read: (text) => {
      if (/^[+-]?\d+,\d+$/.test(text)) return { problem: 'has a decimal comma; write a point' };
      if (!(whole ? /^[+-]?\d+$/ : /^[+-]?\d+(\.\d+)?$/).test(text)) return { problem: `is not ${whole ? 'a whole number' : 'a number'}` };
      const number = Number(text);
      if (number < min && min === 0) return { problem: `is below zero: ${unit || 'it'} cannot be negative here` };
      if (number < min || number > max) return { problem: 'is outside what can be' };
      return value(String(factor ? Math.round(number * factor) : number));
    },
  };
}

/** Why `text` is no calendar day, or null. */
export function dayProblem(text: string): string | null {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (!parts) return 'is not written YYYY-MM-DD';
  const [year, month, day] = parts.slice(1).map(Number) as [number, number, number];
  if (year < 1900 || year > 2200) return 'is outside the years 1900 to 2200';
  const days = [31, year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0) ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  return month >= 1 && month <= 12 && day >= 1 && day <= days[month - 1]! ? null : 'is no day of the calendar';
}

export function day(options: { past?: boolean } = {}): CellType {
  const rule = options.past ? ', not after today' : '';
  return { accepted: `a real day written YYYY-MM-DD, such as 2024-03-01${rule}`, stages: one('date'), free: false, show: plain,
    read: (text, today) => {
      const problem = dayProblem(text) ?? (options.past && text > today ? `is after today (${today})` : null);
      return problem === null ? value(text) : { problem };
    } };
}

/** A date of make: a day, a month, a year (its first day is taken: the oldest it can be), or why there is none. */
export function madeOn(): CellType {
  return {
    accepted: 'YYYY-MM-DD, YYYY-MM or YYYY, not after today; or "unreadable" or "absent"; empty when nobody looked',
    stages: [{ suffix: '', type: 'date' }, { suffix: '_state', type: 'text' }], free: false,
    show: ([made, state]) => (state === 'known' ? String(made) : state === 'unreadable' || state === 'absent' ? state : ''),
    read: (text, today) => {
      const word = text.toLowerCase();
      if (word === 'unreadable' || word === 'absent') return { values: [null, word] };
      const full = /^\d{4}$/.test(text) ? `${text}-01-01` : /^\d{4}-\d{2}$/.test(text) ? `${text}-01` : text;
      const problem = dayProblem(full) ?? (full > today ? `lies in the future (today is ${today})` : null);
      return problem === null ? { values: [full, 'known'] } : { problem };
    },
  };
}

export function timeOfDay(): CellType {
  return { accepted: 'a time of day written HH:MM, such as 08:30', stages: one('time'), free: false, show: ([given]) => (given ? String(given).slice(0, 5) : ''),
    read: (text) => (/^([01]\d|2[0-3]):[0-5]\d$/.test(text) ? value(text) : { problem: 'is no time of day' }) };
}

export function timeZone(): CellType {
  const known = new Map<string, boolean>(); // asking the runtime costs more than reading the rest of the row
  return { accepted: 'an IANA time zone such as Europe/Madrid', stages: one('text'), free: false, show: plain,
    read: (text) => {
      if (!known.has(text) && known.size < 2000) known.set(text, /^[A-Za-z]/.test(text) && TimeZone.safeParse(text).success);
      return (known.get(text) ?? TimeZone.safeParse(text).success) ? value(text) : { problem: 'is no known time zone' };
    } };
}

export function email(): CellType {
  return { accepted: 'an e-mail address', stages: one('text'), free: true, show: plain,
    read: (text) => (/^[^\s@,;"<>]+@[^\s@,;"<>]+\.[^\s@,;"<>]+$/.test(text) && text.length <= 254 ? value(text.toLowerCase()) : { problem: 'is no e-mail address' }) };
}

/** Words divided by semicolons, each once, in order. */
export function list(of: string, codes?: readonly string[]): CellType {
  return {
    accepted: codes ? `any of ${codes.join(', ')}, divided by semicolons` : `${of}, divided by semicolons`, stages: one('text[]'), free: true,
    show: ([given]) => ((given as string[] | null) ?? []).join('; '),
    read: (text) => {
      const items = [...new Set(text.split(';').map((item) => item.trim()).filter((item) => item !== ''))].sort();
      const strange = items.find((item) => item.length > 80 || (codes && !codes.includes(item)));
      return strange === undefined ? value(pgArray(items)) : { problem: `names "${strange}"` };
    },
  };
}

/** A Postgres array literal. */
export function pgArray(items: readonly string[]): string {
  return `{${items.map((item) => `"${item.replaceAll('\\', '\\\\').replaceAll('"', '\\"')}"`).join(',')}}`;
}
