import type { Me } from '@bellround/contracts';

const KEY = 'bellround.me';

/** Who was last signed in on this device: a name and ids, nothing that opens anything. */
export function keptMe(): Me | null {
  try {
    return JSON.parse(localStorage.getItem(KEY) ?? 'null') as Me | null;
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
