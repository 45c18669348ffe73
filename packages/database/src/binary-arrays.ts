// Arrays as parameters in the database's own binary form (what array_recv reads): a head of five whole numbers, then the length and
// the value of each element, all with the high byte first. Lists of hundreds of thousands of numbers cost several times less
// to write and to read this way than as text.

const [INT4, UUID] = [23, 2950];
const HEAD = 5;

/** A whole number of 32 bits with its bytes turned round, for a machine that keeps the low byte first. */
const turned = (value: number): number => ((value & 0xff) << 24) | ((value & 0xff00) << 8) | ((value >>> 8) & 0xff00) | (value >>> 24);
const LOW_FIRST = new Uint8Array(new Int32Array([1]).buffer)[0] === 1;
const high = LOW_FIRST ? turned : (value: number): number => value;
const [LENGTH_4, LENGTH_16] = [high(4), high(16)];

function head(words: Int32Array, type: number, length: number): void {
  words[0] = high(length === 0 ? 0 : 1); // dimensions: an empty array has none
  words[1] = 0; // no nulls
  words[2] = high(type);
  words[3] = high(length);
  words[4] = high(1); // counted from 1
}
const bytesOf = (words: Int32Array, length: number): Buffer => Buffer.from(words.buffer, 0, 4 * (length === 0 ? 3 : words.length));

/** All numbers of some lists, end to end. */
export function intArray(lists: readonly (readonly number[])[]): Buffer {
  let length = 0;
  for (const list of lists) length += list.length;
  const words = new Int32Array(HEAD + 2 * length);
  head(words, INT4, length);
  let at = HEAD;
  for (const list of lists) {
    for (let n = 0; n < list.length; n += 1) {
      words[at] = LENGTH_4;
      words[at + 1] = high(list[n]!);
      at += 2;
    }
  }
  return bytesOf(words, length);
}

// '0' to '9' and 'a' to 'f' (or capitals) by their code.
const digitOf = (code: number): number => (code < 58 ? code - 48 : (code | 32) - 87);
const NO_DASH = -1;
/** 32 bits out of the eight digits of `id` from `at`; `dash`: the place of one that stands among them. */
function eight(id: string, at: number, dash: number): number {
  let value = 0;
  for (let n = at; n < at + (dash === NO_DASH ? 8 : 9); n += 1) if (n !== dash) value = (value << 4) | digitOf(id.charCodeAt(n));
  return value;
}

/** All ids of some lists, end to end; each written with dashes. */
export function uuidArray(lists: readonly (readonly string[])[]): Buffer {
  let length = 0;
  for (const list of lists) length += list.length;
  const words = new Int32Array(HEAD + 5 * length);
  head(words, UUID, length);
  let at = HEAD;
  for (const list of lists) {
    for (const id of list) {
      words[at] = LENGTH_16;
      words[at + 1] = high(eight(id, 0, NO_DASH));
      words[at + 2] = high(eight(id, 9, 13));
      words[at + 3] = high(eight(id, 19, 23));
      words[at + 4] = high(eight(id, 28, NO_DASH));
      at += 5;
    }
  }
  return bytesOf(words, length);
}
