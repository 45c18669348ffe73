// `npm run bellround -- <act>`: the terminal door.
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { build, install, requireNode, ROOT } from './toolchain.mjs';

requireNode();
const main = join(ROOT, 'apps', 'cli', 'dist', 'main.js');
if (!existsSync(join(ROOT, 'node_modules', '.pnpm'))) await install();
if (!existsSync(main) || process.env.BELLROUND_REBUILD) await build();
const child = spawn(process.execPath, [main, ...process.argv.slice(2)], { stdio: 'inherit', cwd: process.env.INIT_CWD ?? process.cwd() });
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => child.kill(signal));
child.on('exit', (code, signal) => process.exit(code ?? (signal ? 1 : 0)));
