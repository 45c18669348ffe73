// Generates the Prisma client. The schema engine binary is not needed for that (all WASM); naming a harmless
// executable keeps the tool from trying to download one on a machine that reaches only package registries.
import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const require = createRequire(import.meta.url);
const prisma = join(dirname(require.resolve('prisma/package.json')), 'build', 'index.js');
const run = spawnSync(process.execPath, [prisma, 'generate', '--schema', join(here, '../../prisma/schema.prisma')], {
  env: { ...process.env, PRISMA_SCHEMA_ENGINE_BINARY: process.execPath, PRISMA_HIDE_UPDATE_MESSAGE: '1', CHECKPOINT_DISABLE: '1' },
  encoding: 'utf8',
});
if (run.status !== 0) {
  process.stderr.write(`${run.stdout}\n${run.stderr}\n`);
  process.exit(run.status ?? 1);
}
