import { PrismaPg } from '@prisma/adapter-pg';
import pg from 'pg';
import { from as copyFrom } from 'pg-copy-streams';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { PrismaClient, Prisma } from './generated/client.js';

/** What an act may do with the database: ordinary reads and writes by Prisma, fleet-wide ones by `sql`, all inside one company. */
export interface Tx {
  readonly db: Prisma.TransactionClient;
  /** Runs one hand-written statement in the same transaction; only functions of this package's queries/ call it. */
  sql<Row extends object = Record<string, unknown>>(text: string, values?: readonly unknown[]): Promise<Row[]>;
}

export interface Scope { readonly companyId: string; readonly actorId: string | null }

/** A write that lost a race (serialization failure, deadlock): `perform` runs the act again. */
export function isRetryable(error: unknown): boolean {
  const code = sqlState(error);
  return code === '40001' || code === '40P01';
}

/** The database's own code of an error (SQLSTATE), wherever the client wrapped it; null when there is none. */
export function sqlState(error: unknown): string | null {
  for (let at: unknown = error, depth = 0; at && typeof at === 'object' && depth < 6; depth++) {
    const some = at as { code?: unknown; originalCode?: unknown; cause?: unknown; meta?: { driverAdapterError?: unknown } };
    if (typeof some.originalCode === 'string') return some.originalCode;
    if (typeof some.code === 'string' && /^[0-9A-Z]{5}$/.test(some.code) && !some.code.startsWith('P2')) return some.code;
    if (some.code === 'P2002') return '23505';
    if (some.code === 'P2003') return '23503';
    if (some.code === 'P2034') return '40001';
    at = some.meta?.driverAdapterError ?? some.cause;
  }
  return null;
}

/**
 * The app's one connection pool. There is no way to a tenant's rows but `inCompany`, which sets the company for one
 * transaction only: a pooled connection never carries a company over to the next caller.
 */
export class Database {
  private constructor(private readonly prisma: PrismaClient, private readonly pool: pg.Pool) {}

  static open(appUrl: string, options: { connections?: number } = {}): Database {
    const pool = new pg.Pool({ connectionString: appUrl, max: options.connections ?? 10, application_name: 'bellround' });
    pool.on('error', () => undefined); // a dropped idle connection is replaced at the next use
    const prisma = new PrismaClient({ adapter: new PrismaPg(pool), errorFormat: 'minimal' });
    return new Database(prisma, pool);
  }

  /** Runs `act` in one transaction that sees and can write one company's rows only. */
  async inCompany<T>(scope: Scope, act: (tx: Tx) => Promise<T>, options: { timeoutMs?: number } = {}): Promise<T> {
    return this.prisma.$transaction(async (db) => {
      await db.$executeRaw`select set_config('app.company_id', ${scope.companyId}, true), set_config('app.actor_id', ${scope.actorId ?? ''}, true)`;
      return act({ db, sql: (text, values = []) => db.$queryRawUnsafe(text, ...values) });
    }, { timeout: options.timeoutMs ?? 30_000, maxWait: 15_000 });
  }

  /** Runs one of the narrow `door_*` functions or a read of `sign_in_attempt`; sees no tenant's rows. */
  async outside<Row extends pg.QueryResultRow>(text: string, values: readonly unknown[] = []): Promise<Row[]> {
    return (await this.pool.query<Row>(text, [...values])).rows;
  }

  /** One transaction outside any company, for the relay that must hold row locks while it hands rows over. */
  async outsideTransaction<T>(act: (query: <Row extends pg.QueryResultRow>(text: string, values?: readonly unknown[]) => Promise<Row[]>) => Promise<T>): Promise<T> {
    return this.onOneClient((client) => act(async <Row extends pg.QueryResultRow>(text: string, values: readonly unknown[] = []) => (await client.query<Row>(text, [...values])).rows));
  }

  /**
   * A streaming session for imports: one transaction on one connection, with COPY. `act` gets plain SQL and `copy`;
   * everything is rolled back when it throws.
   */
  async bulk<T>(scope: Scope, act: (bulk: Bulk) => Promise<T>): Promise<T> {
    return this.onOneClient(async (client) => {
      await client.query("select set_config('app.company_id', $1, true), set_config('app.actor_id', $2, true)", [scope.companyId, scope.actorId ?? '']);
      return act({
        sql: async <Row extends object>(text: string, values: readonly unknown[] = []) => (await client.query(text, [...values])).rows as Row[],
        copy: async (into: string, lines: AsyncIterable<string>) => {
          await pipeline(Readable.from(lines), client.query(copyFrom(`copy ${into} from stdin`)));
        },
      });
    });
  }

  /** One transaction on one connection. A connection that breaks in it is thrown away, never handed to the next caller. */
  private async onOneClient<T>(act: (client: pg.PoolClient) => Promise<T>): Promise<T> {
    const client = await this.pool.connect();
    let broken: Error | null = null;
    // While no statement runs, a broken connection speaks by this event alone; unheard, it would end the process.
    const hear = (error: Error) => { broken = error; };
    client.on('error', hear);
    try {
      await client.query('begin');
      const result = await act(client);
      await client.query('commit');
      return result;
    } catch (error) {
      await client.query('rollback').catch((failed: Error) => { broken ??= failed; });
      throw error;
    } finally {
      client.off('error', hear);
      client.release(broken ?? undefined);
    }
  }

  /** Listens for activity notices until `stop`; reconnects by itself and calls `onGap` when notices may have been missed. */
  async listen(onNotice: (notice: { company: string; about: string; site: string | null }) => void, onGap: () => void): Promise<{ stop(): Promise<void> }> {
    let stopped = false;
    let client: pg.Client | null = null;
    const connect = async (): Promise<void> => {
      if (stopped) return;
      const next = new pg.Client(this.pool.options as pg.ClientConfig);
      next.on('notification', (message) => {
        if (message.payload) onNotice(JSON.parse(message.payload) as { company: string; about: string; site: string | null });
      });
      const again = () => { if (!stopped && client === next) { client = null; onGap(); setTimeout(() => void connect().catch(again), 500).unref(); } };
      next.on('error', again);
      next.on('end', again);
      client = next;
      try {
        await next.connect();
        await next.query('listen bellround');
      } catch {
        again();
      }
    };
    await connect();
    return { stop: async () => { stopped = true; await client?.end().catch(() => undefined); } };
  }

  async close(): Promise<void> {
    await this.prisma.$disconnect();
    await this.pool.end().catch(() => undefined);
  }
}

/** See Database.bulk. `copy`'s lines are COPY text format, tab separated, each ending in a newline. */
export interface Bulk {
  sql<Row extends object = Record<string, unknown>>(text: string, values?: readonly unknown[]): Promise<Row[]>;
  copy(into: string, lines: AsyncIterable<string>): Promise<void>;
}
