import { JOBS } from '@bellround/contracts';
import type { Database } from '@bellround/database';
import type { Queue } from 'bullmq';

const EVERY_MS = 400;
const AT_ONCE = 200;

/**
 * Hands outbox rows to their queues. The rows stay locked until the queue has them, then they are marked in the same
 * transaction; a relay that dies in between hands them over again, which is harmless because every effect is unique in
 * the database.
 */
export function startRelay(database: Database, queues: ReadonlyMap<string, Queue>): { stop(): Promise<void> } {
  let stopped = false;
  const loop = (async () => {
    while (!stopped) {
      const moved = await relayOnce(database, queues).catch((error: unknown) => {
        process.stderr.write(`relay: ${(error as Error).message}\n`);
        return 0;
      });
      if (moved < AT_ONCE) await new Promise((resolve) => setTimeout(resolve, EVERY_MS));
    }
  })();
  return { stop: async () => { stopped = true; await loop; } };
}

export async function relayOnce(database: Database, queues: ReadonlyMap<string, Queue>): Promise<number> {
  return database.outsideTransaction(async (query) => {
    const rows = await query<{ company_id: string; id: string; job: string; payload: object }>('select company_id::text, id::text, job, payload from door_waiting_outbox($1)', [AT_ONCE]);
    for (const job of new Set(rows.map((row) => row.job))) {
      const group = rows.filter((row) => row.job === job);
      const declared = Object.values(JOBS).find((candidate) => candidate.name === job);
      const queue = queues.get(job);
      if (!declared || !queue) throw new Error(`an outbox row names the job ${job}, which is not declared`);
      // The same work asked for several times in one go is one job: payloads carry ids only.
      const distinct = new Map(group.map((row) => [JSON.stringify(row.payload), row]));
      await queue.addBulk([...distinct.values()].map((row) => ({ name: job, data: row.payload, opts: { attempts: declared.attempts, backoff: { type: 'exponential' as const, delay: 1000 }, removeOnComplete: 500, removeOnFail: 1000 } })));
    }
    if (rows.length > 0) await query('select door_mark_outbox($1::uuid[], $2::bigint[], now())', [rows.map((row) => row.company_id), rows.map((row) => row.id)]);
    return rows.length;
  });
}
