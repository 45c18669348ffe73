import { describe, expect, it } from 'vitest';
import { nodeTools } from './node-tools.js';

describe('ids of one process', () => {
  it('sort in the order in which they were made, also many in one millisecond, and are UUIDs of version 7', () => {
    const ids = Array.from({ length: 20_000 }, () => nodeTools.newId());
    expect(ids.toSorted()).toEqual(ids);
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids.every((id) => /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/.test(id))).toBe(true);
  });
});
