// What the home screens cost to open, and whether Standing scrolls, in Chromium on a fleet of ten thousand sites.
//   node tests/load/web.mjs [--sites 10000] [--runs 3]
// Needs the house built (`npx -y pnpm@12.4.2 exec turbo run build`) and Chromium. The fleet is the invented demo company, its sites copied with
// eight duties each and all their windows until there are that many, on an embedded Postgres of its own. Prints one JSON line per measurement.
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { cpus, loadavg, totalmem } from 'node:os';
import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import pg from 'pg';
import { chromium } from 'playwright-core';
import { freePort } from '@bellround/database';
import { DEMO_SIGN_INS, seedDemo } from '@bellround/demo';
import { openBenchHouse } from '../../packages/operations/bench/bench-house.mjs';

const { values } = parseArgs({ options: { sites: { type: 'string', default: '10000' }, runs: { type: 'string', default: '3' } } });
const [sites, runs] = [Number(values.sites), Number(values.runs)];
const executablePath = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
if (!executablePath) throw new Error('Chromium is not on this machine; install it (Debian: apt-get install chromium) and run again');
// A desk's line and a phone's line: bits a second and milliseconds there and back.
const LINE = { downloadThroughput: (10 * 1024 * 1024) / 8, uploadThroughput: (2 * 1024 * 1024) / 8, latency: 40 };
const SLOWDOWN = 4;
const HOMES = [
  { who: 'owner', path: '/standing', size: { width: 1440, height: 1000 }, ready: '.standing-body .cell-site a' },
  { who: 'dispatcher', path: '/week', size: { width: 1440, height: 1000 }, ready: 'main h1' },
  { who: 'technician', path: '/my-round', size: { width: 390, height: 844 }, ready: 'main h1' },
];

const house = await openBenchHouse({ name: 'web', port: 56_700, durable: false });
let api = null;
let browser = null;
try {
  const { connections } = house;
  const database = house.open(2);
  await seedDemo(database, { now: new Date() });
  await database.close();
  await widen(connections.owner);
  const port = await freePort(4900);
  api = await startApi({ ...process.env, DATABASE_APP_URL: connections.app, DATABASE_QUEUE_URL: connections.queue, LEDGER_KEY: 'ab'.repeat(32), PORT: String(port), HOST: '127.0.0.1', PUBLIC_URL: `http://127.0.0.1:${port}` });
  browser = await chromium.launch({ executablePath, args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'] });
  const url = `http://127.0.0.1:${port}`;
  for (const home of HOMES) for (let run = 1; run <= runs; run += 1) await firstLoad(url, home, run);
  for (let run = 1; run <= runs; run += 1) await scrolling(url, run);
} finally {
  await browser?.close();
  if (api) await new Promise((done) => { api.once('exit', done); api.kill('SIGTERM'); });
  await house.discard();
}

/** Copies sites of the largest company with eight duties each, and the windows of those. */
async function widen(ownerUrl) {
  const client = new pg.Client({ connectionString: ownerUrl });
  // A failed statement is told by its own error; the line that the stopping server cuts afterwards is not.
  client.on('error', () => undefined);
  await client.connect();
  const company = (await client.query('select company_id::text as id, count(*)::int as n from site group by 1 order by 2 desc limit 1')).rows[0];
  const columns = async (table, other) => (await client.query('select column_name as name from information_schema.columns where table_name = $1 and is_generated = \'NEVER\' order by ordinal_position', [table])).rows.map(({ name }) => ({ name: `"${name}"`, value: other[name] ?? `o."${name}"` }));
  const copy = async (table, other, from) => {
    const all = await columns(table, other);
    await client.query(`insert into ${table} (${all.map((one) => one.name).join(', ')}) select ${all.map((one) => one.value).join(', ')} from ${from}`);
  };
  await client.query('set session_replication_role = replica');
  await client.query(`create temp table sites_made as select s.id as old, gen_random_uuid() as id, k from site s cross join generate_series(1, ${Math.ceil(sites / company.n)}) k where s.company_id = '${company.id}' order by k limit ${Math.max(0, sites - company.n)}`);
  await client.query(`create temp table duties_chosen as select id, site_id from (select d.id, d.site_id, row_number() over (partition by d.site_id order by d.id) as n from duty d where d.company_id = '${company.id}') x where n <= 8`);
  await client.query('create temp table duties_made as select d.id as old, gen_random_uuid() as id, m.id as site from duties_chosen d join sites_made m on m.old = d.site_id');
  await copy('site', { id: 'm.id', external_key: "o.external_key || '-' || m.k", name: "o.name || ' ' || m.k" }, 'site o join sites_made m on m.old = o.id');
  await copy('duty', { id: 'm.id', site_id: 'm.site', subject_kind: "'system'", subject_id: 'gen_random_uuid()' }, 'duty o join duties_made m on m.old = o.id');
  await copy('duty_timeline', { duty_id: 'm.id', site_id: 'm.site' }, 'duty_timeline o join duties_made m on m.old = o.duty_id');
  await client.query('set session_replication_role = default');
  await client.query('analyze');
  const counts = (await client.query('select (select count(*)::int from site where company_id = $1) as sites, (select count(*)::int from duty where company_id = $1) as duties, (select count(*)::int from duty_window where company_id = $1) as windows', [company.id])).rows[0];
  await client.end();
  say({ machine: `${cpus().length} x ${cpus()[0].model}, ${Math.round(totalmem() / 2 ** 30)} GB, Node ${process.version}`, load: loadavg()[0], ...counts });
}

function startApi(env) {
  return new Promise((done, failed) => {
    const child = spawn(process.execPath, [resolve(import.meta.dirname, '../../apps/api/dist/main.js')], { env, stdio: ['ignore', 'pipe', 'inherit'] });
    child.stdout.on('data', (chunk) => { if (String(chunk).includes('api listening')) done(child); });
    child.once('exit', (code) => failed(new Error(`the API ended with ${code}`)));
  });
}

async function signedIn(url, who, size) {
  const context = await browser.newContext({ viewport: size, serviceWorkers: 'block' });
  const { email, password } = DEMO_SIGN_INS.find((one) => one.role === who);
  const answer = await context.request.post(`${url}/api/sign-in`, { data: { email, password } });
  if (!answer.ok()) throw new Error(`sign in: ${answer.status()} ${await answer.text()}`);
  return context;
}

/** First visit with nothing kept, on a slowed processor and line: bytes on the wire, and when the screen can be used. */
async function firstLoad(url, { who, path, size, ready }, run) {
  const context = await signedIn(url, who, size);
  const page = await context.newPage();
  const cdp = await context.newCDPSession(page);
  const kinds = new Map();
  const bytes = {};
  // Processor time of the page's own thread: what it costs whatever else the machine does.
  await cdp.send('Performance.enable', { timeDomain: 'threadTicks' });
  await cdp.send('Network.enable');
  await cdp.send('Network.emulateNetworkConditions', { offline: false, ...LINE });
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: SLOWDOWN });
  cdp.on('Network.responseReceived', (event) => kinds.set(event.requestId, event.type));
  cdp.on('Network.loadingFinished', (event) => { const kind = kinds.get(event.requestId) ?? 'Other'; bytes[kind] = (bytes[kind] ?? 0) + event.encodedDataLength; });
  const began = performance.now();
  await page.goto(`${url}${path}`, { waitUntil: 'commit' });
  await page.locator(ready).first().waitFor();
  const usableMs = Math.round(performance.now() - began);
  const threadMs = await threadTime(cdp);
  await page.waitForTimeout(1500);
  say({ screen: path, run, usableMs, threadMs: Math.round(threadMs), scriptBytes: Math.round(bytes.Script ?? 0), styleBytes: Math.round(bytes.Stylesheet ?? 0), fontBytes: Math.round(bytes.Font ?? 0), dataBytes: Math.round((bytes.Fetch ?? 0) + (bytes.XHR ?? 0)), allBytes: Math.round(Object.values(bytes).reduce((sum, n) => sum + n, 0)) });
  await context.close();
}

/** Milliseconds of processor time that the page's thread has spent on tasks. */
async function threadTime(cdp) {
  const { metrics } = await cdp.send('Performance.getMetrics');
  return 1000 * metrics.find((one) => one.name === 'TaskDuration').value;
}

/** Scrolls for ten seconds at the pace of a fast hand; runs in the page. */
async function scrollTenSeconds() {
  const gaps = [];
  const pxPerMs = 2.4;
  let last = 0;
  let slowest = 0;
  await new Promise((done) => {
    const begin = performance.now();
    const frame = (now) => {
      if (last > 0) { const gap = now - last; gaps.push(gap); slowest = Math.max(slowest, gap); window.scrollBy(0, pxPerMs * gap); }
      last = now;
      if (now - begin > 10_000) done(undefined); else requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
  });
  // A frame is dropped for each sixtieth of a second that passed without one.
  const dropped = gaps.reduce((sum, gap) => sum + Math.max(0, Math.round(gap / (1000 / 60)) - 1), 0);
  return { frames: gaps.length, dropped, slowestMs: Math.round(slowest), scrolledPx: Math.round(window.scrollY), rowsInPage: document.querySelectorAll('.standing-body > [role=row]').length };
  }

/** Turns the wheel through Standing for ten seconds, as a hand does; counts frames that came late, and the rows with a strip at the end. */
async function scrolling(url, run) {
  const context = await signedIn(url, 'owner', { width: 1440, height: 1000 });
  const page = await context.newPage();
  await page.goto(`${url}/standing`);
  await page.locator('.standing-body .cell-site a').first().waitFor();
  await page.waitForTimeout(1500);
  const total = Number(await page.locator('.standing-table').getAttribute('aria-rowcount')) - 1;
  const cdp = await context.newCDPSession(page);
  await cdp.send('Performance.enable', { timeDomain: 'threadTicks' });
  const before = await threadTime(cdp);
  const result = await page.evaluate(scrollTenSeconds);
  const threadMsPerFrame = ((await threadTime(cdp)) - before) / result.frames;
  await page.evaluate(() => window.scrollTo(0, document.body.scrollHeight));
  await page.locator(`[aria-rowindex="${total + 1}"] [role=img]`).waitFor({ timeout: 30_000 });
  say({ screen: '/standing', what: 'scrolling 10 s at 2400 px/s', run, sites: total, ...result, droppedShare: Number((result.dropped / (result.frames + result.dropped)).toFixed(4)), threadMsPerFrame: Number(threadMsPerFrame.toFixed(2)), lastRowDrawn: true });
  // The same hand on a page that draws nothing: the frames that the machine drops by itself at this moment.
  await page.goto('about:blank');
  await page.evaluate(() => { document.body.style.height = '900000px'; });
  const blank = await page.evaluate(scrollTenSeconds);
  say({ screen: 'an empty page', what: 'the same scrolling', run, ...blank, droppedShare: Number((blank.dropped / (blank.frames + blank.dropped)).toFixed(4)) });
  await context.close();
}

function say(line) {
  process.stdout.write(`${JSON.stringify(line)}\n`);
}
