import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import { transformWithOxc, type Plugin } from 'vite';
import { drawIcon } from './draw-icon.js';

const ICONS = [
  { file: 'icons/bell-192.png', sidePx: 192, share: 0.78 },
  { file: 'icons/bell-512.png', sidePx: 512, share: 0.78 },
  { file: 'icons/bell-maskable-512.png', sidePx: 512, share: 0.62 },
  { file: 'icons/bell-180.png', sidePx: 180, share: 0.7 },
] as const;

/** Kept on the phone besides what the build names: files of public/ that the page asks for before any script. */
const PUBLIC_FILES = ['bell.svg', 'theme.js', 'manifest.webmanifest'];
const WORTH_SQUEEZING = /\.(?:js|css|html|svg|json|webmanifest)$/;

/**
 * Makes the built app installable: draws its icons, writes the service worker with the list of files that a day without a
 * network needs, and puts a compressed copy beside each text file for the API to hand out.
 */
export function installable(): Plugin {
  let worker = '';
  let publicDir = '';
  return {
    name: 'bellround-installable',
    apply: 'build',
    configResolved: (config) => { publicDir = config.publicDir; },
    async buildStart() {
      const path = join(import.meta.dirname, '..', 'src', 'app', 'service-worker.ts');
      this.addWatchFile(path);
      worker = (await transformWithOxc(readFileSync(path, 'utf8'), path)).code.replace(/^export \{\};?\s*$/m, '');
    },
    generateBundle: {
      order: 'post',
      handler(_, bundle) {
        for (const { file, sidePx, share } of ICONS) this.emitFile({ type: 'asset', fileName: file, source: drawIcon(sidePx, share) });
        // Every browser that can keep an app takes woff2.
        const built = Object.values(bundle).filter((one) => one.fileName !== 'index.html' && !/\.(?:woff|map)$/.test(one.fileName));
        const page = bundle['index.html'];
        if (!page || page.type !== 'asset') this.error('the page index.html is not in the build: the service worker cannot keep it');
        const digest = createHash('sha256').update(page.source);
        for (const one of built) digest.update(one.fileName).update(one.type === 'chunk' ? one.code : one.source);
        for (const file of PUBLIC_FILES) digest.update(readFileSync(join(publicDir, file)));
        const files = ['/', ...PUBLIC_FILES.map((file) => `/${file}`), ...built.map((one) => `/${one.fileName}`), '/icons/bell-192.png'];
        this.emitFile({ type: 'asset', fileName: 'sw.js', source: `const KEPT_FILES = ${JSON.stringify([...new Set(files)])};\nconst KEPT_VERSION = '${digest.digest('hex').slice(0, 12)}';\n${worker}` });
      },
    },
    writeBundle: { order: 'post', handler: ({ dir }) => squeeze(dir!) },
  };
}

function squeeze(dir: string): void {
  for (const entry of readdirSync(dir, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || !WORTH_SQUEEZING.test(entry.name)) continue;
    const path = join(entry.parentPath, entry.name);
    const text = readFileSync(path);
    if (text.length < 1024) continue;
    writeFileSync(`${path}.br`, brotliCompressSync(text, { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } }));
    writeFileSync(`${path}.gz`, gzipSync(text, { level: 9 }));
  }
}
