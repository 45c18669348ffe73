import 'reflect-metadata';
import { fileURLToPath } from 'node:url';
import { Module, type DynamicModule } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { JOBS, readSettings, type Settings } from '@bellround/contracts';
import type { Queue } from 'bullmq';
import { Database, nodeTools, openRoads } from '@bellround/database';
import { WORKSHOP, type Processor } from './door/processor.js';
import { openBackend } from './door/queues.js';
import { startRelay } from './door/relay.js';
import { tickHandlers } from './door/tick.processors.js';
import { keepTimetable, TICKS } from './door/timetable.js';
import { openWorkshop, type Workshop } from './door/workshop.js';
import { processors } from './processors.js';

/** How often new companies get their timetable. */
const TIMETABLE_MS = 60_000;

@Module({})
class WorkerModule {
  static of(workshop: Workshop): DynamicModule {
    return { module: WorkerModule, providers: [{ provide: WORKSHOP, useValue: workshop }, ...processors] };
  }
}

/** Declared jobs and processors must be the same set, each once. */
export function requireHandlers(found: readonly Pick<Processor, 'job'>[]): void {
  const names = found.map((processor) => processor.job.name);
  const missing = Object.values(JOBS).map((job) => job.name).filter((name) => !names.includes(name));
  const doubled = names.filter((name, index) => names.indexOf(name) !== index);
  if (missing.length > 0 || doubled.length > 0) {
    throw new Error(`the worker cannot start: ${missing.length > 0 ? `no processor for ${missing.join(', ')}` : ''}${doubled.length > 0 ? ` two processors for ${doubled.join(', ')}` : ''}`);
  }
}

/** Runs every queue until `stop`. */
export async function startWorker(settings: Settings, database: Database): Promise<{ backend: string; stop(): Promise<void> }> {
  const stopping = new AbortController();
  const app = await NestFactory.createApplicationContext(WorkerModule.of(openWorkshop(database, settings, nodeTools, () => openRoads(settings), stopping.signal)), { logger: ['error', 'warn'] });
  const instances = processors.map((processor) => app.get<Processor>(processor));
  requireHandlers(instances);
  const backend = openBackend(settings);
  const names = [...new Set([...Object.values(JOBS).map((job) => job.name), ...Object.values(TICKS)])];
  const queues = new Map(names.map((name) => [name, backend.queue(name)]));
  const ticks = tickHandlers(database, queues, nodeTools.now);
  const workers = [
    ...instances.map((processor) => backend.worker(processor.job.name, async (payload) => processor.handle(processor.job.payload.parse(payload)), { concurrency: processor.concurrency ?? 1 })),
    ...[...ticks].map(([name, handle]) => backend.worker(name, (payload) => handle(payload as { companyId: string }), { concurrency: 1 })),
  ];
  for (const worker of workers) worker.on('failed', (job, error) => process.stderr.write(`job ${worker.name} ${job?.id ?? ''} failed: ${error.message}\n`));
  const relay = startRelay(database, queues);
  const timetable = async () => { await keepTimetable(database, queues).catch((error: unknown) => process.stderr.write(`timetable: ${(error as Error).message}\n`)); };
  await timetable();
  await lookAtMail(database, queues);
  const timer = setInterval(() => void timetable(), TIMETABLE_MS);
  return {
    backend: backend.name,
    stop: async () => {
      stopping.abort(new Error('the worker is stopping; the queue takes this up again'));
      clearInterval(timer);
      await relay.stop();
      await Promise.all(workers.map((worker) => worker.close()));
      await Promise.all([...queues.values()].map((queue) => queue.close()));
      await app.close();
    },
  };
}

/** A worker that starts looks at once for mails that a predecessor left claimed or waiting, instead of at the next tick. */
async function lookAtMail(database: Database, queues: ReadonlyMap<string, Queue>): Promise<void> {
  const companies = await database.outside<{ id: string }>('select id::text from door_companies()');
  await queues.get(JOBS.sendMessages.name)!.addBulk(companies.map(({ id }) => ({ name: JOBS.sendMessages.name, data: { companyId: id }, opts: { attempts: JOBS.sendMessages.attempts, backoff: { type: 'exponential' as const, delay: 2000 }, removeOnComplete: 50, removeOnFail: 200 } })));
}

async function main(): Promise<void> {
  const settings = readSettings(process.env);
  if (!settings.DATABASE_APP_URL) throw new Error('DATABASE_APP_URL is missing. Start with `npm start`, which prepares the database and the restricted role.');
  const database = Database.open(settings.DATABASE_APP_URL, { connections: 8 });
  const worker = await startWorker(settings, database);
  process.stdout.write(`worker ready, queues on ${worker.backend}\n`);
  const stop = async () => { await worker.stop(); await database.close(); process.exit(0); };
  process.once('SIGTERM', () => void stop());
  process.once('SIGINT', () => void stop());
  // started by the launcher and the launcher was killed: nobody else will end this process
  process.once('disconnect', () => { setTimeout(() => process.exit(1), 10_000).unref(); void stop(); });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  main().catch((error: unknown) => { process.stderr.write(`${(error as Error).message}\n`); process.exit(1); });
}
