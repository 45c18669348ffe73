import type { FoundThing } from '@bellround/contracts';
import { useEffect, useId, useMemo, useRef, useState } from 'react';
import { useNavigate } from 'react-router';
import { Dialog } from '../../../shared/ui/index.js';
import { useFind } from '../api/find.js';
import './find-box.css';
import { phrase } from '../../../shared/language/index.js';

export interface Place { word: string; path: string }
interface Line { id: string; kind: string; title: string; detail: string; to: string }

const KIND_WORDS: Record<FoundThing['kind'], string> = { site: phrase('find.site'), account: phrase('find.account'), client: phrase('find.client'), technician: phrase('find.technician'), deficiency: phrase('find.deficiency') };

function addressOf(found: FoundThing): string {
  switch (found.kind) {
    case 'site': return `/sites/${found.id}`;
    case 'account': return `/sites/${found.siteId}`;
    case 'client': return `/standing?clientId=${found.id}`;
    case 'technician': return `/people?technician=${found.id}`;
    case 'deficiency': return `/deficiencies?state=all&deficiency=${found.id}&search=${encodeURIComponent(found.title)}`;
  }
}

/** Anything by typing: a site, an account, a client, a technician, a deficiency, or a screen. All by the keyboard, or by touch. */
export default function FindBox({ places, onClose }: { places: readonly Place[]; onClose: () => void }) {
  const [text, setText] = useState('');
  const asked = useSettled(text.trim());
  const found = useFind(asked);
  const go = useNavigate();
  const [at, setAt] = useState(0);
  const list = useId();
  const box = useRef<HTMLUListElement>(null);
  const input = useRef<HTMLInputElement>(null);
  const pointer = useRef<{ screenX: number; screenY: number } | null>(null);
  const lines = useMemo((): Line[] => {
    const word = text.trim().toLowerCase();
    const screens = places.filter((place) => word === '' || place.word.toLowerCase().includes(word)).map((place): Line => ({ id: place.path, kind: 'screen', title: place.word, detail: '', to: place.path }));
    const things = asked.length >= 2 && word.length >= 2 ? (found.data?.rows ?? []).map((row): Line => ({ id: `${row.kind} ${row.id}`, kind: KIND_WORDS[row.kind], title: row.title, detail: row.detail, to: addressOf(row) })) : [];
    return [...things, ...screens];
  }, [text, asked, found.data, places]);
  const chosen = Math.min(at, Math.max(0, lines.length - 1));
  // The dialog gives the focus to its first button; typing is what this one is for.
  useEffect(() => { input.current?.focus(); }, []);
  useEffect(() => setAt(0), [asked]);
  // In braces: newer browsers answer a promise, which is no clean-up.
  useEffect(() => { box.current?.querySelector('[aria-selected="true"]')?.scrollIntoView({ block: 'nearest' }); }, [chosen]);
  const open = (line: Line | undefined) => { if (!line) return; onClose(); void go(line.to); };
  // A list that changes under a resting pointer is told to it as a move; only one that really moved chooses.
  const hasMoved = ({ screenX, screenY }: { screenX: number; screenY: number }): boolean => {
    const before = pointer.current;
    pointer.current = { screenX, screenY };
    return before !== null && (before.screenX !== screenX || before.screenY !== screenY);
  };
  const onKey = (event: React.KeyboardEvent) => {
    if (event.key === 'ArrowDown') setAt((chosen + 1) % Math.max(1, lines.length));
    else if (event.key === 'ArrowUp') setAt((chosen - 1 + lines.length) % Math.max(1, lines.length));
    else if (event.key === 'Enter') open(lines[chosen]);
    else return;
    event.preventDefault();
  };
  const waits = text.trim().length >= 2 && (asked !== text.trim() || found.isFetching);
  return (
    <Dialog title={phrase('find.find')} onClose={onClose}>
      <div className="box"><input ref={input} type="search" role="combobox" aria-label={phrase('find.find-a-site-account-client-technician-deficiency')} aria-expanded="true" aria-controls={list} aria-autocomplete="list" aria-activedescendant={lines.length > 0 ? `${list}-${chosen}` : undefined}
        value={text} placeholder={phrase('find.site-account-client-technician-deficiency')} autoComplete="off" spellCheck={false} maxLength={100} onChange={(event) => setText(event.target.value)} onKeyDown={onKey} /></div>
      <p className="small quiet" role="status">{found.error && asked.length >= 2 ? phrase('find.cannot-be-searched-now-message', { message: found.error.message }) : waits ? phrase('find.looking') : lines.length === 0 ? phrase('find.nothing-by-the-name-of-trim', { trim: text.trim() }) : phrase('find.lines-found-up-and-down-to-choose', { lines: lines.length })}</p>
      <ul className="found" role="listbox" id={list} aria-label={phrase('find.found')} ref={box}>
        {lines.map((line, i) => (
          <li key={line.id} id={`${list}-${i}`} role="option" aria-selected={i === chosen} onClick={() => open(line)} onMouseMove={(event) => { if (hasMoved(event)) setAt(i); }}>
            <span className="tag">{line.kind}</span><span><strong>{line.title}</strong>{line.detail ? <><br /><span className="small quiet">{line.detail}</span></> : null}</span>
          </li>
        ))}
      </ul>
    </Dialog>
  );
}

/** The text once nobody has typed for a moment. */
function useSettled(text: string): string {
  const [settled, setSettled] = useState(text);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(text), 150);
    return () => clearTimeout(timer);
  }, [text]);
  return settled;
}
