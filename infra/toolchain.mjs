// What every launcher needs before any dependency is installed: only Node and npm may be assumed.
import { spawn, spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('..', import.meta.url));
const PNPM = 'pnpm@12.4.2';
const quiet = { ...process.env, TURBO_TELEMETRY_DISABLED: '1', DO_NOT_TRACK: '1', NO_UPDATE_NOTIFIER: '1', CHECKPOINT_DISABLE: '1', PRISMA_HIDE_UPDATE_MESSAGE: '1' };

/** Ends with clear words when this Node is too old. */
export function requireNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major > 20 || (major === 20 && minor >= 11)) return;
  fail(`Node ${process.versions.node} is too old: Bellround needs Node 20.11 or newer. Install it, then run the same command again.`);
}

export function fail(words) {
  process.stderr.write(`\n${words}\n`);
  process.exit(1);
}

/** One line of progress with the seconds since the launcher began. */
const began = Date.now();
export function say(words) {
  process.stdout.write(`[${((Date.now() - began) / 1000).toFixed(1).padStart(5)} s] ${words}\n`);
}

/** Runs pinned pnpm through npx; resolves with the exit code and what was said. */
export function pnpm(args, { show = false } = {}) {
  return run('npx', ['-y', PNPM, ...args], { show });
}

export function run(command, args, { show = false, env = {}, cwd = ROOT } = {}) {
  return new Promise((resolve) => {
    const child = spawn(command, args, { cwd, env: { ...quiet, ...env }, stdio: ['ignore', 'pipe', 'pipe'], shell: process.platform === 'win32' });
    let said = '';
    const hear = (stream) => (chunk) => {
      said += chunk.toString();
      if (said.length > 4_000_000) said = said.slice(-2_000_000);
      if (show) stream.write(chunk);
    };
    child.stdout.on('data', hear(process.stdout));
    child.stderr.on('data', hear(process.stderr));
    child.on('error', (error) => resolve({ code: 127, said: `${said}${error.message}` }));
    child.on('close', (code) => resolve({ code: code ?? 1, said }));
  });
}

/** Installs what the lock file names; quick when all is there. */
export async function install() {
  const result = await pnpm(['install', '--frozen-lockfile', '--prefer-offline']);
  if (result.code !== 0) {
    fail(`The dependencies could not be installed:\n${result.said.slice(-3000)}\nIs a package registry reachable? Try again; nothing was left half-done.`);
  }
}

/** Builds what changed since the last build. */
export async function build() {
  const result = await pnpm(['exec', 'turbo', 'run', 'build', '--output-logs=errors-only', '--log-prefix=task']);
  if (result.code !== 0) fail(`The build failed:\n${result.said.slice(-6000)}`);
}

export function have(command) {
  return spawnSync(process.platform === 'win32' ? 'where' : 'which', [command], { stdio: 'ignore' }).status === 0;
}
