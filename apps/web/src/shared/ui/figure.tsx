import type { ReactNode } from 'react';
import { Link } from 'react-router';

/** A number with its name and its reason; with `to` it opens the list behind it. `look`: the one to look at first. */
export function Figure({ amount, name, why, to, look }: { amount: ReactNode; name: ReactNode; why?: ReactNode; to?: string; look?: boolean }) {
  const inner = <><span className="amount">{amount}</span><span>{name}</span>{why ? <span className="why">{why}</span> : null}</>;
  const className = look ? 'figure look' : 'figure';
  return to ? <Link className={className} to={to}>{inner}</Link> : <div className={className}>{inner}</div>;
}
