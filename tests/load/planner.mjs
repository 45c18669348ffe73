// How long a dispatcher waits for a week of forty technicians and twelve hundred visits, through HTTP: the plan as a job of the worker with its live
// progress, a plan that is cancelled, the best places for an urgent visit, one technician away; and whether others are answered meanwhile.
//   node tests/load/planner.mjs [--technicians 40] [--visits 1200] [--seconds 15] [--asks 20]
// Needs the house built (`npx -y pnpm@12.4.2 exec turbo run build`). A company of nothing but so many technicians and visits, on an embedded Postgres of
// its own; API and worker are the built ones, in processes of their own. Prints one JSON line per question: wall time, and processor time of the API.
import { spawn } from 'node:child_process';
import { createHash, randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { freePort } from '@bellround/database';
import { exampleWeek } from '@bellround/planning';
import { openBenchHouse } from '../../packages/operations/bench/bench-house.mjs';

const { values } = parseArgs({ options: { technicians: { type: 'string', default: '40' }, visits: { type: 'string', default: '1200' }, seconds: { type: 'string', default: '15' }, asks: { type: 'string', default: '20' } } });
const [technicians, visits, seconds, asks] = ['technicians', 'visits', 'seconds', 'asks'].map((name) => Number(values[name]));
if (![technicians, visits, seconds, asks].every((n) => Number.isInteger(n) && n > 0)) throw new Error('--technicians, --visits, --seconds and --asks take whole numbers above 0');

/** Of the one session; only its digest is in the database. */
const SECRET = 'load-of-a-planner';
const house = await openBenchHouse({ name: 'planner', port: 56_640 });
const started = [];
try {
  const week = await build(house.open(4));
  const port = await freePort(4810);
  const env = { ...process.env, DATABASE_APP_URL: house.connections.app, DATABASE_QUEUE_URL: house.connections.queue, LEDGER_KEY: 'ab'.repeat(32), PORT: String(port), HOST: '127.0.0.1', PUBLIC_URL: `http://127.0.0.1:${port}` };
  const api = await start('api', 'api listening', env);
  const worker = await start('worker', 'worker ready', env);
  const ask = asker(`http://127.0.0.1:${port}`);
  const planId = await plan(ask, week.monday, worker);
  await cancelled(ask, week.monday);
  await questions(ask, week, planId, api);
} finally {
  for (const one of started) await new Promise((done) => { if (one.exitCode !== null) done(); else { one.once('exit', done); one.kill('SIGTERM'); } });
  await house.discard();
}

/** A company with its technicians and its visits of next week. */
async function build(database) {
  const companyId = randomUUID();
  const now = new Date();
  const monday = new Date(now.getTime() + ((8 - (now.getUTCDay() || 7)) % 7 || 7) * 86_400_000).toISOString().slice(0, 10);
  const invented = exampleWeek({ technicians, visits, seed: 1 });
  const random = lcg(1);
  const at = () => ({ lat: 40 + 0.5 * random(), lon: -3.5 + 0.7 * random() });
  const everyDay = (from, to) => [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from, to }));
  const sites = Array.from({ length: visits }, () => ({ id: randomUUID(), ...at() }));
  await database.inCompany({ companyId, actorId: null }, async ({ db }) => {
    const [clientId, userId] = [randomUUID(), randomUUID()];
    await db.company.create({ data: { id: companyId, slug: 'load', name: 'Load', timeZone: 'Europe/Madrid', createdAt: now } });
    await db.client.create({ data: { companyId, id: clientId, externalKey: 'LOAD', name: 'Load', createdAt: now } });
    await db.user.create({ data: { companyId, id: userId, email: 'load@quillmere.example', name: 'Dispatcher', role: 'dispatcher', passwordHash: 'none', createdAt: now } });
    await db.session.create({ data: { companyId, id: randomUUID(), userId, tokenHash: createHash('sha256').update(SECRET, 'utf8').digest('hex'), createdAt: now, expiresAt: new Date(now.getTime() + 86_400_000) } });
    await db.technician.createMany({ data: Array.from({ length: technicians }, (_, n) => ({ companyId, id: randomUUID(), externalKey: `LOAD-T${n}`, name: `Load ${n}`, timeZone: 'Europe/Madrid', shifts: everyDay('08:00', '17:00').map((one) => ({ ...one, breakMin: 30 })), skills: n % 3 === 0 ? ['fire', 'intrusion'] : n % 3 === 1 ? ['intrusion'] : ['fire'], homeLat: at().lat, homeLon: at().lon, maxOvertimeMin: 45, createdAt: now })) });
    await db.site.createMany({ data: sites.map((one, n) => ({ companyId, id: one.id, clientId, externalKey: `LOAD-${n}`, name: `Load ${n}`, address: `${n} Example Road`, lat: one.lat, lon: one.lon, timeZone: 'Europe/Madrid', occupancy: 'shop', accessHours: everyDay(n % 4 === 0 ? '13:00' : '08:00', n % 5 === 0 ? '12:30' : '18:00').filter((hours) => hours.from < hours.to), createdAt: now })) });
    await db.visit.createMany({ data: sites.map((one, n) => ({ companyId, id: randomUUID(), siteId: one.id, kind: 'urgent', state: 'wanted', title: 'Load', serviceMin: invented.visits[n % invented.visits.length]?.serviceMin ?? 60, skills: n % 2 === 0 ? ['intrusion'] : ['fire'], createdAt: now })) });
  });
  await database.outside('select refresh_statistics()');
  await database.close();
  return { monday, sites };
}

function start(app, ready, env) {
  return new Promise((done, failed) => {
    const child = spawn(process.execPath, [resolve(import.meta.dirname, `../../apps/${app}/dist/main.js`)], { env, stdio: ['ignore', 'pipe', 'inherit'] });
    started.push(child);
    child.stdout.on('data', (chunk) => { if (String(chunk).includes(ready)) done(child); });
    child.once('exit', (code) => failed(new Error(`${app} ended with ${code}`)));
  });
}

function asker(url) {
  const cookie = `bellround_session=${SECRET}`;
  return async (method, path, body) => {
    const answer = await fetch(`${url}${path}`, { method, headers: { cookie, origin: url, ...(body ? { 'content-type': 'application/json' } : {}) }, ...(body ? { body: JSON.stringify(body) } : {}) });
    const text = await answer.text();
    if (!answer.ok) throw new Error(`${path}: ${answer.status} ${text.slice(0, 500)}`);
    return JSON.parse(text);
  };
}

function tell(line) {
  process.stdout.write(`${JSON.stringify({ ...line, load: Math.round(loadavg()[0]) })}\n`);
}

function told(list) {
  const sorted = list.toSorted((a, b) => a - b);
  return { median: Math.round(sorted[sorted.length >> 1]), worst: Math.round(sorted.at(-1)) };
}

async function headOf(ask, monday, planId) {
  return (await ask('GET', `/api/weeks/${monday}?planId=${planId}`)).plans.find((one) => one.id === planId);
}

/** Starts a plan and looks at it until `enough`; the last look, all looks, and how long another person's list took meanwhile. */
async function watched(ask, monday, of, enough) {
  const planId = randomUUID();
  const began = performance.now();
  await ask('POST', `/api/weeks/${monday}/plans`, { weekStart: monday, planId, seed: 1, seconds: of });
  const [looks, meanwhile] = [[], []];
  for (;;) {
    const asked = performance.now();
    await ask('GET', '/api/visits?limit=50');
    meanwhile.push(performance.now() - asked);
    const head = await headOf(ask, monday, planId);
    looks.push(head);
    if (enough(head) || performance.now() - began > (of + 600) * 1000) return { planId, head, looks, meanwhile, wallS: (performance.now() - began) / 1000 };
    await new Promise((done) => { setTimeout(done, 250); });
  }
}

async function plan(ask, monday, worker) {
  const { planId, head, looks, meanwhile, wallS } = await watched(ask, monday, seconds, (one) => one.state !== 'computing');
  if (head.state !== 'draft') throw new Error(`the plan is ${head.state}`);
  const progress = new Set(looks.filter((one) => one.state === 'computing' && one.progress?.iterations > 0).map((one) => JSON.stringify(one.progress)));
  tell({ question: 'a plan as a job of the worker', technicians, visits, cores: cpus().length, node: process.version, searchS: seconds, wallS: Math.round(wallS * 10) / 10, placed: head.placed, leftOut: head.unplaced, progressSeen: progress.size, workerPeakMB: peakMB(worker) });
  tell({ question: 'a list of visits while the worker plans', times: meanwhile.length, wallMs: told(meanwhile) });
  return planId;
}

/** A second plan is cancelled as soon as it has found something; its best so far is kept. */
async function cancelled(ask, monday) {
  const { planId, head } = await watched(ask, monday, 120, (one) => one.state !== 'computing' || one.progress?.iterations > 0);
  const began = performance.now();
  await ask('POST', `/api/plans/${planId}/cancel`, {});
  let kept = head;
  while (kept.placed === 0 && performance.now() - began < 120_000) {
    await new Promise((done) => { setTimeout(done, 100); });
    kept = await headOf(ask, monday, planId);
  }
  tell({ question: 'cancelled after its first finding', secondsUsed: head.progress?.seconds ?? null, wallMsUntilKept: Math.round(performance.now() - began), state: kept.state, placed: kept.placed });
}

async function questions(ask, { monday, sites }, planId, api) {
  const question = async (name, one) => {
    await one(0); // code is loaded and warmed by the first
    const [wall, processor] = [[], []];
    for (let n = 1; n <= asks; n += 1) {
      const [began, before] = [performance.now(), processorMs(api)];
      await one(n);
      wall.push(performance.now() - began);
      processor.push(processorMs(api) - before);
    }
    tell({ question: name, times: asks, wallMs: told(wall), processorMs: told(processor) });
  };
  const { rounds } = await ask('GET', `/api/weeks/${monday}?planId=${planId}`);
  const busy = rounds.filter((round) => round.day === monday && round.stops.length > 0);
  await question('best places for one urgent visit', (n) => ask('POST', `/api/plans/${planId}/rank-urgent`, { siteId: sites[(n * 37) % sites.length].id, serviceMin: 60, skills: ['intrusion'], persons: 1, byDay: null }));
  await question('one technician away, repaired', (n) => ask('POST', `/api/plans/${planId}/ask`, { question: { kind: 'away', technicianId: busy[n % busy.length].technicianId, fromDay: monday, toDay: monday, reason: 'sick' } }));
}

/** Most memory the process held (VmHWM), in MB. */
function peakMB(child) {
  return Math.round(Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'))[1]) / 1024);
}

/** Processor time of the API's process and its threads (fields 14 and 15 of its stat, in hundredths of a second). */
function processorMs(api) {
  const fields = readFileSync(`/proc/${api.pid}/stat`, 'utf8').split(') ')[1].split(' ');
  return 10 * (Number(fields[11]) + Number(fields[12]));
}

function lcg(seed) {
  let state = seed;
  return () => { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; return state / 2 ** 32; };
}
