import { randomBytes } from 'node:crypto';
import pg from 'pg';
import { inject } from 'vitest';
import { ensureDatabase, type Connections } from '../migrate.js';
import { Database } from '../scoped.js';
import { dropDatabase, type TestServer } from './global-setup.js';

declare module 'vitest' {
  interface ProvidedContext { bellround: TestServer }
}

export interface TestDatabase {
  readonly database: Database;
  readonly connections: Connections;
  drop(): Promise<void>;
}

/** A database of its own for one spec file, cloned from the migrated template. Call `drop` in afterAll. */
export async function cloneDatabase(): Promise<TestDatabase> {
  const { serverUrl, template } = inject('bellround');
  const name = `clone_${randomBytes(6).toString('hex')}`;
  const owner = await ensureDatabase(serverUrl, name, template);
  await allowQueueSchema(owner, name);
  const as = (user: string, password: string) => {
    const url = new URL(owner);
    url.username = user;
    url.password = password;
    return url.toString();
  };
  const connections = { owner, app: as('bellround_app', 'testing-app'), queue: as('bellround_queue', 'testing-queue') };
  const database = Database.open(connections.app, { connections: 6 });
  return { database, connections, drop: async () => { await database.close(); await dropDatabase(serverUrl, name); } };
}

/** Rights on the database itself are not part of a template: the queue's right to prepare its schema is given again. */
async function allowQueueSchema(owner: string, name: string): Promise<void> {
  const client = new pg.Client({ connectionString: owner });
  await client.connect();
  try {
    await client.query(`grant create on database ${client.escapeIdentifier(name)} to bellround_queue`);
  } finally {
    await client.end();
  }
}
