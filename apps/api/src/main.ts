import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readSettings, type Role } from '@bellround/contracts';
import { Database, defaultDataRoot, isUnreachable, nodeTools } from '@bellround/database';
import { createPerform, type Compute, type Tools } from '@bellround/operations';
import { buildApp } from './door/app.js';
import type { Door, SignInCandidate } from './door/door.js';
import { openPictureStore } from './pictures/open-picture-store.js';
import { StoreUnreachable, type PictureStore } from './pictures/picture-store.js';
import { openThreads } from './planning/week-threads.js';

/** Opens the database and builds what controllers use. `tools` is replaceable so that tests can set the clock, `compute` so that they need no threads. */
export async function openDoor(database: Database, settings: ReturnType<typeof readSettings>, compute: Compute, pictures: PictureStore, tools: Tools = nodeTools): Promise<Door & { close(): Promise<void> }> {
  const watchers = new Map<string, Set<(about: string, siteId: string | null) => void>>();
  const tell = (company: string, about: string, site: string | null) => watchers.get(company)?.forEach((one) => one(about, site));
  const listener = await database.listen(({ company, about, site }) => tell(company, about, site), () => watchers.forEach((_, company) => tell(company, 'everything', null)));
  return {
    perform: createPerform(database, tools), compute, pictures, tools, settings,
    sessionOf: async (hash) => {
      const [row] = await database.outside<{ company_id: string; user_id: string; user_name: string; role: Role; technician_id: string | null }>('select * from door_session($1, $2)', [hash, tools.now()]);
      return row ? { hash, who: { companyId: row.company_id, userId: row.user_id, name: row.user_name, role: row.role, technicianId: row.technician_id } } : null;
    },
    signInCandidates: async (email) => (await database.outside<Record<string, string>>('select * from door_sign_in($1)', [email])).map((row) => ({
      companyId: row['company_id'], companySlug: row['company_slug'], companyName: row['company_name'], userId: row['user_id'], passwordHash: row['password_hash'] }) as SignInCandidate),
    feedOf: async (hash) => {
      const [row] = await database.outside<{ company_id: string; feed_id: string; technician_id: string }>('select * from door_feed($1)', [hash]);
      return row ? { companyId: row.company_id, feedId: row.feed_id, technicianId: row.technician_id } : null;
    },
    auditorOf: async (hash) => {
      const [row] = await database.outside<{ company_id: string; link_id: string }>('select * from door_auditor($1, $2)', [hash, tools.now()]);
      return row ? { companyId: row.company_id, linkId: row.link_id } : null;
    },
    badTries: async (key, since) => (await database.outside<{ n: number }>('select count(*)::int as n from sign_in_attempt where key = $1 and at > $2 and not good', [key, since]))[0]!.n,
    recordTry: async (key, good) => {
      await database.outside('insert into sign_in_attempt (key, at, good) values ($1, $2, $3)', [key, tools.now(), good]);
      // a good sign-in clears the count of its e-mail
      if (good) await database.outside('delete from sign_in_attempt where key = $1 and not good', [key]);
    },
    watch: (companyId, onNotice) => {
      const set = watchers.get(companyId) ?? new Set();
      watchers.set(companyId, set.add(onNotice));
      return () => { set.delete(onNotice); if (set.size === 0) watchers.delete(companyId); };
    },
    unreachable: (error) => isUnreachable(error) || error instanceof StoreUnreachable,
    alive: async () => { await database.outside('select 1'); },
    close: async () => { await listener.stop(); },
  };
}

async function main(): Promise<void> {
  const settings = readSettings(process.env);
  if (!settings.DATABASE_APP_URL) throw new Error('DATABASE_APP_URL is missing. Start with `npm start`, which prepares the database and the restricted role.');
  const pictures = await openPictureStore(settings, settings.BELLROUND_DATA_DIR ?? defaultDataRoot());
  await pictures.requireUsable();
  const database = Database.open(settings.DATABASE_APP_URL, { connections: 16 });
  const threads = openThreads();
  const door = await openDoor(database, settings, threads.compute, pictures);
  const built = settings.WEB_DIR ?? fileURLToPath(new URL('../../web/dist', import.meta.url));
  const app = await buildApp(door, existsSync(built) ? built : null);
  await app.listen(settings.PORT, settings.HOST);
  process.stdout.write(`api listening on ${settings.HOST}:${settings.PORT}\n`);
  const stop = async () => { await app.close(); await threads.close(); await door.close(); await database.close(); pictures.close(); process.exit(0); };
  process.once('SIGTERM', () => void stop());
  process.once('SIGINT', () => void stop());
  // started by the launcher and the launcher was killed: nobody else will end this process
  process.once('disconnect', () => { setTimeout(() => process.exit(1), 10_000).unref(); void stop(); });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  main().catch((error: unknown) => { process.stderr.write(`${(error as Error).message}\n`); process.exit(1); });
}
