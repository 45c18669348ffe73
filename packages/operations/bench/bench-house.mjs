// A migrated database on an embedded Postgres of its own, for one measurement; nothing of it is left afterwards.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { Database, defaultDataRoot, ensureDatabase, migrate, prepareRoles, startEmbeddedPostgres } from '../../database/dist/index.js';

/**
 * @param durable true keeps fsync on: the figures are then those of a house that keeps its data.
 * @returns the connections of its roles, `open(n)` for the app's own pool, and `discard`.
 */
export async function openBenchHouse({ name, port, durable = true }) {
  const dataRoot = join(defaultDataRoot(), `bench-${name}`);
  mkdirSync(dataRoot, { recursive: true, mode: 0o755 });
  const server = await startEmbeddedPostgres({ dataRoot, name: `run-${process.pid}`, port, durable });
  try {
    const connections = await prepareRoles(await ensureDatabase(server.url, 'bench'), { app: 'bench-app', queue: 'bench-queue' });
    await migrate(connections.owner);
    return { connections, open: (pool) => Database.open(connections.app, { connections: pool }), discard: () => server.discard() };
  } catch (error) {
    await server.discard();
    throw error;
  }
}
