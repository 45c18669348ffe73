import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { createHash, randomUUID } from 'node:crypto';

const PRISMA_DIR = fileURLToPath(new URL('../../../prisma/', import.meta.url));

/** The connection strings a running house needs, each with only the rights of its job. */
export interface Connections {
  /** owns the tables; only migrations and the launcher use it */
  readonly owner: string;
  /** api, worker and terminal: row-level security applies and cannot be bypassed */
  readonly app: string;
  /** the queue's own schema and nothing else */
  readonly queue: string;
}

export async function readSchema(): Promise<string> {
  return readFile(join(PRISMA_DIR, 'schema.prisma'), 'utf8');
}

async function readMigrations(): Promise<{ name: string; sql: string }[]> {
  const entries = await readdir(join(PRISMA_DIR, 'migrations'), { withFileTypes: true });
  const names = entries.filter((entry) => entry.isDirectory()).map((entry) => entry.name).sort();
  return Promise.all(names.map(async (name) => ({ name, sql: await readFile(join(PRISMA_DIR, 'migrations', name, 'migration.sql'), 'utf8') })));
}

// The table that the `prisma migrate` command keeps, so that a stock installation can take over. We run the scripts
// ourselves because the engine's WebAssembly build splits a script at every semicolon, inside functions too.
const MIGRATIONS_TABLE = `create table if not exists _prisma_migrations (
  id varchar(36) primary key, checksum varchar(64) not null, finished_at timestamptz, migration_name varchar(255) not null,
  logs text, rolled_back_at timestamptz, started_at timestamptz not null default now(), applied_steps_count integer not null default 0)`;

/**
 * Brings the database at the owner's `url` up to date, each migration whole or not at all. Returns the names applied now.
 * Throws when a migration that was applied earlier has been edited since.
 */
export async function migrate(url: string): Promise<string[]> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  const applied: string[] = [];
  try {
    await client.query('select pg_advisory_lock(7220717)'); // two starting at once: the second waits, then finds nothing to do
    await client.query(MIGRATIONS_TABLE);
    const known = new Map((await client.query<{ migration_name: string; checksum: string }>(
      'select migration_name, checksum from _prisma_migrations where finished_at is not null and rolled_back_at is null')).rows.map((row) => [row.migration_name, row.checksum]));
    for (const { name, sql } of await readMigrations()) {
      const checksum = createHash('sha256').update(sql).digest('hex');
      const before = known.get(name);
      if (before === checksum) continue;
      if (before) throw new Error(`migration ${name} was edited after it had been applied; restore its text and add a further migration`);
      await client.query('begin');
      await client.query(sql);
      await client.query(`insert into _prisma_migrations (id, checksum, finished_at, migration_name, applied_steps_count) values ($1, $2, now(), $3, 1)`, [randomUUID(), checksum, name]);
      await client.query('commit');
      applied.push(name);
    }
  } catch (error) {
    await client.query('rollback').catch(() => undefined);
    throw error;
  } finally {
    await client.end();
  }
  return applied;
}

/**
 * Makes the app's and the queue's login roles (the migrations grant them their rights) and returns the connections.
 * Roles are the server's, shared by its databases. Neither role is superuser, owner of a table, or allowed to bypass row-level security.
 */
export async function prepareRoles(ownerUrl: string, passwords: { app: string; queue: string }): Promise<Connections> {
  const client = new pg.Client({ connectionString: ownerUrl });
  await client.connect();
  try {
    for (const [role, password] of [['bellround_app', passwords.app], ['bellround_queue', passwords.queue]] as const) {
      const known = await client.query('select 1 from pg_roles where rolname = $1', [role]);
      const verb = known.rowCount ? 'alter' : 'create';
      await client.query(`${verb} role ${role} login nosuperuser nocreatedb nocreaterole noinherit nobypassrls password ${client.escapeLiteral(password)}`);
    }
    // Owns the few functions that cross companies; nobody can sign in as it. The owner must belong to it to hand them over.
    const door = await client.query("select 1 from pg_roles where rolname = 'bellround_door'");
    if (!door.rowCount) await client.query('create role bellround_door nologin nosuperuser nobypassrls');
    await client.query('grant bellround_door, bellround_queue to current_user');
  } finally {
    await client.end();
  }
  const as = (user: string, password: string) => {
    const url = new URL(ownerUrl);
    url.username = user;
    url.password = password;
    return url.toString();
  };
  return { owner: ownerUrl, app: as('bellround_app', passwords.app), queue: as('bellround_queue', passwords.queue) };
}

/** Makes `name` if it is missing and returns the owner's connection to it. */
export async function ensureDatabase(serverUrl: string, name: string, template?: string): Promise<string> {
  const client = new pg.Client({ connectionString: serverUrl });
  await client.connect();
  try {
    const known = await client.query('select 1 from pg_database where datname = $1', [name]);
    if (!known.rowCount) {
      await client.query(`create database ${client.escapeIdentifier(name)}${template ? ` template ${client.escapeIdentifier(template)}` : ''}`);
    }
  } finally {
    await client.end();
  }
  const url = new URL(serverUrl);
  url.pathname = `/${name}`;
  return url.toString();
}
