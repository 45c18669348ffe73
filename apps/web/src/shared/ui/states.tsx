import type { UseQueryResult } from '@tanstack/react-query';
import { Component, type ErrorInfo, type ReactNode } from 'react';
import { isProblem } from '../client.js';
import { Button } from './button.js';
import { phrase } from '../language/index.js';

/** What is missing, and how to fill it. */
export function Empty({ title, children, action }: { title: string; children?: ReactNode; action?: ReactNode }) {
  return <div className="empty"><h3>{title}</h3>{children ? <div className="quiet">{children}</div> : null}{action}</div>;
}

export function Loading({ what = phrase('app.the-page') }: { what?: string }) {
  return <div className="loading" role="status">{phrase('app.fetching-what', { what })}</div>;
}

/** A refusal in full: what, why, which fields, what is accepted. `onRetry` where asking again may help. */
export function ProblemBox({ problem, onRetry, children }: { problem: unknown; onRetry?: () => void; children?: ReactNode }) {
  const known = isProblem(problem) ? problem : null;
  const isFull = problem instanceof Error && problem.name === 'OutboxFull';
  const title = known?.title ?? (isFull ? phrase('app.this-device-is-full') : phrase('app.something-went-wrong-on-this-screen'));
  const detail = known?.detail ?? (problem instanceof Error ? problem.message : String(problem));
  const faults = (known?.errors ?? []).filter((fault) => !detail.includes(fault.message));
  return (
    <div className="problem" role="alert">
      <strong>{title}</strong>
      <p>{detail}</p>
      {faults.length > 0 ? <ul>{faults.map((fault) => <li key={`${fault.path} ${fault.message}`}><b>{fault.path}</b>: {fault.message}</li>)}</ul> : null}
      {children}
      {onRetry ? <div><Button size="small" onClick={onRetry}>{phrase('app.try-again')}</Button></div> : null}
    </div>
  );
}

/** Loading, refusal or answer of a query; an answer already here stays while it is asked again, with a line when that failed. */
export function Loaded<T>({ query, what, children }: { query: UseQueryResult<T, Error>; what?: string; children: (data: T) => ReactNode }) {
  const retry = () => void query.refetch();
  if (query.data !== undefined) {
    return (
      <>
        {query.error ? <div className="note" role="status">{phrase('app.not-up-to-date-value', { value: isProblem(query.error) ? query.error.detail : query.error.message })} <Button size="small" kind="bare" onClick={retry}>{phrase('app.try-again')}</Button></div> : null}
        {children(query.data)}
      </>
    );
  }
  if (query.error) return <ProblemBox problem={query.error} onRetry={retry} />;
  return <Loading {...(what ? { what } : {})} />;
}

interface BoundaryState { error: Error | null }

/** A region that may fail alone: the rest of the screen goes on. */
export class Region extends Component<{ name: string; children: ReactNode }, BoundaryState> {
  override state: BoundaryState = { error: null };

  static getDerivedStateFromError(error: Error): BoundaryState {
    return { error };
  }

  override componentDidCatch(error: Error, info: ErrorInfo): void {
    console.error(`region '${this.props.name}' failed`, error, info.componentStack);
  }

  override render(): ReactNode {
    const { error } = this.state;
    if (!error) return this.props.children;
    const isOldPage = /dynamically imported module|Importing a module script failed|error loading/i.test(error.message);
    return isOldPage
      ? <ProblemBox problem={new Error(phrase('app.this-part-could-not-be-fetched'))} onRetry={() => location.reload()} />
      : <ProblemBox problem={error} onRetry={() => this.setState({ error: null })} />;
  }
}

/** Cautions stand before the step. */
export function CautionBox({ title = phrase('app.before-you-start'), children }: { title?: string; children: ReactNode }) {
  return (
    <div className="caution" role="note" aria-label={title}>
      <svg width="28" height="28" viewBox="0 0 28 28" aria-hidden="true" fill="none" stroke="currentColor" strokeWidth="2.5" strokeLinecap="round"><path d="M3 24h22M6 20c1.500-2 2-4 2-7 0-5 2.500-8 6-8s6 3 6 8c0 3 .5 5 2 7M14 2v3M14 10v6" /><circle cx="14" cy="19.500" r=".6" fill="currentColor" /></svg>
      <div className="stack"><strong>{title}</strong><div>{children}</div></div>
    </div>
  );
}

/** The share of something long that is done, with words. */
export function Progress({ share, children }: { share: number; children: ReactNode }) {
  const percent = Math.round(100 * Math.min(1, Math.max(0, share)));
  return (
    <div className="progress">
      <div>{children}</div>
      <div className="bar" role="progressbar" aria-valuemin={0} aria-valuemax={100} aria-valuenow={percent} aria-label={`${percent} %`}><div style={{ width: `${percent}%` }} /></div>
    </div>
  );
}
