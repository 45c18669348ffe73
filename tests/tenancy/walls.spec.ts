import { randomUUID } from 'node:crypto';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { z } from 'zod';
import { allRoutes, PERMISSIONS, type Role, type Route } from '@bellround/contracts';
import { seedDemo } from '@bellround/demo';
import { openHouse, type House } from '../house.js';

// Two companies in one database: whatever the smaller one's owner asks with the larger one's ids, the answer is the
// same as with ids that never existed. Tables are read from the catalogue, routes from the contracts: none can be forgotten.
type Json = Record<string, unknown>;
type Schema = { type?: string; format?: string; properties?: Record<string, Schema>; required?: string[]; items?: Schema; anyOf?: Schema[]; oneOf?: Schema[]; enum?: unknown[]; const?: unknown; minimum?: number; minLength?: number; minItems?: number; pattern?: string };
interface Asked { status: number; type: string; kind: string; text: string }

const NOW = new Date('2026-11-25T09:00:00Z');
let house: House;
let catalogue: pg.Client;
let strangers: { a: string; b: string };
let tables: { name: string; hasId: boolean }[] = [];
let spareIds: string[] = [];
const idsOfA = new Map<string, string>();
let namesOfA: string[] = [];
const cookies = new Map<string, string>();

beforeAll(async () => {
  house = await openHouse();
  await seedDemo(house.test.database, { now: NOW, planWeek: false });
  catalogue = new pg.Client({ connectionString: house.test.connections.owner });
  await catalogue.connect();
  const companies = (await catalogue.query<{ company_id: string; n: number }>('select company_id::text, count(*)::int n from site group by 1 order by 2 desc')).rows;
  strangers = { a: companies[0]!.company_id, b: companies[1]!.company_id };
  tables = (await catalogue.query<{ name: string; hasId: boolean }>(`select c.table_name as name, exists (select 1 from information_schema.columns i where i.table_schema = 'public' and i.table_name = c.table_name and i.column_name = 'id' and i.data_type = 'uuid') as "hasId"
    from information_schema.columns c join information_schema.tables t using (table_schema, table_name) where c.table_schema = 'public' and c.column_name = 'company_id' and t.table_type = 'BASE TABLE' order by 1`)).rows;
  for (const { name } of tables) await fillOne(name, strangers.a);
  for (const table of tables.filter((one) => one.hasId)) {
    const found = (await catalogue.query<{ id: string }>(`select id::text from "${table.name}" where company_id = $1 limit 1`, [strangers.a])).rows[0];
    if (found) idsOfA.set(table.name, found.id);
  }
  spareIds = (await catalogue.query<{ id: string }>('select id::text from site where company_id = $1 order by id desc limit 200', [strangers.a])).rows.map((row) => row.id);
  namesOfA = (await catalogue.query<{ name: string }>('select name from site s where company_id = $1 and not exists (select 1 from site o where o.company_id = $2 and o.name = s.name)', [strangers.a, strangers.b])).rows.map((row) => row.name);
  for (const [who, email, password] of [['b', 'owner@pellhask.example', 'owner of the bell'], ['technician', 'wren@tolverne.example', 'ladder and meter'], ['auditor', 'auditor@tolverne.example', 'read and compare'], ['dispatcher', 'dispatch@tolverne.example', 'rounds for the week']] as const) {
    const answer = await fetch(`${house.url}/api/sign-in`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ email, password }) });
    expect(answer.status, `${who} signs in`).toBeLessThan(300);
    cookies.set(who, answer.headers.get('set-cookie')!.split(';')[0]!);
  }
}, 180_000);
afterAll(async () => { await catalogue?.end(); await house?.close(); });

/** Values by a column's type, good enough for a row that only has to be there: keys and triggers sleep while it is written. */
const ANY_VALUE: Record<string, string> = {
  uuid: 'gen_random_uuid()', text: "'words'", int4: '1', int8: '1', int2: '1', float8: '1', float4: '1', numeric: '1', bool: 'false', date: "date '2026-11-23'", timestamptz: "timestamptz '2026-11-23T09:00:00Z'",
  jsonb: "'{}'", json: "'{}'", bytea: "'\\x00'", _text: "'{}'", _uuid: "'{}'", _int4: "'{}'", _float8: "'{}'", time: "time '09:00'",
};

/** Puts one row of a company into a tenant table that the demo leaves empty. */
async function fillOne(name: string, companyId: string): Promise<void> {
  if ((await catalogue.query(`select 1 from "${name}" where company_id = $1 limit 1`, [companyId])).rowCount) return;
  const { rows } = await catalogue.query<{ column: string; type: string }>("select column_name as column, udt_name as type from information_schema.columns where table_schema = 'public' and table_name = $1 and is_nullable = 'NO' and column_default is null and column_name <> 'company_id'", [name]);
  await catalogue.query('begin');
  await catalogue.query('set local session_replication_role = replica');
  // what a row must say is not at stake here: checks are set aside for this one row, and judge all later ones again
  const checks = (await catalogue.query<{ name: string; rule: string }>(`select conname as name, pg_get_constraintdef(oid) as rule from pg_constraint where contype = 'c' and conrelid = '"${name}"'::regclass`)).rows;
  for (const check of checks) await catalogue.query(`alter table "${name}" drop constraint "${check.name}"`);
  await catalogue.query(`insert into "${name}" (${['company_id', ...rows.map((one) => `"${one.column}"`)].join(', ')}) values (${[`'${companyId}'`, ...rows.map((one) => ANY_VALUE[one.type] ?? 'null')].join(', ')})`);
  for (const check of checks) await catalogue.query(`alter table "${name}" add constraint "${check.name}" ${check.rule} not valid`);
  await catalogue.query('commit');
}

async function ask(route: Route, input: Json, cookie?: string): Promise<Asked> {
  const rest = { ...input };
  const path = route.path.replace(/:(\w+)/g, (_, key: string) => { const value = rest[key] ?? randomUUID(); delete rest[key]; return encodeURIComponent(String(value)); });
  const upload = route.carries === 'upload';
  const query = route.method === 'GET' || upload ? `?${new URLSearchParams(Object.entries(rest).filter(([, value]) => value !== undefined && value !== null).map(([key, value]) => [key, typeof value === 'object' ? JSON.stringify(value) : String(value)]))}` : '';
  const leave = new AbortController();
  const answer = await fetch(house.url + path + query, { method: route.method, signal: leave.signal, headers: { ...(cookie ? { cookie } : {}), ...(route.method === 'POST' ? { 'content-type': upload ? 'text/csv' : 'application/json' } : {}) },
    ...(route.method === 'POST' ? { body: upload ? 'key,name\n' : JSON.stringify(rest) } : {}) });
  const type = answer.headers.get('content-type') ?? '';
  const text = type.includes('event-stream') ? '' : await answer.text();
  if (type.includes('event-stream')) leave.abort();
  const kind = type.includes('problem+json') ? String((JSON.parse(text) as Json)['type']) : '';
  return { status: answer.status, type, kind, text };
}

/** A value the schema accepts, ids chosen by `pick`. */
function sample(schema: Schema, name: string, pick: (field: string) => string, all: boolean): unknown {
  if (schema.const !== undefined) return schema.const;
  if (schema.enum) return schema.enum[0];
  const choice = schema.anyOf ?? schema.oneOf;
  if (choice) return sample(choice.find((one) => one.type !== 'null') ?? choice[0]!, name, pick, all);
  if (schema.type === 'object') return Object.fromEntries(Object.entries(schema.properties ?? {}).filter(([key, one]) => schema.required?.includes(key) || (all && holdsId(one))).map(([key, one]) => [key, sample(one, key, pick, all)]));
  if (schema.type === 'array') return schema.items ? [sample(schema.items, name.replace(/s$/, ''), pick, all)] : [];
  if (schema.type === 'integer' || schema.type === 'number') return Math.max(1, schema.minimum ?? 1);
  if (schema.type === 'boolean') return false;
  if (schema.format === 'uuid' || /Id$|^id$/.test(name)) return pick(name);
  if (schema.format === 'email') return `${randomUUID()}@pellhask.example`;
  if (schema.format === 'date-time') return '2026-11-25T09:00:00.000Z';
  if (schema.format === 'date' || schema.pattern?.includes('\\d{4}')) return '2026-11-23';
  // other words each time: the first asking may have made a record by that name
  return (schema.pattern ? 'words' : `w${randomUUID().slice(0, 6)}`).padEnd(schema.minLength ?? 5, '-');
}
const holdsId = (schema: Schema): boolean => schema.format === 'uuid' || [...(schema.anyOf ?? []), ...(schema.oneOf ?? []), ...Object.values(schema.properties ?? {}), ...(schema.items ? [schema.items] : [])].some(holdsId);
const shapeOf = (route: Route): Schema => z.toJSONSchema(route.input, { io: 'input', unrepresentable: 'any' }) as Schema;
/**
 * The other company's id for a field: of its table when that has rows, otherwise a site's that no other route is asked
 * with, because a client-made id becomes the asker's own record and the next route would rightly find it.
 */
function strangersId(field: string, turn: number): string {
  const table = field.replace(/Ids?$/, '').replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
  return idsOfA.get(table) ?? spareIds[turn % spareIds.length]!;
}
const inputFor = (route: Route, pick: (field: string) => string): Json => sample(shapeOf(route), '', pick, true) as Json;

describe('walls between companies', () => {
  it('every tenant table hides, keeps and refuses another company\'s rows', async () => {
    let filled = 0;
    const app = new pg.Client({ connectionString: house.test.connections.app });
    await app.connect();
    onTestFinished(() => app.end());
    const within = async (act: () => Promise<void>) => { await app.query('begin'); await app.query("select set_config('app.company_id', $1, true)", [strangers.b]); try { await act(); } finally { await app.query('rollback'); } };
    /** Rows touched, or 'refused' when the role may not even try. */
    const touched = async (text: string, values: unknown[]): Promise<number | string> => app.query(text, values).then((done) => done.rowCount ?? 0, (error: { code: string }) => (error.code === '42501' || error.code === 'P0001' ? 'refused' : `error ${error.code}`));
    for (const { name } of tables) {
      const there = (await catalogue.query<{ n: number }>(`select count(*)::int n from "${name}" where company_id = $1`, [strangers.a])).rows[0]!.n;
      if (there > 0) filled += 1;
      for (const text of [`select 1 from "${name}" where company_id = $1`, `update "${name}" set company_id = company_id where company_id = $1`, `delete from "${name}" where company_id = $1`]) {
        await within(async () => { expect([0, 'refused'], `${text}`).toContain(await touched(text, [strangers.a])); });
      }
      // row-level security judges before not-null and key constraints do, so the company alone is enough of a row
      await within(async () => { expect(await touched(`insert into "${name}" (company_id) values ($1)`, [strangers.a]), `insert into ${name}`).toBe('refused'); });
    }
    console.log(`walls: ${tables.length} tenant tables, ${filled} of them with rows of the other company`);
    expect(tables.length).toBeGreaterThan(20);
    expect(filled).toBe(tables.length);
  });

  it('every route answers another company\'s ids as it answers ids that never existed, and tells nothing of it', async () => {
    const told: string[] = [];
    let withIds = 0, reached = 0;
    const secrets = [...idsOfA.values(), ...namesOfA];
    expect(namesOfA.length).toBeGreaterThan(20);
    for (const route of allRoutes.filter((one) => one.may !== null && one.name !== 'signOut')) {
      const turn = allRoutes.indexOf(route);
      const theirs = inputFor(route, (field) => strangersId(field, turn));
      const used = JSON.stringify(theirs);
      const asked = await ask(route, theirs, cookies.get('b'));
      for (const secret of secrets) if (asked.text.includes(secret) && !used.includes(secret)) told.push(`${route.name} tells ${secret}`);
      if (asked.status >= 500) told.push(`${route.name} answers ${asked.status}: ${asked.text}`);
      if (![...secrets, ...spareIds].some((secret) => used.includes(secret))) continue;
      withIds += 1;
      const never = await ask(route, inputFor(route, () => randomUUID()), cookies.get('b'));
      if (!asked.kind.endsWith('bad-input') && asked.status !== 400) reached += 1;
      if (asked.status !== never.status || asked.kind !== never.kind) told.push(`${route.name}: theirs ${asked.status} ${asked.kind}, never ${never.status} ${never.kind} ${asked.text.slice(0, 200)}`);
    }
    console.log(`walls: ${allRoutes.length} routes, ${withIds} asked with the other company's ids, ${reached} of them past the input check`);
    expect(told).toEqual([]);
    expect(withIds).toBeGreaterThan(20);
    expect(reached).toBeGreaterThan(20);
  });

  it('no route answers without a session, and none a role without its permission', async () => {
    let closed = 0, refused = 0;
    for (const route of allRoutes.filter((one) => one.may !== null)) {
      expect((await ask(route, inputFor(route, () => randomUUID()))).status, `${route.name} without a session`).toBe(401);
      closed += 1;
      for (const role of ['technician', 'auditor', 'dispatcher'] as const) {
        if ((PERMISSIONS[route.may!] as readonly Role[]).includes(role)) continue;
        expect((await ask(route, inputFor(route, () => randomUUID()), cookies.get(role))).status, `${route.name} asked by ${role}`).toBe(403);
        refused += 1;
      }
    }
    console.log(`walls: ${closed} routes closed without a session, ${refused} refusals by role`);
    expect(refused).toBeGreaterThan(20);
  });

  it('malformed input is a 400 problem without a stack', async () => {
    let seen = 0;
    for (const route of allRoutes.filter((one) => one.may !== null && one.method === 'POST' && one.carries === 'json')) {
      const answer = await ask(route, { unheardOf: { nested: ['x'] } }, cookies.get('b'));
      if (answer.status < 400 && shapeOf(route).required === undefined) continue;
      expect([route.name, answer.status, answer.type.split(';')[0]]).toEqual([route.name, 400, 'application/problem+json']);
      expect(answer.text).not.toMatch(/\bat .*\.(js|ts):\d+|node_modules|"stack"/);
      seen += 1;
    }
    console.log(`walls: ${seen} malformed inputs refused`);
    expect(seen).toBeGreaterThan(20);
  });
});
