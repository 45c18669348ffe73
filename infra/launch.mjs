// Starts the house from its built parts: database, roles, migrations, demo, API + web, worker.
import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readSettings } from '../packages/contracts/dist/index.js';
import { Database, defaultDataRoot, ensureDatabase, freePort, migrate, prepareRoles, startEmbeddedPostgres } from '../packages/database/dist/index.js';
import { DEMO_SIGN_INS, seedDemo } from '../packages/demo/dist/index.js';
import { fail, ROOT, say } from './toolchain.mjs';

const DATABASE_PORT = 54700;
const HEALTHY_WITHIN_MS = 60_000;

export async function launch() {
  let settings;
  try {
    settings = readSettings(process.env);
  } catch (error) {
    fail(error.message);
  }
  const dataRoot = settings.BELLROUND_DATA_DIR ?? defaultDataRoot();
  const stops = [];
  let stopping = false;
  const stop = async (code = 0) => {
    if (stopping) return;
    stopping = true;
    say('stopping');
    for (const one of stops.reverse()) await one().catch((error) => process.stderr.write(`${error.message}\n`));
    say('stopped; the data is kept');
    process.exit(code);
  };
  process.on('SIGINT', () => void stop());
  process.on('SIGTERM', () => void stop());
  process.on('SIGHUP', () => void stop());

  try {
    const secrets = keepSecrets(dataRoot);
    const ownerUrl = await openDatabase(settings, dataRoot, stops);
    say('bringing the database up to date');
    const connections = await prepareRoles(ownerUrl, secrets);
    const applied = await migrate(connections.owner);
    if (applied.length > 0) say(`applied ${applied.length} migrations`);
    const urls = { app: settings.DATABASE_APP_URL ?? connections.app, queue: settings.DATABASE_QUEUE_URL ?? connections.queue };
    const database = Database.open(urls.app, { connections: 4 });
    const companies = await database.outside('select id from door_companies()');
    if (companies.length === 0) {
      say('the database is empty: building the invented demo company');
      await seedDemo(database, { now: new Date(), onProgress: (line) => say(`  ${line}`) });
    }
    await database.close();
    const port = await freePort(settings.PORT);
    if (port !== settings.PORT) say(`port ${settings.PORT} is taken; using ${port}`);
    const publicUrl = settings.PUBLIC_URL ?? `http://${settings.HOST === '0.0.0.0' ? 'localhost' : settings.HOST}:${port}`;
    writeFileSync(join(dataRoot, 'connections.json'), JSON.stringify({ ...urls, owner: connections.owner, url: publicUrl }, null, 2), { mode: 0o600 });
    const env = {
      ...process.env, DATABASE_APP_URL: urls.app, DATABASE_QUEUE_URL: urls.queue, LEDGER_KEY: settings.LEDGER_KEY ?? secrets.ledgerKey,
      PORT: String(port), HOST: settings.HOST, PUBLIC_URL: publicUrl, PICTURES_DIR: settings.PICTURES_DIR ?? join(dataRoot, 'pictures'),
    };
    say('starting API and web, and the worker');
    stops.push(keepRunning('api', env, () => stopping, stop), keepRunning('worker', env, () => stopping, stop));
    if (settings.LISTENER === 'on') stops.push(keepRunning('listener', env, () => stopping, stop, ['cli', 'receivers']));
    await healthy(`http://${settings.HOST === '0.0.0.0' ? '127.0.0.1' : settings.HOST}:${port}/api/health`);
    welcome(publicUrl, settings, dataRoot);
  } catch (error) {
    process.stderr.write(`\n${error.message}\n`);
    await stop(1);
  }
}

/** Passwords of the restricted roles and the ledger's signing key, made once and kept beside the data. */
function keepSecrets(dataRoot) {
  mkdirSync(dataRoot, { recursive: true, mode: 0o755 });
  const file = join(dataRoot, 'secrets.json');
  if (existsSync(file)) return JSON.parse(readFileSync(file, 'utf8'));
  const secrets = { app: randomBytes(24).toString('hex'), queue: randomBytes(24).toString('hex'), ledgerKey: randomBytes(32).toString('hex') };
  writeFileSync(file, JSON.stringify(secrets, null, 2), { mode: 0o600 });
  return secrets;
}

async function openDatabase(settings, dataRoot, stops) {
  if (settings.DATABASE_URL) {
    say('using the Postgres that DATABASE_URL names');
    return settings.DATABASE_URL;
  }
  say(`starting the embedded Postgres 18 (data in ${dataRoot})`);
  const server = await startEmbeddedPostgres({ dataRoot, name: 'postgres', port: DATABASE_PORT, durable: true, onNote: say });
  stops.push(() => server.stop());
  return ensureDatabase(server.url, 'bellround');
}

/**
 * Runs one app; one that ends by itself is started again, and after five times in a minute the house says so and stops. What the
 * listener says (where it listens, a port that was taken) is shown.
 */
function keepRunning(name, env, isStopping, stopAll, [app, ...words] = [name]) {
  let child;
  const ends = [];
  const begin = () => {
    // the channel's only use is to break: an app whose launcher was killed ends by itself
    child = spawn(process.execPath, [join(ROOT, 'apps', app, 'dist', 'main.js'), ...words], { cwd: ROOT, env, stdio: ['ignore', 'pipe', 'inherit', 'ipc'] });
    if (words.length > 0) child.stdout.on('data', (text) => { for (const line of String(text).split('\n').filter(Boolean)) say(`${name}: ${line}`); });
    child.on('exit', (code, signal) => {
      if (isStopping()) return;
      ends.push(Date.now());
      say(`${name} ended (${signal ?? `code ${code}`}); starting it again`);
      if (ends.filter((at) => at > Date.now() - 60_000).length >= 5) {
        process.stderr.write(`${name} ends again and again; its last words are above. The data is safe.\n`);
        void stopAll(1);
      } else {
        setTimeout(() => { if (!isStopping()) begin(); }, 1000);
      }
    });
  };
  begin();
  return () => new Promise((resolve) => {
    if (child.exitCode !== null || child.signalCode !== null) return resolve();
    const kill = setTimeout(() => child.kill('SIGKILL'), 10_000);
    child.once('exit', () => { clearTimeout(kill); resolve(); });
    child.kill('SIGTERM');
  });
}

async function healthy(url) {
  const until = Date.now() + HEALTHY_WITHIN_MS;
  for (;;) {
    const good = await fetch(url).then((answer) => answer.ok, () => false);
    if (good) return;
    if (Date.now() > until) throw new Error(`The API did not become healthy within ${HEALTHY_WITHIN_MS / 1000} s (${url}). Its words are above.`);
    await new Promise((resolve) => setTimeout(resolve, 150));
  }
}

function welcome(url, settings, dataRoot) {
  const mail = settings.SMTP_URL ? 'mails are sent' : 'no mail server is set (SMTP_URL): mails are kept under Messages';
  process.stdout.write([
    '', `  Bellround is ready:  ${url}`, '', '  Sign in to the demo as', ...DEMO_SIGN_INS.map((one) => `    ${one.role.padEnd(11)} ${one.email.padEnd(34)} password: ${one.password}`), '',
    `  ${mail}; queues on ${settings.REDIS_URL ? 'Redis' : 'Postgres'}; data in ${settings.DATABASE_URL ? 'your Postgres' : dataRoot}`,
    '  The demo company is invented. Local codes and licensed practice prevail; this is no alarm-receiving centre.', '  Ctrl-C stops it.', '', ''].join('\n'));
}
