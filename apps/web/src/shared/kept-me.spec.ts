import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { keepMe, keptMe } from './kept-me.js';

const me = (name: string) => ({ userId: 'u', name, email: 'a@b.example', role: 'technician' as const, technicianId: 't', company: { id: 'c', slug: 'c', name: 'C', timeZone: 'Europe/Madrid' }, sessionEndsAt: '2027-03-01T09:00:00Z' });
beforeEach(() => {
  const kept = new Map<string, string>();
  vi.stubGlobal('localStorage', { getItem: (key: string) => kept.get(key) ?? null, setItem: (key: string, value: string) => kept.set(key, value), removeItem: (key: string) => kept.delete(key) });
});
afterEach(() => { vi.unstubAllGlobals(); });

it('is the same object until it says something else: an app without a network would otherwise render without end', () => {
  expect(keptMe()).toBeNull();
  keepMe(me('Tess'));
  const first = keptMe();
  expect(first).toEqual(me('Tess'));
  expect(keptMe()).toBe(first);
  keepMe(me('Tess Amaru'));
  expect(keptMe()?.name).toBe('Tess Amaru');
  keepMe(null);
  expect(keptMe()).toBeNull();
});
