// Set before any script of the app: schemas check values without making code from text, which the page's content policy forbids.
globalThis.__zod_globalConfig = { jitless: true };

// Before the first paint: the theme somebody chose on this device, if any.
try {
  const chosen = localStorage.getItem('bellround.theme');
  if (chosen === 'light' || chosen === 'dark') document.documentElement.dataset.theme = chosen;
} catch { /* storage is off: the system's theme stays */ }
