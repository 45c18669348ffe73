import { useSyncExternalStore } from 'react';

export type Theme = 'system' | 'light' | 'dark';
const KEY = 'bellround.theme';
const watchers = new Set<() => void>();

function read(): Theme {
  const chosen = document.documentElement.dataset['theme'];
  return chosen === 'light' || chosen === 'dark' ? chosen : 'system';
}

/** Chooses light, dark, or what the system says; kept on this device (theme.js reads it before the first paint). */
export function setTheme(theme: Theme): void {
  if (theme === 'system') delete document.documentElement.dataset['theme'];
  else document.documentElement.dataset['theme'] = theme;
  try {
    if (theme === 'system') localStorage.removeItem(KEY);
    else localStorage.setItem(KEY, theme);
  } catch { /* storage is off: it holds for this page */ }
  for (const watcher of watchers) watcher();
}

export function useTheme(): Theme {
  return useSyncExternalStore((watcher) => { watchers.add(watcher); return () => watchers.delete(watcher); }, read);
}
