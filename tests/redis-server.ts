import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { freePort } from './house.js';

const BINARY = ['/usr/bin/redis-server', '/usr/local/bin/redis-server'].find(existsSync);

/** A Redis of the system's package on a port of its own, keeping nothing; null, said loudly, where there is none. */
export async function startRedis(): Promise<{ url: string; stop(): Promise<void> } | null> {
  if (!BINARY) {
    process.stdout.write('\n!!! redis-server is not on this machine: the Redis backend of the queues is NOT tested in this run. Install redis-server and run again.\n\n');
    return null;
  }
  const port = await freePort();
  const child = spawn(BINARY, ['--port', String(port), '--bind', '127.0.0.1', '--save', '', '--appendonly', 'no', '--maxmemory-policy', 'noeviction'], { stdio: ['ignore', 'pipe', 'ignore'], cwd: '/' });
  await new Promise<void>((resolve, reject) => {
    child.once('exit', (code) => reject(new Error(`redis-server ended with code ${code} while starting`)));
    child.stdout.on('data', (chunk: Buffer) => { if (chunk.toString().includes('Ready to accept connections')) resolve(); });
  });
  return { url: `redis://127.0.0.1:${port}`, stop: () => new Promise((resolve) => { child.once('exit', () => resolve()); child.kill('SIGTERM'); }) };
}
