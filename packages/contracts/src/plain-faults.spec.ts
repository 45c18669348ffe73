import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { Instant } from './basics.js';
import { fieldFaults, textFaults } from './problems.js';
import { speakPlainly } from './plain-faults.js';

beforeAll(speakPlainly);
afterAll(() => { z.config({ customError: undefined }); });

const said = (schema: z.ZodType, value: unknown) => fieldFaults(schema.safeParse(value).error!)[0]!.message;

describe('refusals of fields', () => {
  it.each([
    [z.string().min(1), '', 'must not be empty'],
    [z.string().min(12), 'short', 'must have at least 12 characters'],
    [z.string().max(3), 'long', 'must have at most 3 characters'],
    [z.string(), undefined, 'is missing'],
    [z.string(), 4, 'must be text'],
    [z.int(), 'x', 'must be a whole number'],
    [z.int().min(1), 1.5, 'must be a whole number'],
    [z.coerce.number().int(), 'x', 'must be a whole number'],
    [z.number(), 'x', 'must be a number'],
    [z.number().min(0), -1, 'must be at least 0'],
    [z.number().positive(), 0, 'must be more than 0'],
    [z.array(z.string()).min(1), [], 'must hold at least one'],
    [z.enum(['a', 'b']), 'c', 'must be one of a, b'],
    [z.strictObject({}), { x: 1 }, 'has fields nobody knows: x'],
    [z.string().min(12, { error: 'own words' }), '', 'own words'],
  ])('case %#: says what is accepted', (schema, value, words) => {
    expect(said(schema, value)).toBe(words);
  });
});

describe('what no database keeps', () => {
  it.each<[unknown, string[]]>([
    [{ a: 'whole', b: ['🔔', { c: 'é' }] }, []], [{ a: 'x\0' }, ['a']], [{ list: ['ok', { words: '\ud83d' }] }, ['list.1.words']], [{ readings: { 'a\0': 1 } }, ['readings']], ['\udd14', ['(whole)']],
  ])('%j is refused at %j', (input, paths) => expect(textFaults(input).map((fault) => fault.path)).toEqual(paths));
  it.each([['1970-01-01T00:00:00Z', true], ['2199-12-31T23:59:59Z', true], ['2200-01-01T00:00:00Z', false], ['1969-12-31T23:59:59Z', false], ['0000-01-01T00:00:00Z', false], ['9999-12-31T23:59:59Z', false]])('a moment %s: %s', (text, isGood) => {
    expect(Instant.safeParse(text).success).toBe(isGood);
  });
});
