import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Plugin } from 'vite';

/**
 * The keys of the catalogues are sentences for those who write screens. In the built app each is its number, base 36: the first
 * load is a fifth smaller for it. Only string literals that are keys of en.json are replaced.
 */
export function shortKeys(): Plugin {
  const path = join(import.meta.dirname, '..', 'src', 'shared', 'language', 'en.json');
  let short = new Map<string, string>();
  return {
    name: 'bellround-short-keys',
    apply: 'build',
    enforce: 'pre',
    buildStart() {
      short = new Map(Object.keys(JSON.parse(readFileSync(path, 'utf8')) as object).map((key, at) => [key, at.toString(36)]));
    },
    transform(code, id) {
      if (/\/shared\/language\/[a-z]{2}\.json$/.test(id)) {
        const entries = Object.entries(JSON.parse(code) as Record<string, unknown>);
        return { code: JSON.stringify(Object.fromEntries(entries.map(([key, value]) => [short.get(key) ?? key, value]))), map: null };
      }
      if (!/\/src\/.*\.tsx?$/.test(id)) return null;
      return { code: code.replaceAll(/'([a-z-]+\.[a-z0-9-]+)'/g, (whole, key: string) => (short.has(key) ? `'${short.get(key)}'` : whole)), map: null };
    },
  };
}
