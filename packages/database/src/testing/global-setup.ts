import { mkdirSync, readFileSync } from 'node:fs';
import { createHash } from 'node:crypto';
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { join } from 'node:path';
import pg from 'pg';
import { defaultDataRoot, startEmbeddedPostgres } from '../embedded.js';
import { ensureDatabase, migrate, prepareRoles } from '../migrate.js';

/**
 * One embedded Postgres per test run with a migrated template database; each spec file clones it (about 0.1 s).
 * The template's name carries the migrations' digest, so an edited migration makes a new one.
 */
export default async function setup(project: { provide(key: 'bellround', value: TestServer): void }): Promise<() => Promise<void>> {
  const dataRoot = join(defaultDataRoot(), 'testing');
  mkdirSync(dataRoot, { recursive: true, mode: 0o755 });
  const server = await startEmbeddedPostgres({ dataRoot, name: `run-${process.pid}`, port: 55_500 + (process.pid % 400), durable: false });
  const connections = await prepareRoles(server.url, { app: 'testing-app', queue: 'testing-queue' });
  const template = `template_${migrationsDigest()}`;
  await migrate(await ensureDatabase(connections.owner, template));
  project.provide('bellround', { serverUrl: server.url, template });
  return () => server.discard();
}

export interface TestServer { readonly serverUrl: string; readonly template: string }

function migrationsDigest(): string {
  const folder = fileURLToPath(new URL('../../../../prisma/migrations/', import.meta.url));
  const hash = createHash('sha256');
  for (const entry of readdirSync(folder, { withFileTypes: true }).filter((e) => e.isDirectory()).sort((a, b) => a.name.localeCompare(b.name))) {
    hash.update(readFileSync(join(folder, entry.name, 'migration.sql')));
  }
  return hash.digest('hex').slice(0, 12);
}

/** Removes a cloned database when the file that used it has passed. */
export async function dropDatabase(serverUrl: string, name: string): Promise<void> {
  const client = new pg.Client({ connectionString: serverUrl });
  await client.connect();
  try {
    await client.query(`drop database if exists ${client.escapeIdentifier(name)} with (force)`);
  } finally {
    await client.end();
  }
}
