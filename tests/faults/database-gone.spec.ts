import pg from 'pg';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { aCompany, anId } from '@bellround/database/testing';
import { openHouse, until, type House } from '../house.js';

// The database goes away at rest, and in the middle of keeping a file: every door answers with a problem of ours, nothing
// is half-written, and API and worker go on by themselves when it is back.
const PASSWORD = 'a long enough pass';
const ROWS = 60_000;
const HEADER = 'key,name\n';
const rows = (from: number, to: number) => Array.from({ length: to - from }, (_, i) => `C-${from + i},Client ${from + i}\n`).join('');

let house: House;
let cookie: string;
const serverUrl = () => inject('bellround').serverUrl;
const name = () => new URL(house.test.connections.owner).pathname.slice(1);

async function asServer<T>(work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: serverUrl() });
  await client.connect();
  try { return await work(client); } finally { await client.end(); }
}

/** Nobody can connect any more, and everybody connected is thrown out, as when a server fails over. */
const takeAway = () => asServer(async (client) => {
  await client.query(`alter database ${client.escapeIdentifier(name())} allow_connections false`);
  await client.query('select pg_terminate_backend(pid) from pg_stat_activity where datname = $1', [name()]);
});
const bringBack = () => asServer((client) => client.query(`alter database ${client.escapeIdentifier(name())} allow_connections true`));

const ask = (path: string, init: RequestInit = {}) => fetch(`${house.url}${path}`, { ...init, headers: { cookie, ...(init.headers as Record<string, string>) } });

async function requireUnavailable(reply: Response): Promise<void> {
  const text = await reply.text();
  expect(reply.status, text).toBe(503);
  expect(reply.headers.get('content-type')).toContain('application/problem+json');
  const problem = JSON.parse(text) as { title: string; detail: string; status: number };
  expect(problem.status).toBe(503);
  expect(problem.detail).toMatch(/database.* does not answer/);
  expect(text).not.toMatch(/\bat .*:\d+:\d+|pg_|prisma|select |connections/i);
}

const upload = (runId: string, mode: 'preview' | 'keep', body: BodyInit) =>
  ask(`/api/imports/clients?${new URLSearchParams({ runId, fileName: 'clients.csv', mode })}`, { method: 'POST', headers: { 'content-type': 'text/csv' }, body, duplex: 'half' } as RequestInit);

beforeAll(async () => {
  house = await openHouse({ worker: true });
  house.bellround('company', 'add', '--slug', 'quillmere', '--name', 'Quillmere Alarm Care', '--tz', 'Europe/Madrid');
  house.bellround('user', 'add', '--email', 'owner@quillmere.example', '--name', 'Olive Owner', '--role', 'owner', '--password', PASSWORD);
  const signedIn = await fetch(`${house.url}/api/sign-in`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ email: 'owner@quillmere.example', password: PASSWORD }) });
  expect(signedIn.status, await signedIn.clone().text()).toBe(200);
  cookie = signedIn.headers.getSetCookie().map((one) => one.split(';')[0]).join('; ');
}, 60_000);
afterAll(async () => {
  await bringBack();
  await house.close();
});

describe('the database goes away', () => {
  it('at rest: each door answers 503 with a problem, never a stack; healthy again when it is back', async () => {
    expect((await ask('/api/sites')).status).toBe(200);
    await takeAway();
    for (const path of ['/api/sites', '/api/standing', '/api/health', '/api/deficiencies']) await requireUnavailable(await ask(path));
    await requireUnavailable(await ask('/api/sign-in', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ email: 'owner@quillmere.example', password: PASSWORD }) }));
    await bringBack();
    expect((await ask('/api/sites')).status).toBe(200);
    expect((await ask('/api/health')).status).toBe(200);
  });

  it('while a file is being kept: 503, not one row of it written; the same file is kept whole afterwards', async () => {
    const runId = anId();
    const half = ROWS / 2;
    const seen = await upload(runId, 'preview', HEADER + rows(0, ROWS));
    expect(seen.status, await seen.clone().text()).toBe(200);
    let gone: () => void = () => undefined;
    const away = new Promise<void>((resolve) => { gone = resolve; });
    const encoder = new TextEncoder();
    const body = new ReadableStream<Uint8Array>({
      async start(controller) {
        controller.enqueue(encoder.encode(HEADER + rows(0, half)));
        await away;
        controller.enqueue(encoder.encode(rows(half, ROWS)));
        controller.close();
      },
    });
    const kept = upload(runId, 'keep', body);
    await until('the file to be half in', () => asServer(async (client) => (await client.query('select 1 from pg_stat_activity where datname = $1 and query like $2', [name(), 'copy %'])).rowCount));
    await takeAway();
    gone();
    await requireUnavailable(await kept);
    await bringBack();
    const { company: { id: companyId } } = (await (await ask('/api/me')).json()) as { company: { id: string } };
    const clients = () => house.test.database.inCompany({ companyId, actorId: null }, (tx) => tx.db.client.count());
    expect(await clients()).toBe(0);
    const run = (await (await ask(`/api/imports/${runId}`)).json()) as { state: string };
    expect(run.state).toBe('previewed');
    const again = await upload(runId, 'keep', HEADER + rows(0, ROWS));
    expect(await again.json()).toMatchObject({ state: 'kept', rowsNew: ROWS, rowsHeld: 0 });
    expect(await clients()).toBe(ROWS);
  });

  it('the worker goes on by itself: work asked for after the return is done', async () => {
    await takeAway();
    await new Promise((resolve) => setTimeout(resolve, 1500)); // long enough for each of its connections to have failed
    await bringBack();
    const companyId = anId();
    await house.test.database.inCompany({ companyId, actorId: null }, async (tx) => {
      await aCompany(tx, companyId);
      await tx.db.message.create({ data: { companyId, id: anId(), kind: 'reminder', dedupeKey: 'after-return', toName: 'Client', toEmail: 'client@quillmere.example', subject: 'After the return', body: 'Still here.', state: 'waiting', createdAt: new Date() } });
      await tx.db.outboxJob.create({ data: { companyId, job: 'send-messages', payload: { companyId }, createdAt: new Date() } });
    });
    const jobs = () => house.test.database.inCompany({ companyId, actorId: null }, (tx) => tx.db.message.findFirst({ where: { dedupeKey: 'after-return' } }));
    await until('the message to be handled', async () => (await jobs())?.state !== 'waiting', 60_000);
  }, 90_000);
});
