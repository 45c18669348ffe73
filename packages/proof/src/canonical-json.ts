/**
 * Canonical JSON of RFC 8785 (JSON Canonicalization Scheme): one text for one value, so that a hash of the text is a hash of the value.
 * Rules CAN-1..7 in SPEC.md.
 */

/** Deepest nesting accepted; a cycle ends here with a named error instead of a stack overflow. */
export const MAX_DEPTH = 200;

/** What JSON can hold (RFC 8259); a name with `undefined` counts as left out. */
export type JsonValue = null | boolean | number | string | readonly JsonValue[] | { readonly [name: string]: JsonValue | undefined };

/** Thrown for a value that has no canonical JSON. `path` points at it, as in `$.readings[2].value`. */
export class NotCanonical extends Error {
  override readonly name = 'NotCanonical';
  constructor(
    readonly path: string,
    readonly why: string,
  ) {
    super(`${path}: ${why}`);
  }
}

// A surrogate without its partner has no UTF-8 form, so its hash would differ between programs.
const LONE_SURROGATE = /\p{Surrogate}/u;

/**
 * The RFC 8785 text of `value`: no white space, names sorted by UTF-16 code units, numbers and strings as ECMAScript writes them.
 * A name whose value is `undefined` is left out, as JSON itself does.
 * @throws NotCanonical for NaN, infinities, bigint, functions, symbols, `undefined` outside an object, lone surrogates, class instances
 *   (a Date must be made a string first) and nesting deeper than MAX_DEPTH.
 */
export function canonicalJson(value: unknown): string {
  return write(value, '$', 0);
}

function write(value: unknown, path: string, depth: number): string {
  switch (typeof value) {
    case 'string':
      return text(value, path);
    case 'number':
      if (!Number.isFinite(value)) throw new NotCanonical(path, `${value} is not a JSON number; finite numbers are accepted`);
      return JSON.stringify(value);
    case 'boolean':
      return value ? 'true' : 'false';
    case 'object':
      if (value === null) return 'null';
      if (depth >= MAX_DEPTH) throw new NotCanonical(path, `nested deeper than ${MAX_DEPTH} levels, or a cycle`);
      return Array.isArray(value) ? list(value, path, depth) : members(value, path, depth);
    default:
      throw new NotCanonical(path, `a ${typeof value} has no JSON form`);
  }
}

function text(value: string, path: string): string {
  if (LONE_SURROGATE.test(value)) throw new NotCanonical(path, 'text holds half of a surrogate pair, which has no UTF-8 form');
  return JSON.stringify(value);
}

function list(items: readonly unknown[], path: string, depth: number): string {
  const parts: string[] = [];
  // By index, not by map: map skips holes, and a hole must be refused like any undefined.
  for (let at = 0; at < items.length; at++) parts.push(write(items[at], `${path}[${at}]`, depth + 1));
  return `[${parts.join(',')}]`;
}

function members(value: object, path: string, depth: number): string {
  const prototype: unknown = Object.getPrototypeOf(value);
  // Another realm's plain object has another Object.prototype, itself without a prototype.
  if (prototype !== null && Object.getPrototypeOf(prototype) !== null) {
    throw new NotCanonical(path, `a ${value.constructor.name} is no plain object; convert it first`);
  }
  const fields = value as Record<string, unknown>;
  const parts: string[] = [];
  // The default order of sort() is by UTF-16 code units: exactly RFC 8785 section 3.2.3.
  for (const name of Object.keys(fields).sort()) {
    const field = fields[name];
    if (field === undefined) continue;
    parts.push(`${text(name, path)}:${write(field, `${path}.${name}`, depth + 1)}`);
  }
  return `{${parts.join(',')}}`;
}
