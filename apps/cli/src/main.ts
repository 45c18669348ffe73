import { createHash, randomBytes } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Database, defaultDataRoot } from '@bellround/database';
import { createPerform, type Who } from '@bellround/operations';
import { WrongUse, type Terminal } from './act.js';
import { runCommand } from './command-line.js';

function uuid7(): string {
  const bytes = randomBytes(16);
  bytes.writeUIntBE(Date.now(), 0, 6);
  bytes[6] = (bytes[6]! & 0x0f) | 0x70;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = bytes.toString('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}

/** DATABASE_APP_URL, or what the launcher wrote for the house that runs here. */
function appUrl(): string {
  if (process.env['DATABASE_APP_URL']) return process.env['DATABASE_APP_URL'];
  const file = join(defaultDataRoot(), 'connections.json');
  if (!existsSync(file)) throw new WrongUse('no house runs here: start it with `npm start` in another terminal, or set DATABASE_APP_URL');
  return (JSON.parse(readFileSync(file, 'utf8')) as { app: string }).app;
}

// Standard error is for problems only: a library's notice about its own future is none.
process.noDeprecation = true;

const opened: { database?: Database } = {};

async function open(): Promise<Terminal> {
  const database = Database.open(appUrl(), { connections: 3 });
  opened.database = database;
  const companies = await database.outside<{ id: string }>('select id::text from door_companies()').catch((error: Error) => {
    throw new WrongUse(`the database does not answer (${error.message}): start the house with \`npm start\``);
  });
  const tools = { now: () => new Date(), newId: uuid7, sha256: (text: string) => createHash('sha256').update(text, 'utf8').digest('hex'), seed: () => 1 };
  const house = (companyId: string): Who => ({ companyId, userId: null, name: 'terminal', role: 'house', technicianId: null });
  return {
    perform: createPerform(database, tools, { timeoutMs: 600_000 }), newId: uuid7, now: () => new Date(),
    house: async (slug) => {
      const known = await Promise.all(companies.map(async ({ id }) => ({ id, slug: await database.inCompany({ companyId: id, actorId: null }, async (tx) => (await tx.db.company.findUniqueOrThrow({ where: { id } })).slug) })));
      const found = slug === undefined && known.length === 1 ? known[0] : known.find((one) => one.slug === slug);
      if (!found) throw new WrongUse(`${slug === undefined ? 'there are several companies: name one with --company' : `there is no company '${slug}'`}; accepted: ${known.map((one) => one.slug).join(', ') || 'none yet (company add)'}`);
      return house(found.id);
    },
  };
}

const said = await runCommand(process.argv.slice(2), open);
if (said.out) process.stdout.write(said.out);
if (said.err) process.stderr.write(said.err);
await opened.database?.close();
process.exitCode = said.code;
