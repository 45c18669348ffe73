import { useSyncExternalStore } from 'react';

// The app on this device: the service worker that keeps it, the newer version that waits, and the offer to install.

/** Chromium's event; other browsers install from their own menu. */
interface InstallOffer extends Event { prompt(): Promise<unknown> }

interface InstallState { readonly hasNewer: boolean; readonly canInstall: boolean }

let state: InstallState = { hasNewer: false, canInstall: false };
let offer: InstallOffer | null = null;
let waiting: ServiceWorker | null = null;
const watchers = new Set<() => void>();

function become(changes: Partial<InstallState>): void {
  state = { ...state, ...changes };
  for (const watcher of watchers) watcher();
}

/** Registers the service worker and begins to look for newer versions. Call once. */
export function keepAppOnDevice(): void {
  window.addEventListener('beforeinstallprompt', (event) => {
    event.preventDefault();
    offer = event as InstallOffer;
    become({ canInstall: true });
  });
  window.addEventListener('appinstalled', () => { offer = null; become({ canInstall: false }); });
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return;
  let isUntouched = true;
  for (const kind of ['pointerdown', 'keydown', 'input']) window.addEventListener(kind, () => { isUntouched = false; }, { once: true, capture: true });
  let isServed = navigator.serviceWorker.controller !== null;
  // The very first service worker takes over a page that is of its own version; every later one brings another.
  navigator.serviceWorker.addEventListener('controllerchange', () => { if (isServed) location.reload(); isServed = true; });
  void navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' }).then((registration) => {
    const found = (worker: ServiceWorker) => {
      waiting = worker;
      // A page nobody has touched yet changes at once; any other asks, since a half-filled form would go.
      if (isUntouched) takeNewerVersion();
      else become({ hasNewer: true });
    };
    if (registration.waiting && registration.active) found(registration.waiting);
    registration.addEventListener('updatefound', () => {
      const worker = registration.installing;
      worker?.addEventListener('statechange', () => { if (worker.state === 'installed' && registration.active) found(worker); });
    });
    const look = () => { if (navigator.onLine) void registration.update().catch(() => undefined); };
    document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') look(); });
    setInterval(look, 30 * 60_000);
  }).catch((error: unknown) => console.warn('this device does not keep the app for offline use', error));
}

/** Changes to the newer version: the page loads again under it. */
export function takeNewerVersion(): void {
  waiting?.postMessage('take-over');
}

/** Asks the browser to put the app among the device's own. */
export async function installApp(): Promise<void> {
  await offer?.prompt();
  offer = null;
  become({ canInstall: false });
}

export function useInstall(): InstallState {
  return useSyncExternalStore((watcher) => { watchers.add(watcher); return () => watchers.delete(watcher); }, () => state);
}
