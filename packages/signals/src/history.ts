import { contactIdWords, type EventKind, letterWords } from './event-words.js';

/** Which column of a station's CSV holds what. Saved per station, shown to the user, corrected by them. */
export type HistoryMapping = {
  readonly account: string;
  readonly receivedAt: string;
  readonly time?: string;
  readonly code?: string;
  readonly zone?: string;
  readonly area?: string;
  readonly text?: string;
  readonly path?: string;
  readonly receiver?: string;
  readonly qualifier?: string;
  /** How date and time are written; 'iso' takes an offset or Z when it is there. */
  readonly dateForm: 'iso' | 'dd.mm.yyyy' | 'dd/mm/yyyy' | 'mm/dd/yyyy';
  /** IANA zone of times written without an offset. */
  readonly timeZone: string;
  /** Words in the qualifier column that mean a restore, lower case; ['r', 'restore', '3'] when absent. */
  readonly restoreWords?: readonly string[];
};

export type StationEvent = {
  /** The same row gives the same key in every import: importing a file again changes nothing. */
  readonly key: string;
  readonly account: string;
  readonly receivedAt: string;
  readonly code: string | null;
  readonly kind: EventKind;
  readonly qualifier: 'new' | 'restore';
  readonly zone: string | null;
  readonly area: string | null;
  readonly text: string | null;
  readonly path: string | null;
  readonly receiver: string | null;
  readonly periodic: boolean;
};

export type HistoryProblem = { readonly row: number; readonly field: string; readonly value: string; readonly words: string };
export type HistoryRows = { readonly events: readonly StationEvent[]; readonly problems: readonly HistoryProblem[]; readonly repeated: number };

/** Columns that a mapping names and a file lacks, in words; to be shown before any row is read. */
export function mappingProblems(mapping: HistoryMapping, columns: readonly string[]): string[] {
  const named = ['account', 'receivedAt', 'time', 'code', 'zone', 'area', 'text', 'path', 'receiver', 'qualifier'] as const;
  const missing = named.filter((field) => mapping[field] !== undefined && !columns.includes(mapping[field]!));
  const zone = isTimeZone(mapping.timeZone) ? [] : [`'${mapping.timeZone}' is no time zone; expected a name such as Europe/Madrid.`];
  return [...missing.map((field) => `The column '${mapping[field]}' for ${field} is not in the file; it has ${columns.join(', ')}.`), ...zone];
}

/**
 * [SIG-30] Station history rows to events. Good rows are kept, bad ones named by row (first data row is 1), field, value and what is
 * accepted. Rows that repeat within the file are counted, not kept twice. Order of the rows does not matter.
 */
export function mapHistory(rows: readonly Readonly<Record<string, string>>[], mapping: HistoryMapping): HistoryRows {
  const byKey = new Map<string, StationEvent>();
  const problems: HistoryProblem[] = [];
  let repeated = 0;
  rows.forEach((row, i) => {
    const mapped = mapRow(row, mapping, i + 1);
    if ('words' in mapped) problems.push(mapped);
    else if (byKey.has(mapped.key)) repeated += 1;
    else byKey.set(mapped.key, mapped);
  });
  const events = [...byKey.values()].toSorted((a, b) => (a.receivedAt < b.receivedAt ? -1 : a.receivedAt > b.receivedAt ? 1 : a.key < b.key ? -1 : 1));
  return { events, problems, repeated };
}

function mapRow(row: Readonly<Record<string, string>>, mapping: HistoryMapping, n: number): StationEvent | HistoryProblem {
  const cell = (column: string | undefined) => (column === undefined ? null : (row[column] ?? '').trim() || null);
  const account = cell(mapping.account);
  if (account === null) return { row: n, field: mapping.account, value: '', words: 'The account is empty.' };
  if (!/^[0-9A-Za-z-]{1,20}$/.test(account)) return { row: n, field: mapping.account, value: account, words: 'An account holds up to 20 letters, digits and dashes.' };
  const written = [cell(mapping.receivedAt), cell(mapping.time)].filter((part) => part !== null).join(' ');
  const receivedAt = instantOf(written, mapping);
  if (receivedAt === null) return { row: n, field: mapping.receivedAt, value: written, words: `Not a time we can place; expected ${mapping.dateForm} with hh:mm or hh:mm:ss that exists in ${mapping.timeZone}.` };
  const raw = cell(mapping.code)?.toUpperCase() ?? null;
  // 'E131' and 'R131' carry the qualifier in front of a Contact ID code.
  const lead = raw === null ? null : /^([ER136])(\d{3})$/.exec(raw);
  const code = lead === null ? raw : lead[2]!;
  const known = code === null ? undefined : (contactIdWords[code] ?? letterWords[code]);
  const word = cell(mapping.qualifier)?.toLowerCase() ?? null;
  const restored = lead?.[1] === 'R' || lead?.[1] === '3' || (code !== null && letterWords[code]?.restore === true) || (word !== null && (mapping.restoreWords ?? ['r', 'restore', '3']).includes(word));
  const fields = { zone: cell(mapping.zone), area: cell(mapping.area), text: cell(mapping.text), path: cell(mapping.path), receiver: cell(mapping.receiver) };
  const key = JSON.stringify([account, receivedAt, code, restored, fields.zone, fields.area, fields.text, fields.path, fields.receiver]);
  return { key, account, receivedAt, code, kind: known?.kind ?? 'unknown', qualifier: restored ? 'restore' : 'new', ...fields, periodic: known?.kind === 'periodic' };
}

const forms: Readonly<Record<HistoryMapping['dateForm'], RegExp>> = {
  iso: /^(?<y>\d{4})-(?<m>\d{2})-(?<d>\d{2})[T ](?<h>\d{2}):(?<i>\d{2})(?::(?<s>\d{2})(?:\.\d{1,6})?)?(?<z>Z|[+-]\d{2}:?\d{2})?$/,
  'dd.mm.yyyy': /^(?<d>\d{1,2})\.(?<m>\d{1,2})\.(?<y>\d{4})[ ,]+(?<h>\d{1,2}):(?<i>\d{2})(?::(?<s>\d{2}))?$/,
  'dd/mm/yyyy': /^(?<d>\d{1,2})\/(?<m>\d{1,2})\/(?<y>\d{4})[ ,]+(?<h>\d{1,2}):(?<i>\d{2})(?::(?<s>\d{2}))?$/,
  'mm/dd/yyyy': /^(?<m>\d{1,2})\/(?<d>\d{1,2})\/(?<y>\d{4})[ ,]+(?<h>\d{1,2}):(?<i>\d{2})(?::(?<s>\d{2}))?$/,
};

function instantOf(written: string, mapping: HistoryMapping): string | null {
  const parts = forms[mapping.dateForm].exec(written)?.groups;
  if (parts === undefined) return null;
  const [y, m, d, h, i, s] = [parts['y'], parts['m'], parts['d'], parts['h'], parts['i'], parts['s'] ?? '0'].map(Number) as [number, number, number, number, number, number];
  // A year that no station's clock says is a broken row, not a date.
  if (y < 1970 || y > 2199) return null;
  const wall = Date.UTC(y, m - 1, d, h, i, s);
  const back = new Date(wall);
  if (back.getUTCFullYear() !== y || back.getUTCMonth() !== m - 1 || back.getUTCDate() !== d || h > 23 || i > 59 || s > 59) return null;
  if (parts['z'] !== undefined) return new Date(wall - offsetMs(parts['z'])).toISOString();
  return instantOfWall(wall, mapping.timeZone);
}

function offsetMs(z: string): number {
  if (z === 'Z') return 0;
  const minutes = Number(z.slice(1, 3)) * 60 + Number(z.slice(-2));
  return (z.startsWith('-') ? -1 : 1) * minutes * 60_000;
}

/** The instant of a wall-clock time in a zone; null for one that the spring change skips. Of two in autumn, the first. */
function instantOfWall(wall: number, timeZone: string): string | null {
  if (!isTimeZone(timeZone)) return null;
  // The offset a day before and a day after are the only two that can hold at this wall time.
  const day = 86_400_000;
  const offsets = [zoneOffsetMs(wall - day, timeZone), zoneOffsetMs(wall + day, timeZone)];
  const instants = offsets.map((offset) => wall - offset).filter((instant) => instant + zoneOffsetMs(instant, timeZone) === wall);
  return instants.length === 0 ? null : new Date(Math.min(...instants)).toISOString();
}

const formats = new Map<string, Intl.DateTimeFormat>();

function zoneOffsetMs(instant: number, timeZone: string): number {
  let format = formats.get(timeZone);
  if (format === undefined) {
    format = new Intl.DateTimeFormat('en-US', { timeZone, hourCycle: 'h23', year: 'numeric', month: 'numeric', day: 'numeric', hour: 'numeric', minute: 'numeric', second: 'numeric' });
    formats.set(timeZone, format);
  }
  const at = Object.fromEntries(format.formatToParts(instant).map((part) => [part.type, Number(part.value)]));
  return Date.UTC(at['year']!, at['month']! - 1, at['day']!, at['hour']!, at['minute']!, at['second']!) - Math.floor(instant / 1000) * 1000;
}

function isTimeZone(name: string): boolean {
  try {
    return Boolean(new Intl.DateTimeFormat('en-US', { timeZone: name }));
  } catch {
    return false;
  }
}
