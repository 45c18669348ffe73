import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { type Catalogue, LANGUAGES, phrase, speak } from './index.js';

const HERE = import.meta.dirname;
const read = (one: string) => JSON.parse(readFileSync(join(HERE, `${one}.json`), 'utf8')) as Catalogue;
const en = read('en');
const others = Object.keys(LANGUAGES).filter((one) => one !== 'en');
const forms = (entry: Catalogue[string]) => (typeof entry === 'string' ? [entry] : Object.values(entry));
const names = (text: string) => [...new Set(text.match(/\{\w+\}/g) ?? [])].toSorted();

function sources(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((one) => one.isFile() && /\.tsx?$/.test(one.name) && !/\.spec\.tsx?$/.test(one.name))
    .map((one) => readFileSync(join(one.parentPath, one.name), 'utf8'));
}

afterEach(() => speak('en'));

describe('the catalogues', () => {
  it('are sorted by key, so that two people who add a phrase seldom meet', () => {
    for (const one of ['en', ...others]) expect(Object.keys(read(one)), one).toEqual(Object.keys(read(one)).toSorted());
  });

  it('English holds no phrase that no screen says', () => {
    const said = new Set(sources(join(HERE, '..', '..')).flatMap((text) => [...text.matchAll(/phrase\('([^']+)'/g)].map((match) => match[1]!)));
    expect(said.size).toBeGreaterThan(2000);
    expect(Object.keys(en).filter((key) => !said.has(key))).toEqual([]);
  });

  it.each(others)('%s says everything that English says, with the same values', (one) => {
    const its = read(one);
    expect(Object.keys(its).filter((key) => !(key in en)), 'unknown to English').toEqual([]);
    expect(Object.keys(en).filter((key) => !(key in its)), 'lacking').toEqual([]);
    const wrong = Object.keys(en).filter((key) => {
      const ours = en[key]!;
      const theirs = its[key]!;
      if (typeof ours !== typeof theirs) return true;
      const wanted = names(forms(ours).join(' '));
      // A form may leave its number out ("one visit"), never name a value that is not given.
      return typeof theirs === 'string' ? JSON.stringify(names(theirs)) !== JSON.stringify(wanted) : names(forms(theirs).join(' ')).some((name) => !wanted.includes(name)) || !('other' in theirs);
    });
    expect(wrong).toEqual([]);
    for (const [key, entry] of Object.entries(its)) for (const form of forms(entry)) expect(form.trim(), key).not.toBe('');
  });

  it.each(others)('%s has every form of a count that its numbers need', (one) => {
    const needed = new Intl.PluralRules(one).resolvedOptions().pluralCategories.filter((form) => form === 'one' || form === 'other' || form === 'few');
    for (const [key, entry] of Object.entries(read(one))) if (typeof entry !== 'string') for (const form of needed) expect(Object.keys(entry), key).toContain(form);
  });
});

describe('phrase', () => {
  it('chooses the form by n and writes n with its thousands apart', () => {
    expect(phrase('count.visit', { n: 1 })).toBe('1 visit');
    expect(phrase('count.visit', { n: 12_345 })).toBe('12,345 visits');
  });

  it('writes a missing value as nothing and leaves an unknown name to be seen', () => {
    expect(phrase('auditing.name-it-name', { name: null })).toBe('Name it: ');
    expect(phrase('auditing.name-it-name', { other: 1 })).toBe('Name it: {name}');
  });

  it('speaks the language it was told to, and says so to screen readers', async () => {
    await speak('es');
    expect(phrase('app.language')).toBe('Idioma');
    await speak('en');
    expect(phrase('app.language')).toBe('Language');
  });
});
