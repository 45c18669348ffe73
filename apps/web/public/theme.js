// Before the first paint: the theme somebody chose on this device, if any.
try {
  const chosen = localStorage.getItem('bellround.theme');
  if (chosen === 'light' || chosen === 'dark') document.documentElement.dataset.theme = chosen;
} catch { /* storage is off: the system's theme stays */ }
