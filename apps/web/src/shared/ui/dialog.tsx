import { type ReactNode, useEffect, useId, useRef } from 'react';
import { Button } from './button.js';
import { ProblemBox } from './states.js';
import { phrase } from '../language/index.js';

interface PanelProps { title: ReactNode; onClose: () => void; children: ReactNode; foot?: ReactNode }

function Panel({ kind, title, onClose, children, foot }: PanelProps & { kind: 'dialog' | 'drawer' }) {
  const box = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    const dialog = box.current!;
    if (!dialog.open) dialog.showModal();
    return () => dialog.close();
  }, []);
  return (
    <dialog ref={box} className={kind} aria-labelledby={id} onCancel={(event) => { event.preventDefault(); onClose(); }}
      onClick={(event) => { if (kind === 'drawer' && event.target === box.current) onClose(); }}>
      <div className="panel-head"><h2 id={id}>{title}</h2><Button kind="bare" onClick={onClose}>{phrase('app.close')}</Button></div>
      <div className="panel-body">{children}</div>
      {foot ? <div className="panel-foot">{foot}</div> : null}
    </dialog>
  );
}

/** A question or short form over the page. Render it only while open. Escape closes; the focus returns where it was. */
export function Dialog(props: PanelProps) {
  return <Panel kind="dialog" {...props} />;
}

/** The detail of a row beside its list. Render it only while open. */
export function Drawer(props: PanelProps) {
  return <Panel kind="drawer" {...props} />;
}

/** Asks once before something that cannot be taken back. `words` is the verb on the button: 'Close visit'. */
export function ConfirmDialog({ title, words, onConfirm, onClose, busy = false, problem, danger, children }: {
  title: string; words: string; onConfirm: () => void; onClose: () => void; busy?: boolean; problem?: unknown; danger?: boolean; children: ReactNode;
}) {
  return (
    <Dialog title={title} onClose={onClose} foot={<><Button onClick={onClose}>{phrase('app.leave-as-it-is')}</Button><Button kind={danger ? 'danger' : 'do'} busy={busy} onClick={onConfirm}>{words}</Button></>}>
      {problem ? <ProblemBox problem={problem} /> : null}
      <div>{children}</div>
    </Dialog>
  );
}
