/**
 * Reads an English sentence back into its shape and what stands in it, and writes it in another language.
 * A shape is a sentence as the engines' sources write it, what is computed as {1}, {2}, ... A value may be a number, a day,
 * a list, or again a sentence or a piece of one. What no shape fits stays as it is: the words that were recorded.
 */
export type Sentences = Readonly<Record<string, string>>;

interface Writing { readonly number: (text: string) => string; readonly day: (day: string) => string }

interface Shape { readonly literals: readonly string[]; readonly order: readonly number[]; readonly text: string; readonly longest: string; readonly weight: number; readonly isWeak: boolean; readonly borders: number }

/** Shapes with fewer letters of their own fit too much: they count only where all that stands in them is known, or a day is among it. */
const WEAK_LETTERS = 9;
/** A beginning of so many letters of its own is no name. */
const BEGINNING_LETTERS = 4;
const NUMBER = /^[−-]?\d+(\.\d+)?$/;
const ISO_DAY = /^\d{4}-\d{2}-\d{2}$/;
const SHORT_DAY = /^(?:(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) )?(\d{1,2}) (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) (\d{4})$/;
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const JOINS = [', and ', '; ', ': ', ', ', ' and ', ' or '] as const;
const MEASURE = /^([−-]?\d+(?:\.\d+)?) (V|A|mA|Ah|W|h|min|s|d|dB|dBm|dB\(A\)|MHz|m|km|mm|mm²|%|%\/ft|°C)$/;
/** A number and a word that is known: '12 zones'. */
const COUNTED = /^([−-]?\d+(?:\.\d+)?) (\p{L}[^ ]*)$/u;
/** A label and its reading: 'Voltage under load 12.1 V'. */
const LABELLED = /^(.+) ([−-]?\d+(?:\.\d+)?(?: [^ ]+)?)$/u;
const MOST_KEPT = 5_000;
const MOST_WAYS = 400;
/** So many pieces are looked up for one text: what people typed at length is left as it is. */
const MOST_STEPS = 3_000;
/** Where one sentence ends and the next begins: a text has as many of them as its shape. */
const BORDERS = /[.!?] (?=[\p{Lu}\d'])/gu;

const bordersIn = (text: string): number => text.match(BORDERS)?.length ?? 0;
const lettersOf = (text: string): number => text.replaceAll(/[^\p{L}]/gu, '').length;

function shapeOf(key: string, text: string): Shape {
  const literals = key.split(/\{\d+\}/);
  const weight = lettersOf(literals.join(''));
  return {
    weight, borders: bordersIn(key.replaceAll(/\{\d+\}/g, 'X')), isWeak: weight < WEAK_LETTERS && !(lettersOf(literals[0]!) >= BEGINNING_LETTERS && /^\p{Lu}/u.test(literals[0]!)),
    literals, text, order: [...key.matchAll(/\{(\d+)\}/g)].map((match) => Number(match[1])),
    longest: literals.toSorted((a, b) => b.length - a.length)[0]!,
  };
}

/** Every way in which a text may be of a shape, the shortest values first; at most so many. */
function* waysOf({ literals }: Shape, text: string): Generator<readonly string[]> {
  const last = literals.at(-1)!;
  if (!text.startsWith(literals[0]!) || !text.endsWith(last) || text.length < literals[0]!.length + last.length) return;
  const end = text.length - last.length;
  let left = MOST_WAYS;
  function* from(at: number, nth: number, before: readonly string[]): Generator<readonly string[]> {
    if (nth === literals.length - 1) { yield [...before, text.slice(at, end)]; return; }
    const literal = literals[nth]!;
    for (let next = text.indexOf(literal, at); next !== -1 && next + literal.length <= end && left > 0; next = text.indexOf(literal, next + 1)) {
      left -= 1;
      yield* from(next + literal.length, nth + 1, [...before, text.slice(at, next)]);
    }
  }
  yield* from(literals[0]!.length, 1, []);
}

export function readerOf(tables: readonly Sentences[], { number, day }: Writing): (text: string) => string {
  const plain = new Map<string, string>();
  const lower = new Map<string, string>();
  const shapes: Shape[] = [];
  for (const table of tables) {
    for (const [key, text] of Object.entries(table)) {
      if (/\{\d+\}/.test(key)) shapes.push(shapeOf(key, text));
      else { plain.set(key, text); lower.set(key.toLowerCase(), text); }
    }
  }
  shapes.sort((a, b) => b.weight - a.weight);
  const kept = new Map<string, string>();
  const memo = new Map<string, string | null>();
  let steps = 0;

  /** The whole of a text in the other language, or null when it is not known. */
  function known(text: string): string | null {
    const before = memo.get(text);
    if (before !== undefined) return before;
    if (steps-- <= 0) return null;
    const found = find(text);
    if (memo.size >= MOST_KEPT) memo.clear();
    memo.set(text, found);
    return found;
  }

  function find(text: string): string | null {
    if (text.trim() === '' || /^[^\p{L}]*$/u.test(text) && !NUMBER.test(text) && !ISO_DAY.test(text)) return text;
    const whole = plain.get(text);
    if (whole !== undefined) return whole;
    if (NUMBER.test(text)) return number(text);
    if (ISO_DAY.test(text)) return day(text);
    const short = SHORT_DAY.exec(text);
    if (short) return day(`${short[3]}-${String(MONTHS.indexOf(short[2]!) + 1).padStart(2, '0')}-${short[1]!.padStart(2, '0')}`);
    const measure = MEASURE.exec(text);
    if (measure) return `${number(measure[1]!)} ${measure[2]}`;
    const counted = COUNTED.exec(text);
    const unit = counted ? plain.get(counted[2]!) : undefined;
    if (unit !== undefined) return `${number(counted![1]!)} ${unit}`;
    const lowered = text === text.toLowerCase() ? lower.get(text) : undefined;
    if (lowered !== undefined) return lowered.charAt(0).toLowerCase() + lowered.slice(1);
    const borders = bordersIn(text);
    for (const shape of shapes) {
      if (shape.borders !== borders || !text.includes(shape.longest)) continue;
      let first: readonly (readonly [string, string | null])[] | null = null;
      for (const values of waysOf(shape, text)) {
        if (values.includes(text)) continue;
        const pairs = values.map((value) => [value, known(value)] as const);
        if (pairs.every(([, written]) => written !== null)) return filled(shape, pairs);
        if (!shape.isWeak || values.some((value) => ISO_DAY.test(value) || SHORT_DAY.test(value))) first ??= pairs;
      }
      if (first !== null) return filled(shape, first);
    }
    if (borders > 0) return null;
    const [, label, reading] = LABELLED.exec(text) ?? [];
    const [labelWords, readingWords] = [label === undefined ? undefined : plain.get(label), reading === undefined ? null : known(reading)];
    if (labelWords !== undefined && readingWords !== null) return `${labelWords} ${readingWords}`;
    return listed(text);
  }

  /** Pieces in a row, each known; a piece may itself hold what joins them. */
  function listed(text: string): string | null {
    for (const join of JOINS) {
      const parts = text.split(join);
      if (parts.length < 2) continue;
      const written: string[] = [];
      for (let at = 0; at < parts.length;) {
        let end = parts.length;
        let one: string | null = null;
        for (; end > at && one === null; end -= 1) if (end - at < parts.length) one = known(parts.slice(at, end).join(join));
        if (one === null) break;
        written.push(one);
        at = end + 1;
        if (at === parts.length) return written.join(plain.get(join) ?? join);
      }
    }
    return text.endsWith('.') ? withStop(known(text.slice(0, -1))) : null;
  }

  function sentences(text: string): string {
    const whole = known(text);
    if (whole !== null) return whole;
    // The longest beginning that is known, then what follows it.
    const ends = [...text.matchAll(BORDERS)].map((match) => match.index + 1).toReversed();
    for (const end of ends) {
      const beginning = known(text.slice(0, end));
      if (beginning !== null) return `${beginning} ${sentences(text.slice(end + 1))}`;
    }
    const first = ends.at(-1);
    return first === undefined ? text : `${text.slice(0, first)} ${sentences(text.slice(first + 1))}`;
  }

  return (text) => {
    const before = kept.get(text);
    if (before !== undefined) return before;
    steps = MOST_STEPS;
    const written = sentences(text);
    if (kept.size >= MOST_KEPT) kept.clear();
    kept.set(text, written);
    return written;
  };
}

const withStop = (text: string | null): string | null => (text === null ? null : `${text}.`);

function filled(shape: Shape, values: readonly (readonly [string, string | null])[]): string {
  return shape.text.replaceAll(/\{(\d+)\}/g, (_, n: string) => {
    const [value, written] = values[shape.order.indexOf(Number(n))]!;
    return written ?? value;
  });
}
