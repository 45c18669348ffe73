import type { ButtonHTMLAttributes, ReactNode } from 'react';
import { Link, type LinkProps } from 'react-router';

interface Look {
  /** 'do' is the one thing to do next: at most one on a screen */
  kind?: 'do' | 'plain' | 'bare' | 'danger';
  size?: 'small' | 'big';
  fill?: boolean;
}

const classOf = ({ kind = 'plain', size, fill }: Look, more?: string) =>
  ['button', kind === 'plain' ? '' : kind, size ?? '', fill ? 'fill' : '', more ?? ''].filter(Boolean).join(' ');

type ButtonProps = ButtonHTMLAttributes<HTMLButtonElement> & Look & {
  /** shown instead, and no second press is taken, while the act runs */
  busy?: boolean | string;
  children: ReactNode;
};

/** A verb that says the result. While busy it takes no further press. */
export function Button({ kind, size, fill, busy = false, className, children, type = 'button', onClick, disabled, ...rest }: ButtonProps) {
  const isBusy = busy !== false && busy !== '';
  return (
    <button {...rest} type={type} className={classOf({ ...(kind ? { kind } : {}), ...(size ? { size } : {}), ...(fill ? { fill } : {}) }, className)}
      disabled={disabled} aria-disabled={isBusy || undefined} aria-busy={isBusy || undefined}
      onClick={(event) => { if (isBusy) event.preventDefault(); else onClick?.(event); }}>
      {typeof busy === 'string' && isBusy ? busy : children}
    </button>
  );
}

/** A link that looks like a button: it goes somewhere, it changes nothing. */
export function LinkButton({ kind, size, fill, className, ...rest }: LinkProps & Look) {
  return <Link {...rest} className={classOf({ ...(kind ? { kind } : {}), ...(size ? { size } : {}), ...(fill ? { fill } : {}) }, className)} />;
}
