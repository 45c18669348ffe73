import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import pg from 'pg';
import { ensureDatabase, readSchema } from './migrate.js';
import { schemaAsSql } from './schema-engine.js';
import { sqlState } from './scoped.js';
import { cloneDatabase, type TestDatabase } from './testing/clone.js';

const A = '0190a000-0000-7000-8000-00000000000a';
const B = '0190a000-0000-7000-8000-00000000000b';
const SITE = '0190a000-0000-7000-8000-000000000001';
const CLIENT = '0190a000-0000-7000-8000-000000000002';
let test: TestDatabase;

beforeAll(async () => {
  test = await cloneDatabase();
  for (const [id, slug] of [[A, 'a'], [B, 'b']] as const) {
    await test.database.inCompany({ companyId: id, actorId: null }, async (tx) => {
      await tx.db.company.create({ data: { id, slug, name: slug, timeZone: 'Europe/Madrid', createdAt: new Date(0) } });
    });
  }
  await test.database.inCompany({ companyId: A, actorId: null }, async (tx) => {
    await tx.db.client.create({ data: { companyId: A, id: CLIENT, externalKey: 'c1', name: 'Client', createdAt: new Date(0) } });
    await tx.db.site.create({ data: { companyId: A, id: SITE, externalKey: 's1', clientId: CLIENT, name: 'Site', address: 'x', timeZone: 'Europe/Madrid', occupancy: 'shop', accessHours: [], createdAt: new Date(0) } });
  });
});
afterAll(() => test.drop());

describe('the walls', () => {
  it('schema.prisma and the migrations agree', async () => {
    const fresh = await ensureDatabase(test.connections.owner, 'from_schema_alone');
    const describeTables = async (url: string, prepare?: string) => {
      const client = new pg.Client({ connectionString: url });
      await client.connect();
      if (prepare) await client.query(prepare);
      const columns = await client.query(`select table_name || '.' || column_name || ' ' || udt_name || ' ' || is_nullable || ' ' || coalesce(column_default, '') as line
        from information_schema.columns join information_schema.tables using (table_schema, table_name) where table_schema = 'public' and table_type = 'BASE TABLE' and table_name <> '_prisma_migrations' order by 1`);
      const indexes = await client.query(`select indexdef as line from pg_indexes where schemaname = 'public' and tablename <> '_prisma_migrations' and indexdef not like '% WHERE %' order by 1`);
      const references = await client.query(`select conrelid::regclass || ' ' || conname || ' ' || pg_get_constraintdef(oid) as line from pg_constraint where contype in ('f', 'p') and connamespace = 'public'::regnamespace and conrelid::regclass::text <> '_prisma_migrations' order by 1`);
      await client.end();
      return [...columns.rows, ...indexes.rows, ...references.rows].map((row: { line: string }) => row.line);
    };
    const expected = await describeTables(fresh, await schemaAsSql(test.connections.owner, await readSchema()));
    expect(expected.length).toBeGreaterThan(500);
    expect(await describeTables(test.connections.owner)).toEqual(expected);
  });

  it('every table with a company_id has row-level security forced, and the app role cannot bypass it', async () => {
    const client = new pg.Client({ connectionString: test.connections.owner });
    await client.connect();
    const open = await client.query(`select c.relname from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attname = 'company_id'
      where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and not (c.relrowsecurity and c.relforcerowsecurity)`);
    const tables = await client.query(`select count(*)::int as n from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attname = 'company_id' where c.relnamespace = 'public'::regnamespace and c.relkind = 'r'`);
    // A view would show its owner's rows, which are everybody's, unless it asks with the rights of whoever asks.
    const views = await client.query(`select c.relname, coalesce(array_to_string(c.reloptions, ','), '') like '%security_invoker=true%' as asks from pg_class c where c.relnamespace = 'public'::regnamespace and c.relkind in ('v', 'm') order by 1`);
    const role = await client.query(`select rolsuper, rolbypassrls from pg_roles where rolname = 'bellround_app'`);
    await client.end();
    expect(open.rows).toEqual([]);
    expect(tables.rows[0].n).toBeGreaterThan(50);
    expect(views.rows).toEqual([{ relname: 'credit', asks: true }, { relname: 'duty_window', asks: true }]);
    expect(role.rows[0]).toEqual({ rolsuper: false, rolbypassrls: false });
  });

  it('every foreign key between tenant tables carries company_id', async () => {
    const client = new pg.Client({ connectionString: test.connections.owner });
    await client.connect();
    const loose = await client.query(`select conrelid::regclass::text, conname from pg_constraint k where contype = 'f' and connamespace = 'public'::regnamespace
      and not exists (select 1 from pg_attribute a where a.attrelid = k.conrelid and a.attnum = any (k.conkey) and a.attname = 'company_id')`);
    await client.end();
    expect(loose.rows).toEqual([]);
  });

  it('another company sees nothing and cannot write into, or point at, the first', async () => {
    await test.database.inCompany({ companyId: B, actorId: null }, async (tx) => {
      expect(await tx.db.site.findMany()).toEqual([]);
      expect(await tx.sql('select * from site')).toEqual([]);
      expect((await tx.db.site.updateMany({ data: { name: 'stolen' } })).count).toBe(0);
    });
    const forge = test.database.inCompany({ companyId: B, actorId: null }, (tx) =>
      tx.db.client.create({ data: { companyId: A, id: SITE, externalKey: 'x', name: 'x', createdAt: new Date(0) } }));
    await expect(forge).rejects.toThrow(/row-level security/);
    const point = test.database.inCompany({ companyId: B, actorId: null }, (tx) =>
      tx.db.site.create({ data: { companyId: B, id: SITE, externalKey: 's', clientId: CLIENT, name: 'x', address: 'x', timeZone: 'UTC', occupancy: 'shop', accessHours: [], createdAt: new Date(0) } }));
    await expect(point.catch((e: unknown) => sqlState(e))).resolves.toBe('23503');
  });

  it('without a company nothing is visible', async () => {
    expect(await test.database.outside('select * from site')).toEqual([]);
    expect(await test.database.outside('select * from company')).toEqual([]);
  });

  it('records are append-only, even for the owner of the tables', async () => {
    await test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.db.activity.create({ data: {
      companyId: A, id: SITE, at: new Date(0), actorName: 'x', act: 'x', subjectKind: 'site', summary: 'x' } }));
    await expect(test.database.inCompany({ companyId: A, actorId: null }, (tx) => tx.sql(`update activity set summary = 'y'`))).rejects.toThrow(/permission denied/);
    const client = new pg.Client({ connectionString: test.connections.owner });
    await client.connect();
    for (const statement of [`update activity set summary = 'y'`, 'delete from activity', 'truncate activity']) {
      await expect(client.query(statement)).rejects.toThrow(/append-only/);
    }
    await client.end();
  });

  it('a changed site leaves a revision with what it was and what it became', async () => {
    await test.database.inCompany({ companyId: A, actorId: CLIENT }, async (tx) => {
      await tx.db.site.updateMany({ where: { id: SITE }, data: { name: 'Renamed' } });
      const [revision] = await tx.db.revision.findMany();
      expect(revision).toMatchObject({ subjectKind: 'site', subjectId: SITE, actorId: CLIENT, before: { name: 'Site' }, after: { name: 'Renamed' } });
    });
  });
});
