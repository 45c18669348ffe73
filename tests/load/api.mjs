// Requests a second and latency of the reads that people wait for, on a fleet of a size nobody has yet.
//   node tests/load/api.mjs [--sites 50000] [--devices-per-site 4] [--seconds 20]
// Needs the house built (`npx -y pnpm@12.4.2 exec turbo run build`). The fleet is the invented demo company with that many more sites, on an
// embedded Postgres of its own; the API is the built one, in a process of its own. Prints one JSON line per question.
import { spawn } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { cpus, loadavg, tmpdir, totalmem } from 'node:os';
import { join, resolve } from 'node:path';
import { parseArgs } from 'node:util';
import autocannon from 'autocannon';
import { freePort, nodeTools } from '@bellround/database';
import { DEMO_SEED, DEMO_SIGN_INS, demoCompanies, seedDemo } from '@bellround/demo';
import { applyProgramme, createPerform, importFile, renewStanding } from '@bellround/operations';
import { openBenchHouse } from '../../packages/operations/bench/bench-house.mjs';
import { fleetFiles, opened, writeFile } from '../../packages/operations/bench/big-fleet.mjs';

const { values } = parseArgs({ options: { sites: { type: 'string', default: '50000' }, 'devices-per-site': { type: 'string', default: '4' }, seconds: { type: 'string', default: '20' } } });
const [sites, devicesPerSite, seconds] = [values.sites, values['devices-per-site'], values.seconds].map(Number);
if (![sites, devicesPerSite, seconds].every((n) => Number.isInteger(n) && n > 0)) throw new Error('--sites, --devices-per-site and --seconds take whole numbers above 0');

const note = (text) => process.stderr.write(`${text}\n`);
const timed = async (words, work) => {
  const began = performance.now();
  const answer = await work();
  note(`${words}: ${((performance.now() - began) / 1000).toFixed(1)} s`);
  return answer;
};

const folder = mkdtempSync(join(tmpdir(), 'bellround-load-'));
const house = await openBenchHouse({ name: 'api', port: 56_600 });
let api = null;
try {
  await buildFleet(house.open(4));
  const port = await freePort(4800);
  api = await startApi({ ...process.env, DATABASE_APP_URL: house.connections.app, DATABASE_QUEUE_URL: house.connections.queue, LEDGER_KEY: 'ab'.repeat(32), PORT: String(port), HOST: '127.0.0.1', PUBLIC_URL: `http://127.0.0.1:${port}` });
  await measure(`http://127.0.0.1:${port}`);
} finally {
  if (api) await ended(api);
  await house.discard();
  rmSync(folder, { recursive: true, force: true });
}

async function buildFleet(database) {
  await timed('demo company', () => seedDemo(database, { now: new Date() }));
  const companyId = demoCompanies(DEMO_SEED, new Date().toISOString().slice(0, 10))[0].id;
  const perform = createPerform(database, nodeTools, { timeoutMs: 600_000 });
  const who = { companyId, userId: null, name: 'Load', role: 'house', technicianId: null };
  const inCompany = (sql) => database.inCompany({ companyId, actorId: null }, (tx) => tx.sql(sql));
  await timed(`import of ${sites} sites with ${sites * devicesPerSite} devices`, async () => {
    for (const [kind, file] of Object.entries(fleetFiles(sites, devicesPerSite, 'L'))) {
      const path = join(folder, `${kind}.csv`);
      await writeFile(path, file);
      const runId = randomUUID();
      for (const mode of ['preview', 'keep']) await perform.bulk(importFile, who, { kind, runId, fileName: `${kind}.csv`, mode, file: opened(path) });
    }
  });
  const from = new Date(Date.now() - 3 * 365 * 86_400_000).toISOString().slice(0, 10);
  const programmes = await inCompany(`select id, key from programme`);
  await timed('programmes laid', async () => {
    for (const { id, key } of programmes) await perform.bulk(applyProgramme, who, { programmeId: id, systems: { kinds: [key.split('-')[0]] }, from, dryRun: false });
  });
  await timed('standing of every site', () => renewStanding(perform, who));
  const [counts] = await inCompany(`select (select count(*) from site)::int as sites, (select count(*) from duty)::int as duties, (select count(*) from duty_window)::int as windows, (select count(*) from check_record)::int as checks`);
  await database.close();
  process.stdout.write(`${JSON.stringify({ machine: `${cpus().length} x ${cpus()[0].model}, ${Math.round(totalmem() / 2 ** 30)} GB, Node ${process.version}`, load: loadavg()[0], ...counts })}\n`);
}

function startApi(env) {
  return new Promise((done, failed) => {
    const child = spawn(process.execPath, [resolve(import.meta.dirname, '../../apps/api/dist/main.js')], { env, stdio: ['ignore', 'pipe', 'inherit'] });
    child.stdout.on('data', (chunk) => { if (String(chunk).includes('api listening')) done(child); });
    child.once('exit', (code) => failed(new Error(`the API ended with ${code}`)));
  });
}

function ended(child) {
  return new Promise((done) => { child.once('exit', done); child.kill('SIGTERM'); });
}

async function measure(url) {
  const [owner, dispatcher, technician] = await Promise.all(DEMO_SIGN_INS.map((one) => signIn(url, one)));
  const ask = async (path) => {
    const answer = await fetch(`${url}${path}`, { headers: { cookie: owner } });
    if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
    return answer.json();
  };
  const list = await ask('/api/standing?limit=50');
  const visits = await ask('/api/visits?limit=1&state=published');
  const questions = [
    ['standing list, first page', '/api/standing?limit=50', owner, 4],
    ['standing list, found by typing', '/api/standing?limit=50&search=Site%204711', owner, 4],
    ['overdue list, first page', '/api/overdue?limit=50', dispatcher, 4],
    ['one site, its duties and windows', `/api/sites/${list.rows[0].siteId}/standing`, owner, 10],
    ['a visit, all that work on site needs', `/api/visits/${visits.rows[0].id}`, technician, 10],
    ["a technician's round", '/api/my-round', technician, 10],
  ];
  for (const [name, path, cookie, connections] of questions) {
    const one = await autocannon({ url: `${url}${path}`, connections, duration: seconds, timeout: 60, headers: { cookie } });
    const { p50, p97_5: p975, p99, max } = one.latency;
    process.stdout.write(`${JSON.stringify({ question: name, path: path.replaceAll(/[0-9a-f-]{36}/g, ':id'), connections, requests: one.requests.total, perSecond: one.requests.average, p50, p97_5: p975, p99, max, bytes: Math.round(one.throughput.total / Math.max(1, one.requests.total)), not2xx: one.non2xx, errors: one.errors })}\n`);
  }
}

async function signIn(url, { email, password }) {
  const answer = await fetch(`${url}/api/sign-in`, { method: 'POST', headers: { 'content-type': 'application/json', origin: url }, body: JSON.stringify({ email, password }) });
  if (!answer.ok) throw new Error(`sign in: ${answer.status} ${await answer.text()}`);
  return answer.headers.getSetCookie().map((one) => one.split(';')[0]).join('; ');
}
