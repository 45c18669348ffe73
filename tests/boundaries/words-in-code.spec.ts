import { readFileSync, readdirSync } from 'node:fs';
import { join, relative } from 'node:path';
import { describe, expect, it } from 'vitest';
import { wordsInCode } from './words-in-code.js';

const WEB = join(import.meta.dirname, '..', '..', 'apps', 'web', 'src');

// Each with its reason; one that no longer allows anything fails below.
const ALLOWED: Readonly<Record<string, string>> = {
  // Faults of a developer: they stop the app while it is made, nobody works with it.
  'in its address': 'client.ts, a route without a value',
  needs: 'client.ts, a route without a value',
  'useMe is used outside the sign-in gate': 'session.tsx',
  answered: 'service-worker.ts: nobody sees it, it has no page',
  'no camera': 'scan-screen.tsx: caught there, the screen says its own words',
  // Words of the machine.
  'application/json, application/problem+json': 'kinds of content',
  'figure look': 'classes',
  'nobody yet': 'part of a key in storage',
  and: 'read-back.ts: what joins a list in an English sentence',
  or: 'read-back.ts: the same',
  place: 'part of a lane of the outbox',
  'one more': 'counted in a forecast, never shown',
};

const files = readdirSync(WEB, { recursive: true, withFileTypes: true })
  .filter((one) => one.isFile() && /\.tsx?$/.test(one.name) && !/\.(spec|d)\.tsx?$/.test(one.name))
  .map((one) => join(one.parentPath, one.name));

const planted = (source: string) => wordsInCode('planted.tsx', source).map((one) => one.text);

describe('no words for people stand in code', () => {
  it('every text of the screens is in the catalogue', () => {
    expect(files.length).toBeGreaterThan(250);
    const found = files.flatMap((file) => wordsInCode(file, readFileSync(file, 'utf8')).map((one) => ({ ...one, place: `${relative(WEB, file)}:${one.line}` })));
    expect(found.filter((one) => !(one.text in ALLOWED)).map((one) => `${one.place} ${one.text}`)).toEqual([]);
    expect(Object.keys(ALLOWED).filter((text) => !found.some((one) => one.text === text)), 'allowed and not there').toEqual([]);
  });

  it.each([
    ['JSX text', 'const a = <p>Late</p>;', 'Late'],
    ['a choice inside JSX', "const a = <p>{late ? 'late' : null}</p>;", 'late'],
    ['a template inside JSX', 'const a = <p>{`${n} visits`}</p>;', 'visits'],
    ['a label', 'const a = <Field label="Why" name="why" />;', 'Why'],
    ['what a screen reader says', "const a = <svg aria-label={open ? 'open' : ''} />;", 'open'],
    ['a column', "const columns = [{ key: 'when', title: 'When' }];", 'When'],
    ['a toast', "toast('Kept');", 'Kept'],
    ['a fault', "throw new Error('no answer');", 'no answer'],
    ['a word given to a phrase', "phrase('visits.kept', { words: done ? 'done' : '' });", 'done'],
    ['what stands behind a number', 'const a = [`${n} a week`];', 'a week'],
    ['prose in a constant', "const words = 'the forecast gave no answer';", 'the forecast gave no answer'],
  ])('finds %s', (_, source, text) => {
    expect(planted(source)).toEqual([text]);
  });

  it('leaves what only the machine reads', () => {
    expect(planted("const a = <p className=\"note soft\" aria-hidden>{kind === 'late' ? phrase('visits.late') : `${n} min`}</p>;")).toEqual([]);
    expect(planted("const d = useMay('place visits'); const state: 'open' | 'closed' = 'open';")).toEqual([]);
  });
});
