import type { Queue, Worker } from 'bullmq';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cloneDatabase, type TestDatabase } from '@bellround/database/testing';
import { openBackend, type Backend } from '../../apps/worker/src/door/queues.js';
import { relayOnce } from '../../apps/worker/src/door/relay.js';
import { tickHandlers } from '../../apps/worker/src/door/tick.processors.js';
import { keepTimetable, TICKS } from '../../apps/worker/src/door/timetable.js';
import { until } from '../house.js';
import { startRedis } from '../redis-server.js';

// One suite for both places where queues can live: what the worker relies on holds in each.
const redis = await startRedis();
const test: TestDatabase = await cloneDatabase();
afterAll(async () => { await redis?.stop(); await test.drop(); });
const backends = [{ name: 'postgres' as const, settings: { DATABASE_QUEUE_URL: test.connections.queue } }, ...(redis ? [{ name: 'redis' as const, settings: { REDIS_URL: redis.url } }] : [])];

describe.each(backends)('queues on $name', ({ name, settings }) => {
  let backend: Backend;
  const open: { close(): Promise<void> }[] = [];
  const queueOf = (of: string): Queue => { const queue = backend.queue(of); open.push(queue); return queue; };
  const work = (of: string, handle: (payload: unknown) => Promise<void>): Worker => { const worker = backend.worker(of, handle, { concurrency: 1 }); open.push(worker); return worker; };
  beforeAll(() => { backend = openBackend(settings); });
  afterAll(async () => { for (const one of open.toReversed()) await one.close(); });

  it('is the backend that the settings choose', () => {
    expect(backend.name).toBe(name);
  });

  it('hands every job to a worker, and one that fails again until it succeeds', async () => {
    const queue = queueOf('suite-work');
    const done: number[] = [];
    let failures = 0;
    work('suite-work', async (payload) => {
      const { n } = payload as { n: number };
      if (n === 2 && failures < 2) { failures += 1; throw new Error('not yet'); }
      done.push(n);
    });
    await queue.addBulk([1, 2, 3].map((n) => ({ name: 'suite-work', data: { n }, opts: { attempts: 5, backoff: { type: 'fixed' as const, delay: 50 } } })));
    await until('all three', async () => done.length === 3);
    expect(done.toSorted()).toEqual([1, 2, 3]);
    expect(failures).toBe(2);
  });

  it('keeps a delayed job back until its time', async () => {
    const queue = queueOf('suite-delay');
    const began = Date.now();
    let at = 0;
    work('suite-delay', async () => { at = Date.now(); });
    await queue.add('suite-delay', {}, { delay: 400 });
    await until('the delayed job', async () => at > 0);
    expect(at - began).toBeGreaterThanOrEqual(390);
  });

  it('has one entry of a timetable however often it is told, and runs it', async () => {
    const queue = queueOf('suite-time');
    let runs = 0;
    for (let i = 0; i < 3; i++) await queue.upsertJobScheduler('every-second', { pattern: '* * * * * *', tz: 'Europe/Madrid' }, { name: 'suite-time', data: {} });
    expect(await queue.getJobSchedulersCount()).toBe(1);
    work('suite-time', async () => { runs += 1; });
    await until('two runs', async () => runs >= 2);
    await queue.removeJobScheduler('every-second');
  });

  it('gets what the outbox holds, once, the same work asked for twice as one job', async () => {
    const companyId = '0190c000-0000-7000-8000-000000000001';
    const payload = { companyId };
    await test.database.inCompany({ companyId, actorId: null }, (tx) => tx.db.outboxJob.createMany({ data: [1, 2].map(() => ({ companyId, job: 'send-messages', payload, createdAt: new Date(0) })) }));
    const queue = queueOf('send-messages');
    expect(await relayOnce(test.database, new Map([['send-messages', queue]]))).toBe(2);
    expect(await relayOnce(test.database, new Map([['send-messages', queue]]))).toBe(0);
    expect((await queue.getJobs(['waiting'])).map((job) => job.data)).toEqual([payload]);
  });

  it('a relay that dies before the queue has the rows leaves them for the next', async () => {
    const companyId = '0190c000-0000-7000-8000-000000000002';
    await test.database.inCompany({ companyId, actorId: null }, (tx) => tx.db.outboxJob.create({ data: { companyId, job: 'fit-risk', payload: { companyId }, createdAt: new Date(0) } }));
    const dead = { addBulk: () => Promise.reject(new Error('the queue is away')) } as unknown as Queue;
    await expect(relayOnce(test.database, new Map([['fit-risk', dead]]))).rejects.toThrow('the queue is away');
    expect(await relayOnce(test.database, new Map([['fit-risk', queueOf('fit-risk')]]))).toBe(1);
  });

  it('asks each night, at a quarter past one of each company, for its sweep, its histories and its fit, of that local day', async () => {
    const zones = { '0190c000-0000-7000-8000-00000000000a': 'Pacific/Auckland', '0190c000-0000-7000-8000-00000000000b': 'America/Lima' };
    const [east, west] = Object.keys(zones) as [string, string];
    for (const [companyId, timeZone] of Object.entries(zones)) {
      if (name !== 'postgres') break;
      await test.database.inCompany({ companyId, actorId: null }, (tx) => tx.db.company.create({ data: { id: companyId, slug: `zone-${companyId.at(-1)!}`, name: 'Company of a zone', timeZone, createdAt: new Date(0), settings: {} } }));
    }
    const asked = ['nightly-sweep', 'read-histories', 'fit-risk', 'weekly-overdue'];
    const queues = new Map([...new Set([...Object.values(TICKS), ...asked])].map((of) => [of, queueOf(of)]));
    expect(await keepTimetable(test.database, queues)).toBe(2);
    await keepTimetable(test.database, queues);
    const schedulers = await queues.get(TICKS.nightly)!.getJobSchedulers();
    const hours = schedulers.map(({ key, tz, next }) => [key, new Intl.DateTimeFormat('en-GB', { timeZone: tz!, hour: '2-digit', minute: '2-digit' }).format(next!)]);
    expect(hours.toSorted()).toEqual([[`tick-nightly-${east}`, '01:15'], [`tick-nightly-${west}`, '01:15']]);
    // One instant, two local days.
    const ticks = tickHandlers(test.database, queues, () => new Date('2027-03-09T12:15:00Z'));
    for (const companyId of [east, west]) await ticks.get(TICKS.nightly)!({ companyId });
    const wanted = async (of: string) => (await queues.get(of)!.getJobs(['waiting'])).map((job) => job.data as { companyId: string }).filter(({ companyId }) => companyId in zones).toSorted((a, b) => a.companyId.localeCompare(b.companyId));
    expect(await wanted('nightly-sweep')).toEqual([{ companyId: east, day: '2027-03-10' }, { companyId: west, day: '2027-03-09' }]);
    expect(await wanted('read-histories')).toEqual([{ companyId: east }, { companyId: west }]);
    expect(await wanted('fit-risk')).toEqual([{ companyId: east }, { companyId: west }]);
    await Promise.all(schedulers.map(({ key }) => queues.get(TICKS.nightly)!.removeJobScheduler(key)));
  });
});
