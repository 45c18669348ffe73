import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { ROOT } from '../../house.js';

type Entry = string | Readonly<Record<string, string>>;
const LANGUAGE = join(ROOT, 'apps', 'web', 'src', 'shared', 'language');
const read = (...path: string[]) => JSON.parse(readFileSync(join(LANGUAGE, ...path), 'utf8')) as Record<string, Entry>;
const forms = (entry: Entry): string[] => (typeof entry === 'string' ? [entry] : Object.values(entry));
const isWords = (text: string) => /[a-z]{3}/i.test(text);
const VALUE = /\{\w+\}/g;

/** What only an English screen says: whole phrases, and phrases around values; what is written alike in both languages is neither. */
function englishOnly(): { exact: Set<string>; shapes: RegExp[] } {
  const [en, es] = [read('en.json'), read('es.json')];
  const spanish = new Set(Object.values(es).flatMap(forms).map((text) => text.trim()));
  const english = Object.entries(en).flatMap(([key, entry]) => (JSON.stringify(entry) === JSON.stringify(es[key]) ? [] : forms(entry)));
  // What the server and the engines say, by the tables that read it back.
  for (const file of readdirSync(join(LANGUAGE, 'es')).filter((one) => one.endsWith('.json'))) {
    for (const [text, translated] of Object.entries(read('es', file))) {
      if (text !== translated) english.push(text);
      forms(translated).forEach((one) => spanish.add(one.trim()));
    }
  }
  const only = english.map((text) => text.trim()).filter((text) => isWords(text) && !spanish.has(text));
  const shaped = only.filter((text) => /\{\w+\}/.test(text) && (text.replace(VALUE, ' ').match(/[a-z]{3,}/gi) ?? []).length >= 2);
  return {
    exact: new Set(only.filter((text) => !/\{\w+\}/.test(text))),
    shapes: shaped.map((text) => new RegExp(`^${text.split(VALUE).map((part) => part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')).join('.*?')}$`, 's')),
  };
}

let known: ReturnType<typeof englishOnly> | null = null;

/** Texts and names in sight that an English screen says and a Spanish one does not. `data`: what people wrote, which has no language. */
export async function englishIn(page: Page, data: readonly string[] = []): Promise<string[]> {
  known ??= englishOnly();
  const { exact, shapes } = known;
  const texts = await page.evaluate(() => {
    const found: string[] = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      if (node.parentElement?.checkVisibility() && !/^(SCRIPT|STYLE)$/.test(node.parentElement.tagName)) found.push(node.textContent ?? '');
    }
    for (const one of document.querySelectorAll('[aria-label],[placeholder],[title]')) for (const name of ['aria-label', 'placeholder', 'title']) found.push(one.getAttribute(name) ?? '');
    return found;
  });
  const seen = [...new Set(texts.map((text) => text.trim()))].filter((text) => isWords(text) && !data.includes(text));
  return seen.filter((text) => exact.has(text) || shapes.some((shape) => shape.test(text)));
}
