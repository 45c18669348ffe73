import { type KeyboardEvent, useState } from 'react';

/** One chosen part of a picture, moved by the arrow keys, the pointer, Home and End; Escape lets go. */
export function useStepper(count: number) {
  const [chosen, setChosen] = useState<number | null>(null);
  const at = chosen === null || chosen >= count ? null : chosen;
  const onKeyDown = (event: KeyboardEvent) => {
    const last = count - 1;
    const next = event.key === 'ArrowRight' || event.key === 'ArrowDown' ? (at === null ? 0 : Math.min(last, at + 1))
      : event.key === 'ArrowLeft' || event.key === 'ArrowUp' ? (at === null ? last : Math.max(0, at - 1))
      : event.key === 'Home' ? 0 : event.key === 'End' ? last : event.key === 'Escape' ? null : undefined;
    if (next === undefined || count === 0) return;
    event.preventDefault();
    setChosen(next);
  };
  return { chosen: at, choose: setChosen, keys: { tabIndex: 0, onKeyDown, onBlur: () => setChosen(null) } };
}
