import type { FieldFault } from '@bellround/contracts';
import { type FormEvent, type ReactNode, createContext, use, useEffect, useRef } from 'react';
import { isProblem } from '../client.js';
import { ProblemBox } from './states.js';

const Faults = createContext<readonly FieldFault[]>([]);
const InForm = createContext(false);

/** Whether a field may say that it is optional: a filter beside a list is no form. */
export function useInForm(): boolean {
  return use(InForm);
}

/** What the server or the screen refused about the field at `path` ('hours.0.to'), or null. */
export function useFault(path: string | undefined): string | null {
  const faults = use(Faults);
  if (path === undefined) return null;
  const own = faults.filter((fault) => fault.path === path);
  return own.length === 0 ? null : own.map((fault) => fault.message).join('; ');
}

/** Hands refusals to the fields below by their path. */
export function FaultsOf({ problem, faults = [], children }: { problem?: unknown; faults?: readonly FieldFault[]; children: ReactNode }) {
  return <Faults value={isProblem(problem) ? [...problem.errors, ...faults] : faults}>{children}</Faults>;
}

/** A form whose refusal is shown on top, gets the focus, and is told at the fields it concerns. */
export function Form({ problem, faults, onSubmit, children, className = 'stack' }: {
  problem?: unknown; faults?: readonly FieldFault[]; onSubmit: () => void; children: ReactNode; className?: string;
}) {
  const box = useRef<HTMLDivElement>(null);
  const form = useRef<HTMLFormElement>(null);
  const isAsked = useRef(false);
  useEffect(() => { if (problem) box.current?.focus(); }, [problem]);
  useEffect(() => {
    // After a press that this screen itself refused, the first refused field is the next thing to do.
    if (isAsked.current) form.current?.querySelector<HTMLElement>('[aria-invalid]')?.focus();
    isAsked.current = false;
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    event.stopPropagation();
    isAsked.current = true;
    // What a field itself says cannot be read is never taken for nothing: the person sees to it first.
    const unread = [...(form.current?.querySelectorAll<HTMLInputElement>('input') ?? [])].find((field) => field.dataset['unread'] !== undefined || field.validity.badInput);
    if (unread === undefined) onSubmit();
    else {
      unread.closest('details')?.setAttribute('open', '');
      unread.blur();
      unread.focus();
    }
  };
  return (
    <form ref={form} className={className} onSubmit={submit} noValidate>
      {problem ? <div ref={box} tabIndex={-1}><ProblemBox problem={problem} /></div> : null}
      <InForm value><FaultsOf problem={problem} {...(faults ? { faults } : {})}>{children}</FaultsOf></InForm>
    </form>
  );
}
