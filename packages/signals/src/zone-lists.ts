import { sameNumber } from './zip.js';

/** One zone as one of the three lists has it. */
export type ZoneRow = { readonly zone: string; readonly text: string | null };

export type ZoneListName = 'panel' | 'ours' | 'station';

/** The three lists of one account. Null: not read, which is unknown and never agreement. */
export type ZoneLists = Readonly<Record<ZoneListName, readonly ZoneRow[] | null>>;

/** What was seen on site, by zone: a device is there, or the list names one that nobody finds. */
export type SeenOnSite = Readonly<Record<string, 'found' | 'not-found'>>;

/** One small change that would make a list agree; to be approved by a person, never made by itself. */
export type ZoneCorrection = { readonly list: ZoneListName; readonly act: 'add' | 'rename' | 'remove'; readonly zone: string; readonly text: string | null; readonly words: string };

export type ZoneDifference = {
  readonly zone: string;
  /** 'listed-not-found' and 'found-not-listed' are answers of the person on site and come before what the lists say. */
  readonly kind: 'missing' | 'text' | 'listed-not-found' | 'found-not-listed' | 'twice';
  readonly texts: Readonly<Record<ZoneListName, string | null>>;
  /** The lists that stand against the others; more than one when no two agree. */
  readonly lists: readonly ZoneListName[];
  readonly words: string;
  /** Empty where the lists alone cannot say what is right: somebody must look. */
  readonly corrections: readonly ZoneCorrection[];
};

export type ZoneComparison = {
  readonly agree: number;
  readonly differences: readonly ZoneDifference[];
  /** Lists that were not read. */
  readonly unread: readonly ZoneListName[];
  readonly words: string;
};

const names: Readonly<Record<ZoneListName, string>> = { panel: 'the control unit', ours: 'our list', station: "the station's list" };
const order: readonly ZoneListName[] = ['panel', 'ours', 'station'];

/**
 * [SIG-50] Compares what the control unit, our list and the station's list say of each zone. Two that agree stand against the third,
 * which gets a correction; where all differ, or only two were read, nothing is proposed that the lists cannot know. Letter case,
 * blanks and leading zeros carry nothing. The order of the rows changes nothing.
 */
export function compareZones(lists: ZoneLists, seen: SeenOnSite = {}): ZoneComparison {
  const read = order.filter((name) => lists[name] !== null);
  const zones = [...new Set([...read.flatMap((name) => lists[name]!.map((row) => plainZone(row.zone))), ...Object.keys(seen).map(plainZone)])].toSorted(byZone);
  const seenOf = new Map(Object.entries(seen).map(([zone, state]) => [plainZone(zone), state]));
  const differences = zones.flatMap((zone) => [...twiceIn(zone, lists, read), ...differenceOf(zone, lists, read, seenOf.get(zone))]);
  const wrong = new Set(differences.map((d) => d.zone));
  const agree = zones.filter((zone) => !wrong.has(zone)).length;
  const unread = order.filter((name) => lists[name] === null);
  return { agree, differences, unread, words: summary(agree, differences, unread, read.length) };
}

function rowsOf(zone: string, list: readonly ZoneRow[]): ZoneRow[] {
  return list.filter((row) => sameNumber(row.zone, zone));
}

function textsOf(zone: string, lists: ZoneLists): Record<ZoneListName, string | null> {
  const text = (name: ZoneListName) => (lists[name] === null ? null : rowsOf(zone, lists[name]!)[0]?.text ?? null);
  return { panel: text('panel'), ours: text('ours'), station: text('station') };
}

function twiceIn(zone: string, lists: ZoneLists, read: readonly ZoneListName[]): ZoneDifference[] {
  const doubled = read.filter((name) => new Set(rowsOf(zone, lists[name]!).map((row) => plainText(row.text))).size > 1);
  return doubled.map((name) => ({
    zone, kind: 'twice', texts: textsOf(zone, lists), lists: [name], corrections: [],
    words: `Zone ${zone} stands more than once in ${names[name]}: ${rowsOf(zone, lists[name]!).map((row) => `'${row.text ?? ''}'`).join(', ')}. Keep one of them.`,
  }));
}

function differenceOf(zone: string, lists: ZoneLists, read: readonly ZoneListName[], seen: 'found' | 'not-found' | undefined): ZoneDifference[] {
  const texts = textsOf(zone, lists);
  const has = read.filter((name) => rowsOf(zone, lists[name]!).length > 0);
  const lacks = read.filter((name) => !has.includes(name));
  if (seen === 'not-found') {
    return [{
      zone, kind: 'listed-not-found', texts, lists: has, words: `Zone ${zone} ${quoted(best(has, texts))} is listed in ${and(has)}, and no device of it was found on site.`,
      corrections: has.map((list) => ({ list, act: 'remove', zone, text: texts[list], words: `Take zone ${zone} out of ${names[list]}, if it is gone for good.` })),
    }];
  }
  if (seen === 'found' && (has.length === 0 || !has.includes('ours'))) {
    const text = best(has, texts);
    return [{
      zone, kind: 'found-not-listed', texts, lists: lacks, words: `Zone ${zone} was found on site and is not in ${and(lacks.length === 0 ? ['ours'] : lacks)}.`,
      corrections: lacks.map((list) => ({ list, act: 'add', zone, text, words: `Put zone ${zone} ${quoted(text)} into ${names[list]}.` })),
    }];
  }
  if (lacks.length > 0) return [missing(zone, texts, has, lacks)];
  return textDifference(zone, texts, has);
}

function missing(zone: string, texts: ZoneDifference['texts'], has: readonly ZoneListName[], lacks: readonly ZoneListName[]): ZoneDifference {
  const text = best(has, texts);
  const words = `Zone ${zone} ${quoted(text)} is in ${and(has)} and not in ${and(lacks)}.`;
  // What the control unit reports is what happens; a zone that only a paper has may be gone.
  const isOnPanel = has.includes('panel');
  const corrections: ZoneCorrection[] = isOnPanel || has.length > lacks.length
    ? lacks.filter((list) => list !== 'panel').map((list) => ({ list, act: 'add', zone, text, words: `Put zone ${zone} ${quoted(text)} into ${names[list]}.` }))
    : [];
  const look = corrections.length === 0 ? ' Look whether the device is still there.' : '';
  return { zone, kind: 'missing', texts, lists: lacks, words: words + look, corrections };
}

function textDifference(zone: string, texts: ZoneDifference['texts'], has: readonly ZoneListName[]): ZoneDifference[] {
  const named = has.filter((name) => plainText(texts[name]) !== '');
  const groups = new Map<string, ZoneListName[]>();
  for (const name of named) groups.set(plainText(texts[name]), [...(groups.get(plainText(texts[name])) ?? []), name]);
  const blank = has.filter((name) => !named.includes(name));
  if (groups.size === 0 || (groups.size === 1 && blank.length === 0)) return [];
  const said = has.map((name) => `${names[name]} ${quoted(texts[name])}`).join(', ');
  const majority = [...groups.values()].find((group) => group.length >= 2) ?? (groups.size === 1 ? named : null);
  if (majority === null) return [{ zone, kind: 'text', texts, lists: has, words: `Zone ${zone}: ${said}. No two agree: look what the device guards.`, corrections: [] }];
  const right = texts[majority[0]!];
  const wrong = has.filter((name) => !majority.includes(name));
  return [{
    zone, kind: 'text', texts, lists: wrong, words: `Zone ${zone}: ${said}.`,
    corrections: wrong.map((list) => ({ list, act: 'rename', zone, text: right, words: `Let ${names[list]} read ${quoted(right)} for zone ${zone}.` })),
  }];
}

function summary(agree: number, differences: readonly ZoneDifference[], unread: readonly ZoneListName[], read: number): string {
  if (read < 2) return `Only ${read === 0 ? 'no list' : 'one list'} was read: can't tell.`;
  const told = unread.length === 0 ? '' : ` ${and(unread)} was not read: can't tell of it.`;
  const count = new Set(differences.map((d) => d.zone)).size;
  return `${agree} zones agree, ${count === 0 ? 'none differs' : `${count} ${count === 1 ? 'differs' : 'differ'}`}.${told}`;
}

function best(has: readonly ZoneListName[], texts: ZoneDifference['texts']): string | null {
  return has.map((name) => texts[name]).find((text) => plainText(text) !== '') ?? null;
}

function and(lists: readonly ZoneListName[]): string {
  return lists.map((name) => names[name]).join(' and ');
}

function quoted(text: string | null): string {
  return plainText(text) === '' ? '(no text)' : `'${text!.trim()}'`;
}

function plainText(text: string | null): string {
  return (text ?? '').trim().replace(/\s+/g, ' ').toLowerCase();
}

function plainZone(zone: string): string {
  return zone.trim().toUpperCase().replace(/^0+(?=.)/, '');
}

function byZone(a: string, b: string): number {
  const [x, y] = [Number(a), Number(b)];
  return Number.isNaN(x) || Number.isNaN(y) || x === y ? (a < b ? -1 : a > b ? 1 : 0) : x - y;
}
