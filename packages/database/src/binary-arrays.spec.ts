import { afterAll, beforeAll, expect, it } from 'vitest';
import { intArray, uuidArray } from './binary-arrays.js';
import { cloneDatabase, anId, type TestDatabase } from './testing/index.js';

let test: TestDatabase;
beforeAll(async () => { test = await cloneDatabase(); });
afterAll(() => test.drop());
const asked = (cast: string, value: Buffer) => test.database.inCompany({ companyId: anId(), actorId: null }, async (tx) => (await tx.sql<{ given: string; through: string }>(`select ($1::${cast})::text as given`, [value]))[0]!.given);

it('numbers arrive as they were: none, lists end to end, and the ends of their range', async () => {
  expect(await asked('int[]', intArray([]))).toBe('{}');
  expect(await asked('int[]', intArray([[], []]))).toBe('{}');
  expect(await asked('int[]', intArray([[1, -2], [], [2147483647, -2147483648, 0, 305419896]]))).toBe('{1,-2,2147483647,-2147483648,0,305419896}');
});

it('ids arrive as they were, in whatever letters', async () => {
  expect(await asked('uuid[]', uuidArray([]))).toBe('{}');
  expect(await asked('uuid[]', uuidArray([['01234567-89ab-cdef-0123-456789abcdef'], [], ['FEDCBA98-7654-3210-FEDC-BA9876543210', 'ffffffff-ffff-ffff-ffff-ffffffffffff']])))
    .toBe('{01234567-89ab-cdef-0123-456789abcdef,fedcba98-7654-3210-fedc-ba9876543210,ffffffff-ffff-ffff-ffff-ffffffffffff}');
});
