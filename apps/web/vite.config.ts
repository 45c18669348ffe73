import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';
import { installable } from './build/installable.js';
import { routesWithoutSchemas } from './build/routes-without-schemas.js';
import { shortKeys } from './build/short-keys.js';

export default defineConfig({
  plugins: [shortKeys(), routesWithoutSchemas(), react(), installable()],
  // Our packages are read by their source, so the web build needs no build of theirs first.
  resolve: { conditions: ['source', 'module', 'browser', 'development|production'] },
  // A catalogue is read as data, not evaluated as a written object.
  json: { stringify: true },
  build: {
    outDir: 'dist',
    target: 'es2022',
    // The page's content policy allows nothing but its own origin: no fonts or pictures as data: addresses.
    assetsInlineLimit: 0,
  },
});
