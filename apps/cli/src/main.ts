import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readSettings } from '@bellround/contracts';
import { Database, defaultDataRoot, nodeTools, openRoads } from '@bellround/database';
import { createPerform, type Act, type BulkAct, type Perform, type Who } from '@bellround/operations';
import { WrongUse, type Terminal } from './act.js';
import { runCommand } from './command-line.js';

/** DATABASE_APP_URL, or what the launcher wrote for the house that runs here. */
function appUrl(): string {
  if (process.env['DATABASE_APP_URL']) return process.env['DATABASE_APP_URL'];
  const file = join(defaultDataRoot(), 'connections.json');
  if (!existsSync(file)) throw new WrongUse('no house runs here: start it with `npm start` in another terminal, or set DATABASE_APP_URL');
  return (JSON.parse(readFileSync(file, 'utf8')) as { app: string }).app;
}

// Standard error is for problems only: a library's notice about its own future is none.
process.noDeprecation = true;

// A reader that has seen enough (`| head`) closes the pipe: that is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

interface House { readonly database: Database; readonly perform: Perform; readonly companies: readonly { id: string; slug: string; name: string; timeZone: string }[] }

const tools = { ...nodeTools, seed: () => 1 };

async function open(): Promise<House> {
  const database = Database.open(appUrl(), { connections: 3 });
  try {
    const ids = await database.outside<{ id: string }>('select id::text from door_companies()');
    const companies = [];
    for (const { id } of ids) companies.push(await database.inCompany({ companyId: id, actorId: null }, (tx) => tx.db.company.findUniqueOrThrow({ where: { id }, select: { id: true, slug: true, name: true, timeZone: true } })));
    return { database, companies, perform: createPerform(database, tools, { timeoutMs: 600_000 }) };
  } catch (error) {
    await database.close();
    throw new WrongUse(`the database does not answer (${(error as Error).message}): start the house with \`npm start\``);
  }
}

let opened: Promise<House> | undefined;
const house = (): Promise<House> => (opened ??= open());

const terminal: Terminal = {
  newId: tools.newId, now: tools.now, roads: () => openRoads(readSettings(process.env)),
  companies: async () => (await house()).companies.map(({ slug, name, timeZone }) => ({ slug, name, timeZone })),
  perform: Object.assign(
    async <I, O>(act: Act<I, O>, who: Who, input: I) => (await house()).perform(act, who, input),
    { bulk: async <I, O>(act: BulkAct<I, O>, who: Who, input: I) => (await house()).perform.bulk(act, who, input) },
  ),
  house: async (slug) => {
    const { companies } = await house();
    const found = slug === undefined && companies.length === 1 ? companies[0] : companies.find((one) => one.slug === slug);
    if (!found) throw new WrongUse(`${slug === undefined ? 'name the company with --company' : `there is no company '${slug}'`}; accepted: ${companies.map((one) => one.slug).join(', ') || 'none yet (company add)'}`);
    return { companyId: found.id, userId: null, name: 'terminal', role: 'house', technicianId: null };
  },
  standing: {
    houses: async () => (await (await house()).database.outside<{ id: string }>('select id::text from door_companies()')).map(({ id }) => ({ companyId: id, userId: null, name: 'listener', role: 'house' as const, technicianId: null })),
    follow: async (about, onChange) => {
      const listening = await (await house()).database.listen((notice) => { if (notice.about === about) onChange(); }, onChange);
      return () => listening.stop();
    },
    secret,
  },
};

/** CODE_KEY or LEDGER_KEY, or what the launcher keeps for the house that runs here. */
function secret(): string | null {
  const { CODE_KEY, LEDGER_KEY } = readSettings(process.env);
  if (CODE_KEY ?? LEDGER_KEY) return CODE_KEY ?? LEDGER_KEY ?? null;
  const file = join(defaultDataRoot(), 'secrets.json');
  return existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as { ledgerKey: string }).ledgerKey : null;
}

const said = await runCommand(process.argv.slice(2), terminal);
if (said.out) process.stdout.write(said.out);
if (said.err) process.stderr.write(said.err);
await opened?.then(({ database }) => database.close(), () => undefined);
process.exitCode = said.code;
