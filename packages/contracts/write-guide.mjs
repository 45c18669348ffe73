// Writes docs/guide/import.md from the declaration of the import's columns. Needs the package built.
import { mkdirSync, writeFileSync } from 'node:fs';
import { importGuide } from './dist/index.js';

mkdirSync(new URL('../../docs/guide/', import.meta.url), { recursive: true });
writeFileSync(new URL('../../docs/guide/import.md', import.meta.url), importGuide());
