import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { createServer } from 'node:net';
import { fileURLToPath } from 'node:url';
import { join } from 'node:path';
import { cloneDatabase, type TestDatabase } from '@bellround/database/testing';

export const ROOT = fileURLToPath(new URL('..', import.meta.url));
export const PICTURES = join(ROOT, 'output', 'e2e');

/** The built house on a database of its own: API with web, worker, terminal. `npm test` builds before it runs. */
export interface House {
  readonly url: string;
  readonly test: TestDatabase;
  readonly env: Record<string, string>;
  startWorker(more?: Record<string, string>): Promise<ChildProcess>;
  /** the terminal door; throws with its words when it refuses */
  bellround(...argv: string[]): string;
  close(): Promise<void>;
}

export async function openHouse(options: { worker?: boolean; env?: Record<string, string> } = {}): Promise<House> {
  mkdirSync(PICTURES, { recursive: true });
  const test = await cloneDatabase();
  const port = await freePort();
  const env: Record<string, string> = {
    ...(process.env as Record<string, string>), DATABASE_APP_URL: test.connections.app, DATABASE_QUEUE_URL: test.connections.queue, PORT: String(port), HOST: '127.0.0.1', PUBLIC_URL: `http://127.0.0.1:${port}`,
    LEDGER_KEY: 'ab'.repeat(32), ...options.env,
  };
  delete env['REDIS_URL'];
  Object.assign(env, options.env);
  const children: ChildProcess[] = [];
  const start = (app: string, ready: string, more: Record<string, string> = {}) => new Promise<ChildProcess>((resolve, reject) => {
    const child = spawn(process.execPath, [join(ROOT, 'apps', app, 'dist', 'main.js')], { env: { ...env, ...more }, stdio: ['ignore', 'pipe', 'pipe'] });
    children.push(child);
    let said = '';
    child.stderr?.on('data', (chunk: Buffer) => { said += chunk.toString(); if (process.env['HOUSE_LOUD']) process.stderr.write(chunk); });
    child.stdout?.on('data', (chunk: Buffer) => { said += chunk.toString(); if (said.includes(ready)) resolve(child); });
    child.once('exit', (code, signal) => reject(new Error(`${app} ended (${signal ?? code}) before it was ready:\n${said.slice(-3000)}`)));
  });
  await start('api', 'api listening');
  const house: House = {
    url: `http://127.0.0.1:${port}`, test, env,
    startWorker: (more) => start('worker', 'worker ready', more),
    bellround: (...argv) => {
      const run = spawnSync(process.execPath, [join(ROOT, 'apps', 'cli', 'dist', 'main.js'), ...argv], { env, encoding: 'utf8' });
      if (run.status !== 0) throw new Error(`bellround ${argv.join(' ')}: ${run.stderr}`);
      return run.stdout;
    },
    close: async () => {
      await Promise.all(children.map((child) => new Promise<void>((resolve) => {
        if (child.exitCode !== null || child.signalCode !== null) return resolve();
        const hard = setTimeout(() => child.kill('SIGKILL'), 8000);
        child.once('exit', () => { clearTimeout(hard); resolve(); });
        child.kill('SIGTERM');
      })));
      await test.drop();
    },
  };
  if (options.worker) await house.startWorker();
  return house;
}

export function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once('error', reject);
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() => resolve(typeof address === 'object' && address ? address.port : 0));
    });
  });
}

/** Waits for a state, never for time; says what it waited for when it does not come. */
export async function until<T>(what: string, ask: () => Promise<T | null | undefined | false>, withinMs = 30_000): Promise<T> {
  const end = Date.now() + withinMs;
  for (;;) {
    const answer = await ask();
    if (answer) return answer;
    if (Date.now() > end) throw new Error(`waited ${withinMs} ms in vain for: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}
