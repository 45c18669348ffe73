import { type ReactNode, useEffect, useId } from 'react';
import { phrase } from '../language/index.js';

/** One leaf: title, a sentence that says what it is for, what can be done, then the content. Sets the window's title. */
export function Page({ title, lead, actions, slim, children }: { title: ReactNode; lead?: ReactNode; actions?: ReactNode; slim?: boolean; children: ReactNode }) {
  useEffect(() => {
    if (typeof title === 'string') document.title = `${title} · Bellround`;
  }, [title]);
  return (
    <div className={slim ? 'page slim' : 'page'}>
      <header className="page-head">
        <div><h1 tabIndex={-1}>{title}</h1>{lead ? <p className="lead">{lead}</p> : null}</div>
        {actions ? <div className="row">{actions}</div> : null}
      </header>
      {children}
    </div>
  );
}

export function Section({ title, actions, children, id }: { title: ReactNode; actions?: ReactNode; children: ReactNode; id?: string }) {
  const own = useId();
  return (
    <section className="section" aria-labelledby={own} {...(id ? { id } : {})}>
      <div className="section-head"><h2 id={own}>{title}</h2>{actions ? <div className="row">{actions}</div> : null}</div>
      {children}
    </section>
  );
}

/** Named values, one under the other. A null value is told, never left out. */
export function Facts({ of }: { of: readonly (readonly [name: string, value: ReactNode])[] }) {
  return <dl className="facts">{of.map(([name, value]) => <div key={name} style={{ display: 'contents' }}><dt>{name}</dt><dd>{value ?? <span className="quiet">{phrase('app.not-recorded')}</span>}</dd></div>)}</dl>;
}
