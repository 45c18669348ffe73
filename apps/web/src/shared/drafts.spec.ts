import { describe, expect, it } from 'vitest';
import { type DraftStore, draftsOf, dropDraft, keepDraft, readDraft } from './drafts.js';

function memory(): DraftStore & { full: boolean } {
  const kept = new Map<string, string>();
  return {
    full: false,
    getItem: (key) => kept.get(key) ?? null,
    setItem(key, value) { if (this.full) throw new Error('QuotaExceededError'); kept.set(key, value); },
    removeItem: (key) => void kept.delete(key),
    key: (at) => [...kept.keys()][at] ?? null,
    get length() { return kept.size; },
  };
}

describe('drafts', () => {
  it('come back as they were left, each under its person, visit and check', () => {
    const store = memory();
    keepDraft('a/1', 'v1', 'd1 battery', { readings: { volts: 12.6 } }, store);
    keepDraft('a/1', 'v1', 'd2 battery', { readings: { volts: 11 } }, store);
    keepDraft('a/2', 'v1', 'd1 battery', { readings: { volts: 9 } }, store);
    expect(readDraft('a/1', 'v1', 'd1 battery', store)).toEqual({ readings: { volts: 12.6 } });
    expect(draftsOf('a/1', 'v1', store)).toEqual(['d1 battery', 'd2 battery']);
    dropDraft('a/1', 'v1', 'd1 battery', store);
    expect(readDraft('a/1', 'v1', 'd1 battery', store)).toBeNull();
    expect(readDraft('a/2', 'v1', 'd1 battery', store)).toEqual({ readings: { volts: 9 } });
  });

  it('say when they cannot be kept, and take no harm from what cannot be read', () => {
    const store = memory();
    store.setItem('bellround.draft/a/1/v1/x', '{half');
    expect(readDraft('a/1', 'v1', 'x', store)).toBeNull();
    store.full = true;
    expect(keepDraft('a/1', 'v1', 'x', {}, store)).toBe(false);
    expect(keepDraft('a/1', 'v1', 'x', {}, null)).toBe(false);
  });
});
