import { Suspense, lazy, useCallback, useEffect, useState } from 'react';
import { useMe } from '../shared/session.js';
import { Button } from '../shared/ui/index.js';
import { contentsOf } from './screens.js';
import { phrase } from '../shared/language/index.js';

// Fetched when first opened: it is no part of the first load.
const FindBox = lazy(() => import('../features/find/ui/find-box.js'));

/** Opens the finding box: Ctrl+K or Command+K anywhere, or a slash where nothing is being written. */
function useFindKey(open: () => void): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement | null;
      const writes = target !== null && (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName));
      const isShortcut = (event.ctrlKey || event.metaKey) && !event.shiftKey && !event.altKey && event.key.toLowerCase() === 'k';
      if (!isShortcut && !(event.key === '/' && !writes && !event.ctrlKey && !event.metaKey && !event.altKey)) return;
      if (document.querySelector('dialog[open]')) return;
      event.preventDefault();
      open();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [open]);
}

/** Finds anything from any screen: the button in the margin, Ctrl+K, or a slash. */
export function FindAnything() {
  const [isOpen, setOpen] = useState(false);
  const open = useCallback(() => setOpen(true), []);
  useFindKey(open);
  const { role } = useMe();
  const places = contentsOf(role).map((screen) => ({ word: screen.word!, path: screen.path }));
  return (
    <>
      <Button size="small" className="find-button" onClick={open} aria-keyshortcuts="Control+K Meta+K /">{phrase('app.find-anything')} <span className="small quiet" aria-hidden="true">{phrase('app.ctrl-k')}</span></Button>
      {isOpen ? <Suspense fallback={null}><FindBox places={places} onClose={() => setOpen(false)} /></Suspense> : null}
    </>
  );
}
