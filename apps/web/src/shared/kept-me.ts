import type { Me } from '@bellround/contracts';

const KEY = 'bellround.me';

let read: { text: string | null; me: Me | null } = { text: null, me: null };

/**
 * Who was last signed in on this device: a name and ids, nothing that opens anything. The same object as long as it says
 * the same, since what depends on it would otherwise begin anew at each look.
 */
export function keptMe(): Me | null {
  try {
    const text = globalThis.localStorage?.getItem(KEY) ?? null;
    if (text !== read.text) read = { text, me: JSON.parse(text ?? 'null') as Me | null };
    return read.me;
  } catch {
    return null;
  }
}

export function keepMe(me: Me | null): void {
  try {
    if (me) localStorage.setItem(KEY, JSON.stringify(me));
    else localStorage.removeItem(KEY);
  } catch { /* storage is off: a reload without a network will ask to sign in */ }
}
