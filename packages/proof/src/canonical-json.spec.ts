import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson, NotCanonical } from './canonical-json.js';

describe('canonical JSON', () => {
  it.each([
    ['[CAN-4] NaN', { a: Number.NaN }, '$.a'],
    ['[CAN-4] bigint', [1n], '$[0]'],
    ['[CAN-4] undefined in a list', [[undefined]], '$[0][0]'],
    ['[CAN-4] a hole', [, 1], '$[0]'],
    ['[CAN-4] a function', { f: () => 1 }, '$.f'],
    ['[CAN-4] a date', { at: new Date(0) }, '$.at'],
    ['[CAN-4] a map', new Map(), '$'],
    ['[CAN-4] half a surrogate pair', { t: '\ud83d' }, '$.t'],
    ['[CAN-4] half a surrogate pair in a name', { '\ude00': 1 }, '$'],
  ])('%s is refused at its path', (_name, value, path) => {
    expect(() => canonicalJson(value)).toThrow(NotCanonical);
    try {
      canonicalJson(value);
    } catch (error) {
      expect((error as NotCanonical).path).toBe(path);
    }
  });

  it('[CAN-5] an undefined field is left out', () => expect(canonicalJson({ b: undefined, a: 1 })).toBe('{"a":1}'));

  it('[CAN-6] a cycle is refused by name', () => {
    const loop: unknown[] = [];
    loop.push(loop);
    expect(() => canonicalJson(loop)).toThrow(/deeper than 200 levels, or a cycle/);
  });

  it('[CAN-1] [CAN-7] one text for one value, whatever the order of its names', () => {
    let seen = 0;
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        seen += 1;
        let text: string;
        try {
          text = canonicalJson(value);
        } catch (error) {
          return error instanceof NotCanonical && error.why.includes('surrogate');
        }
        expect(canonicalJson(JSON.parse(text))).toBe(text);
        expect(canonicalJson(reversed(value))).toBe(text);
        return true;
      }),
      { numRuns: 500 },
    );
    expect(seen).toBeGreaterThanOrEqual(500);
  });
});

function reversed(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(reversed);
  if (typeof value !== 'object' || value === null) return value;
  const out: Record<string, unknown> = Object.create(null);
  for (const [name, field] of Object.entries(value).reverse()) out[name] = reversed(field);
  return out;
}
