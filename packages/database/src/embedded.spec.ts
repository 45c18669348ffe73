import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir, userInfo } from 'node:os';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { join } from 'node:path';
import pg from 'pg';
import { afterAll, expect, it } from 'vitest';
import { defaultDataRoot, startEmbeddedPostgres } from './embedded.js';

// The database of a start that was killed: the next start shuts it down and goes on with the same data.
const dataRoot = join(defaultDataRoot(), `testing-orphan-${process.pid}`);
mkdirSync(dataRoot, { recursive: true, mode: 0o755 });
afterAll(() => rmSync(dataRoot, { recursive: true, force: true }));

const options = { dataRoot, name: 'kept', port: 57_100 + (process.pid % 300), durable: false };
const BUILT = pathToFileURL(fileURLToPath(new URL('../dist/index.js', import.meta.url))).href;

/** Another process that starts the same database and stays. */
function otherStart(): Promise<ChildProcess> {
  const child = spawn(process.execPath, ['--input-type=module', '-e', `const { startEmbeddedPostgres } = await import(${JSON.stringify(BUILT)}); await startEmbeddedPostgres(${JSON.stringify(options)}); console.log('up'); setInterval(() => undefined, 1000);`], { stdio: ['ignore', 'pipe', 'inherit'] });
  return new Promise((resolve, reject) => {
    child.stdout?.once('data', () => resolve(child));
    child.once('exit', (code) => reject(new Error(`ended with ${code}`)));
  });
}

async function ask(url: string, text: string): Promise<unknown[]> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try { return (await client.query(text)).rows; } finally { await client.end(); }
}

it('a living start is not disturbed and named; a killed one is cleared away, its data kept', async () => {
  const first = await startEmbeddedPostgres(options);
  await ask(first.url, 'create table kept (n int)');
  await first.stop();
  const other = await otherStart();
  await expect(startEmbeddedPostgres(options)).rejects.toThrow(new RegExp(`process ${other.pid} is running on it`));
  const ended = new Promise((resolve) => other.once('exit', resolve));
  other.kill('SIGKILL');
  await ended;
  const said: string[] = [];
  const again = await startEmbeddedPostgres({ ...options, onNote: (line) => said.push(line) });
  try {
    expect(said.join()).toMatch(/left behind by a start that was killed/);
    expect(await ask(again.url, 'select count(*)::int as n from kept')).toEqual([{ n: 0 }]);
  } finally {
    await again.stop();
  }
}, 90_000);

it('a folder that holds something else is left as it is', async () => {
  const root = mkdtempSync(join(tmpdir(), 'bellround-strange-'));
  mkdirSync(join(root, 'kept'));
  writeFileSync(join(root, 'kept', 'letter.txt'), 'mine');
  try {
    await expect(startEmbeddedPostgres({ ...options, dataRoot: root })).rejects.toThrow(/holds something else/);
    expect(existsSync(join(root, 'kept', 'letter.txt'))).toBe(true);
  } finally {
    rmSync(root, { recursive: true, force: true });
  }
}, 60_000);

it.runIf(userInfo().uid === 0)('a folder that only root can enter is named with what to do', async () => {
  const root = mkdtempSync(join(tmpdir(), 'bellround-closed-')); // made with mode 700
  try {
    await expect(startEmbeddedPostgres({ ...options, dataRoot: root })).rejects.toThrow(/cannot reach .* BELLROUND_DATA_DIR/);
  } finally {
    rmSync(root, { recursive: true, force: true });
  }
}, 60_000);
