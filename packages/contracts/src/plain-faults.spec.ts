import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { fieldFaults } from './problems.js';
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
