import { createPostgresBackend, Queue, Worker, type BackendFactory, type Job as QueueJob } from 'bullmq';
import type { Settings } from '@bellround/contracts';

/** Where queues live: the Postgres that holds the data (its own schema and role), or Redis when REDIS_URL is set. */
export interface Backend {
  readonly name: 'postgres' | 'redis';
  queue(name: string): Queue;
  worker(name: string, handle: (payload: unknown) => Promise<void>, options: { concurrency: number }): Worker;
}

// The library's types tie each class to one backend; which one it is is known only when the settings are read.
const AnyQueue = Queue as unknown as new (name: string, options: object, factory: BackendFactory | undefined) => Queue;
const AnyWorker = Worker as unknown as new (name: string, handle: (job: QueueJob) => Promise<void>, options: object, factory: BackendFactory | undefined) => Worker;

export function openBackend(settings: Pick<Settings, 'REDIS_URL' | 'DATABASE_QUEUE_URL'>): Backend {
  const redis = settings.REDIS_URL;
  if (!redis && !settings.DATABASE_QUEUE_URL) throw new Error('DATABASE_QUEUE_URL is missing. Start with `npm start`, which prepares the database and the queue role, or set REDIS_URL.');
  const connection = redis ? { url: redis, maxRetriesPerRequest: null } : { connectionString: settings.DATABASE_QUEUE_URL, schema: 'queue', migrate: true };
  const factory = redis ? undefined : (createPostgresBackend as unknown as BackendFactory);
  return {
    name: redis ? 'redis' : 'postgres',
    queue: (name) => quiet(new AnyQueue(name, { connection }, factory)),
    worker: (name, handle, { concurrency }) => quiet(new AnyWorker(name, async (job) => handle(job.data), { connection, concurrency, lockDuration: 60_000, stalledInterval: 15_000 }, factory)),
  };
}

/** A lost connection is retried by the library; without a listener its error event would end the process. */
function quiet<T extends { on(event: 'error', listener: (error: Error) => void): unknown }>(part: T): T {
  let last = '';
  part.on('error', (error) => {
    if (error.message === last) return;
    last = error.message;
    process.stderr.write(`queue: ${error.message}\n`);
  });
  return part;
}
