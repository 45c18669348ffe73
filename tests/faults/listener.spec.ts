import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { connect } from 'node:net';
import { join } from 'node:path';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { cutFrames, decodeDc09, encodeDc09 } from '@bellround/signals';
import { freePort, ROOT, until } from '../house.js';

// Real senders send again what nobody acknowledged. So whatever dies - the database, the listener - no frame is lost, and none
// is kept twice. FRAMES and PANELS in the environment make it as large as one likes.
const PANELS = Number(process.env['PANELS'] ?? 20);
const FRAMES = Number(process.env['FRAMES'] ?? 2000);
const AGAIN_MS = 1500;

const MAIN = join(ROOT, 'apps', 'cli', 'dist', 'main.js');

let test: TestDatabase;
let env: NodeJS.ProcessEnv;
let port: number;
let listener: ChildProcess;
const name = () => new URL(test.connections.owner).pathname.slice(1);

async function asServer<T>(work: (client: pg.Client) => Promise<T>, url = inject('bellround').serverUrl): Promise<T> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try { return await work(client); } finally { await client.end(); }
}
const takeAway = () => asServer(async (client) => {
  await client.query(`alter database ${client.escapeIdentifier(name())} allow_connections false`);
  await client.query('select pg_terminate_backend(pid) from pg_stat_activity where datname = $1', [name()]);
});
const bringBack = () => asServer((client) => client.query(`alter database ${client.escapeIdentifier(name())} allow_connections true`));
const kept = () => asServer(async (client) => (await client.query<{ n: number; frames: number }>('select count(*)::int as n, count(distinct raw_digest)::int as frames from station_event')).rows[0]!, test.connections.owner);

function startListener(): Promise<ChildProcess> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [MAIN, 'listen', '--port', String(port), '--per-minute', '100000'], { env, stdio: ['ignore', 'pipe', 'pipe'] });
    let said = '';
    child.stderr.on('data', (chunk: Buffer) => { said += chunk.toString(); });
    child.stdout.on('data', (chunk: Buffer) => { said += chunk.toString(); if (said.includes('listening on')) resolve(child); });
    child.once('exit', (code, signal) => reject(new Error(`the listener ended (${signal ?? code}): ${said}`)));
  });
}

interface Panel { acknowledged: number; repeated: number; readonly done: Promise<void>; stop(): void }

/** A panel: one frame at a time, sent again until it is acknowledged, the connection opened again when it is lost. */
function panel(n: number, count: number): Panel {
  const account = (0x1000 + n).toString(16).toUpperCase();
  const frame = (i: number) => encodeDc09({ token: 'ADM-CID', sequence: 1 + (i % 9999), receiver: null, line: '0', account, data: `#${account}|1131 01 ${String(i % 1000).padStart(3, '0')}`, extensions: [], sentAt: new Date(Date.UTC(2027, 2, 1) + i * 1000).toISOString() });
  let [at, isStopped, timer]: [number, boolean, NodeJS.Timeout | undefined] = [0, false, undefined];
  let finish: () => void = () => undefined;
  const it: Panel = { acknowledged: 0, repeated: 0, done: new Promise((resolve) => { finish = resolve; }), stop: () => { isStopped = true; clearTimeout(timer); } };
  const open = (): void => {
    if (isStopped) return;
    const socket = connect(port, '127.0.0.1').setEncoding('latin1').setNoDelay(true);
    let rest = '';
    const send = (again: boolean): void => {
      if (again) it.repeated += 1;
      socket.write(frame(at), 'latin1');
      timer = setTimeout(send, AGAIN_MS, true);
    };
    socket.on('connect', () => send(false)).on('error', () => undefined);
    socket.on('data', (piece: unknown) => {
      const cut = cutFrames(rest, piece as string);
      rest = cut.rest;
      for (const reply of cut.frames) {
        const read = decodeDc09(reply, { now: null });
        if (!read.ok || read.value.token !== 'ACK' || read.value.sequence !== 1 + (at % 9999)) continue;
        clearTimeout(timer);
        it.acknowledged += 1;
        at += 1;
        if (at < count) { send(false); continue; }
        isStopped = true;
        socket.destroy();
        finish();
      }
    });
    socket.on('close', () => { clearTimeout(timer); if (!isStopped) { it.repeated += 1; setTimeout(open, 200); } });
  };
  open();
  return it;
}

beforeAll(async () => {
  test = await cloneDatabase();
  env = { ...process.env, DATABASE_APP_URL: test.connections.app };
  port = await freePort();
  const added = spawnSync(process.execPath, [MAIN, 'company', 'add', '--slug', 'quillmere', '--name', 'Quillmere Alarm Care', '--tz', 'Europe/Madrid'], { env, encoding: 'utf8' });
  expect(added.status, added.stderr).toBe(0);
  listener = await startListener();
}, 60_000);
afterAll(async () => {
  listener.kill('SIGKILL');
  await bringBack();
  await test.drop();
});

describe('frames sent while everything dies', () => {
  it(`${FRAMES} frames of ${PANELS} panels: all acknowledged, all kept once, though the database went away and the listener was killed`, async () => {
    const begun = Date.now();
    const each = Math.ceil(FRAMES / PANELS);
    const panels = Array.from({ length: PANELS }, (_, n) => panel(n, each));
    const acknowledged = () => panels.reduce((sum, one) => sum + one.acknowledged, 0);
    const past = (share: number) => until(`${share * 100} % acknowledged`, async () => acknowledged() >= share * FRAMES, 300_000);
    await past(0.2);
    await takeAway();
    const before = acknowledged();
    await until('frames sent again in vain', async () => panels.every((one) => one.repeated > 0 || one.acknowledged >= each), 30_000);
    // What was on its way when the database went may still have been answered; nothing more is.
    expect(acknowledged() - before).toBeLessThanOrEqual(PANELS);
    await bringBack();
    await past(0.5);
    listener.kill('SIGKILL');
    await until('the listener is gone', async () => listener.signalCode !== null);
    listener = await startListener();
    await Promise.all(panels.map((one) => one.done));
    expect(acknowledged()).toBe(each * PANELS);
    expect(await kept()).toEqual({ n: each * PANELS, frames: each * PANELS });
    const seconds = (Date.now() - begun) / 1000;
    console.log(`${acknowledged()} frames of ${PANELS} connections in ${seconds.toFixed(1)} s, ${panels.reduce((sum, one) => sum + one.repeated, 0)} sendings repeated; none lost, none kept twice`);
  }, 600_000);

  it('ends at SIGTERM and says what it kept', async () => {
    const ended = new Promise<string>((resolve) => {
      let said = '';
      listener.stdout?.on('data', (chunk: Buffer) => { said += chunk.toString(); });
      listener.once('exit', () => resolve(said));
    });
    listener.kill('SIGTERM');
    expect(await ended).toMatch(/kept \d+, known again \d+, refused 0, damaged 0/);
    listener = await startListener();
  }, 30_000);
});
