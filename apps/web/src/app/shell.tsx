import { type RefObject, useEffect, useRef, useState } from 'react';
import { NavLink, Outlet, ScrollRestoration, useLocation, Link } from 'react-router';
import { SignOutButton } from '../features/identity/ui/sign-out-button.js';
import { useMe } from '../shared/session.js';
import { type Theme, setTheme, useTheme } from '../shared/theme.js';
import { Button, Region } from '../shared/ui/index.js';
import { SettingUp } from './begin-line.js';
import { ConnectionLine } from './connection-line.js';
import { DayPackFiller } from './day-pack-filler.js';
import { FindAnything } from './find-anything.js';
import { HoldBanner } from './hold-banner.js';
import { NewerVersion } from './newer-version.js';
import { OutboxLine } from './outbox-line.js';
import { contentsOf } from './screens.js';
import { phrase } from '../shared/language/index.js';
import { ROLE } from '../shared/words.js';

/** The frame of every screen: the margin with its contents, what must be seen at all times, the leaf, and what this is not. */
export function Shell() {
  const { pathname } = useLocation();
  const [isOpen, setOpen] = useState(false);
  const main = useRef<HTMLElement>(null);
  useEffect(() => setOpen(false), [pathname]);
  useFocusOnArrival(main, pathname);
  return (
    <div className="shell">
      <a className="skip" href="#leaf">{phrase('app.skip-to-the-page')}</a>
      <Margin isOpen={isOpen} onToggle={() => setOpen(!isOpen)} />
      <div className="shell-page">
        <Region name="hold"><HoldBanner /></Region>
        <Region name="connection"><NewerVersion /><ConnectionLine /><DayPackFiller /></Region>
        <Region name="outbox"><OutboxLine /></Region>
        <Region name="begin"><SettingUp /></Region>
        <main id="leaf" ref={main} tabIndex={-1}><Outlet /></main>
        <Footer />
      </div>
      <ScrollRestoration />
    </div>
  );
}

/** A new page is announced and read from its top; the very first is left alone. */
function useFocusOnArrival(main: RefObject<HTMLElement | null>, pathname: string): void {
  const before = useRef(pathname);
  useEffect(() => {
    if (before.current === pathname) return;
    before.current = pathname;
    main.current?.focus({ preventScroll: true });
  }, [main, pathname]);
}

function Margin({ isOpen, onToggle }: { isOpen: boolean; onToggle: () => void }) {
  const me = useMe();
  return (
    <header className={isOpen ? 'margin open' : 'margin'}>
      <div className="margin-top">
        <Link className="bellmark" to="/"><BellMark /><span>{phrase('app.bellround')}</span></Link>
        <button type="button" className="button small contents-button" aria-expanded={isOpen} aria-controls="contents" onClick={onToggle}>{isOpen ? phrase('app.close-contents') : phrase('app.contents')}</button>
      </div>
      <div className="margin-find"><FindAnything /></div>
      <div className="margin-inner" id="contents">
        <nav aria-label={phrase('app.contents')}><ol className="contents">{contentsOf(me.role).map((screen) => <li key={screen.path}><NavLink to={screen.path}>{screen.word}</NavLink></li>)}</ol></nav>
        <Whoever />
      </div>
    </header>
  );
}

function Whoever() {
  const me = useMe();
  return (
    <div className="whoever">
      <div><strong>{me.name}</strong><br /><span className="quiet">{ROLE[me.role]} · {me.company.name}</span></div>
      <ThemeSwitch />
      <SignOutButton />
    </div>
  );
}

const NEXT: Record<Theme, { theme: Theme; words: string }> = {
  system: { theme: 'light', words: phrase('app.day-or-night-as-the-device') },
  light: { theme: 'dark', words: phrase('app.day-or-night-day') },
  dark: { theme: 'system', words: phrase('app.day-or-night-night') },
};

function ThemeSwitch() {
  const next = NEXT[useTheme()];
  return <Button size="small" kind="bare" onClick={() => setTheme(next.theme)} aria-label={phrase('app.words-press-to-change-to-slice', { words: next.words, slice: NEXT[next.theme].words.slice(14) })}>{next.words}</Button>;
}

function BellMark() {
  return <svg viewBox="0 0 32 32" width="28" height="28" aria-hidden="true" fill="none" stroke="currentColor" strokeWidth="2.500" strokeLinecap="round" strokeLinejoin="round"><path d="M4 25h24M7 25c1-2 2-4 2-8 0-6 3-10 7-10s7 4 7 10c0 4 1 6 2 8M16 3v4M16 17v12" /></svg>;
}

function Footer() {
  return (
    <footer className="shell-foot">
      <p>{phrase('app.local-codes-and-licensed-practice-prevail-a')} <Link to="/about">{phrase('app.what-this-is-and-is-not')}</Link></p>
    </footer>
  );
}
