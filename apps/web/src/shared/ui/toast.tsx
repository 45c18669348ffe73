import { type ReactNode, createContext, use, useCallback, useMemo, useRef, useState } from 'react';
import { phrase } from '../language/index.js';

interface Toast { id: number; words: ReactNode; action?: { words: string; run: () => void } }
type Say = (words: ReactNode, action?: { words: string; run: () => void }) => void;

const ToastContext = createContext<Say>(() => undefined);

/** Says what has been done, for some seconds: `const say = useToast(); say('Published: 7 rounds', { words: 'Undo', run })`. */
export function useToast(): Say {
  return use(ToastContext);
}

export function ToastProvider({ children }: { children: ReactNode }) {
  const [toasts, setToasts] = useState<readonly Toast[]>([]);
  const last = useRef(0);
  const drop = useCallback((id: number) => setToasts((all) => all.filter((one) => one.id !== id)), []);
  const say = useMemo<Say>(() => (words, action) => {
    const id = ++last.current;
    setToasts((all) => [...all.slice(-2), { id, words, ...(action ? { action } : {}) }]);
    setTimeout(() => drop(id), action ? 12_000 : 6000);
  }, [drop]);
  return (
    <ToastContext value={say}>
      {children}
      <div className="toasts" role="status" aria-live="polite">
        {toasts.map((toast) => (
          <div key={toast.id} className="toast"><span>{toast.words}</span>
            {toast.action ? <button type="button" onClick={() => { toast.action!.run(); drop(toast.id); }}>{toast.action.words}</button> : null}
            <button type="button" onClick={() => drop(toast.id)}>{phrase('app.dismiss')}</button>
          </div>
        ))}
      </div>
    </ToastContext>
  );
}
