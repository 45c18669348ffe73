// Frames kept by the real receiver in a real database that is restarted under it.
//   node tests/load/receiver.mjs [--frames 100000] [--connections 2000] [--again-ms 5000] [--down-ms 4000]
// Needs the terminal built (`npx -y pnpm@12.4.2 exec turbo run build --filter=@bellround/cli`). A Postgres of its own with writes flushed to
// disk; `bellround listen` in a process of its own; the senders in another. Each sender holds one connection, sends one frame at a time and
// sends it again until it is acknowledged, as a transmitter does. At a third of the frames the database is shut down in order and started
// again; at two thirds it is broken off (SIGQUIT: nothing is flushed, it recovers from its log) and started again. At the end the rows are
// counted in the table and compared frame by frame with what was sent.
import { fork, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { connect } from 'node:net';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import pg from 'pg';
import { ensureDatabase, freePort, migrate, prepareRoles, startEmbeddedPostgres } from '@bellround/database';
import { cutFrames, encodeDc09 } from '@bellround/signals';

const { values } = parseArgs({ options: { frames: { type: 'string', default: '100000' }, connections: { type: 'string', default: '2000' }, 'again-ms': { type: 'string', default: '5000' }, 'down-ms': { type: 'string', default: '4000' }, port: { type: 'string' } } });
const [total, connections, againMs, downMs] = ['frames', 'connections', 'again-ms', 'down-ms'].map((name) => Number(values[name]));
const MAIN = fileURLToPath(new URL('../../apps/cli/dist/main.js', import.meta.url));

const accountOf = (n) => (0x100000 + n).toString(16).toUpperCase();
const countOf = (n) => Math.floor(total / connections) + (n < total % connections ? 1 : 0);
const zoneOf = (i) => String(1 + (i % 999)).padStart(3, '0');
/** Every frame is another: its sequence and time stamp run on. */
const frameOf = (n, i) => encodeDc09({ token: 'ADM-CID', sequence: 1 + (i % 9999), receiver: null, line: '0', account: accountOf(n), data: `#${accountOf(n)}|1131 01 ${zoneOf(i)}`, extensions: [], sentAt: new Date(Date.UTC(2027, 2, 1) + i * 1000).toISOString() });

if (values.port) senders(Number(values.port));
else await measure();

/** Holds every connection to the end; tells its counts ten times a second. */
function senders(port) {
  const counts = { acknowledged: 0, repeated: 0, open: 0, mostOpen: 0, dropped: 0, finished: 0 };
  for (let n = 0; n < connections; n += 1) {
    const socket = connect(port, '127.0.0.1').setEncoding('latin1').setNoDelay(true);
    let [at, rest, timer] = [0, '', null];
    const send = (again) => {
      if (again) counts.repeated += 1;
      socket.write(frameOf(n, at), 'latin1');
      timer = setTimeout(send, againMs, true);
    };
    socket.on('connect', () => {
      counts.open += 1;
      counts.mostOpen = Math.max(counts.mostOpen, counts.open);
      send(false);
    });
    socket.on('error', () => undefined).on('close', () => { counts.open -= 1; counts.dropped += 1; clearTimeout(timer); });
    socket.on('data', (piece) => {
      const cut = cutFrames(rest, piece);
      rest = cut.rest;
      for (const reply of cut.frames) {
        // An answer to an earlier sending of the same frame may come late; only the one that is waited for counts.
        if (!reply.includes(`"ACK"${String(1 + (at % 9999)).padStart(4, '0')}`)) continue;
        clearTimeout(timer);
        counts.acknowledged += 1;
        at += 1;
        if (at < countOf(n)) send(false);
        else counts.finished += 1;
      }
    });
  }
  setInterval(() => process.send(counts), 100);
}

async function measure() {
  const dataRoot = mkdtempSync(join(process.env.BELLROUND_DATA_DIR ?? tmpdir(), 'bellround-load-'));
  spawnSync('chmod', ['755', dataRoot]);
  const port = await freePort(56_400);
  const start = () => startEmbeddedPostgres({ dataRoot, name: 'load', port, durable: true });
  let server = await start();
  const { app } = await prepareRoles(server.url, { app: 'load-app', queue: 'load-queue' });
  const owner = await ensureDatabase(server.url, 'load');
  await migrate(owner);
  const appUrl = new URL(owner);
  [appUrl.username, appUrl.password] = [new URL(app).username, new URL(app).password];
  const env = { ...process.env, DATABASE_APP_URL: appUrl.toString() };
  const added = spawnSync(process.execPath, [MAIN, 'company', 'add', '--slug', 'quillmere', '--name', 'Quillmere Alarm Care', '--tz', 'Europe/Madrid'], { env, encoding: 'utf8' });
  if (added.status !== 0) throw new Error(added.stderr);
  const listenPort = await freePort(12_100);
  const listener = spawn(process.execPath, [MAIN, 'listen', '--port', String(listenPort), '--per-minute', '100000'], { env, stdio: ['ignore', 'pipe', 'inherit'] });
  let said = '';
  await new Promise((resolve, reject) => {
    listener.stdout.on('data', (chunk) => { said += chunk; if (said.includes('listening on')) resolve(); });
    listener.once('exit', (code) => reject(new Error(`the listener ended with ${code}`)));
  });
  const begun = Date.now();
  const child = fork(fileURLToPath(import.meta.url), [...process.argv.slice(2), '--port', String(listenPort)]);
  let counts = { acknowledged: 0, finished: 0 };
  child.on('message', (now) => { counts = now; });
  const until = async (is) => { while (!is()) { if (child.exitCode !== null || listener.exitCode !== null) throw new Error('a process of the measurement ended'); await new Promise((resolve) => { setTimeout(resolve, 50); }); } };
  const seconds = () => ((Date.now() - begun) / 1000).toFixed(1);
  const outages = [];
  for (const [share, how, signal] of [[1 / 3, 'shut down in order', 'SIGINT'], [2 / 3, 'broken off', 'SIGQUIT']]) {
    await until(() => counts.acknowledged >= share * total);
    const before = { ...counts };
    const from = Date.now();
    process.kill(Number(readFileSync(join(server.dataDir, 'postmaster.pid'), 'utf8').split('\n')[0]), signal);
    await server.ended;
    // What was answered before is still read by the senders for a moment.
    await new Promise((resolve) => { setTimeout(resolve, 1000); });
    const quiet = counts.acknowledged;
    await new Promise((resolve) => { setTimeout(resolve, downMs); });
    const during = counts.acknowledged - quiet;
    server = await start();
    outages.push(`at ${before.acknowledged} acknowledged the database was ${how} and was back after ${((Date.now() - from) / 1000).toFixed(1)} s; ${during} frames acknowledged while it was gone`);
  }
  await until(() => counts.finished === connections);
  const took = seconds();
  const held = counts.open;
  child.removeAllListeners('exit');
  child.kill();
  const ended = new Promise((resolve) => { listener.removeAllListeners('exit').once('exit', resolve); });
  const [user, system] = ticksOf(listener.pid);
  listener.kill('SIGTERM');
  await ended;
  const rows = await table(owner);
  await server.discard();
  rmSync(dataRoot, { recursive: true, force: true });
  console.log(`${cpus().length} cores, load average ${loadavg().map((one) => one.toFixed(1)).join(', ')}`);
  console.log(`${connections} connections: ${counts.mostOpen} open at most, ${held} open at the end, ${counts.dropped} lost`);
  for (const outage of outages) console.log(outage);
  console.log(`${counts.acknowledged} of ${total} frames acknowledged in ${took} s with both outages, ${counts.repeated} sendings repeated; the listener used ${(user + system).toFixed(1)} s of processor time`);
  console.log(`in the table: ${rows.n} rows, ${rows.missing} frames missing, ${rows.twice} kept twice, ${rows.strange} that nobody sent`);
  console.log(said.trim().split('\n').at(-1));
  process.exitCode = counts.acknowledged === total && rows.n === total && rows.missing + rows.twice + rows.strange === 0 ? 0 : 1;
}

/** Each frame sent is compared with what is kept of its account. */
async function table(url) {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  const kept = new Map();
  for (const { account_number: account, zone, n } of (await client.query('select account_number, zone, count(*)::int as n from station_event group by 1, 2')).rows) kept.set(`${account} ${zone}`, n);
  const { n, digests } = (await client.query('select count(*)::int as n, count(distinct raw_digest)::int as digests from station_event')).rows[0];
  await client.end();
  let missing = 0;
  let twice = n - digests;
  for (let sender = 0; sender < connections; sender += 1) for (let i = 0; i < countOf(sender); i += 1) {
    const key = `${accountOf(sender)} ${zoneOf(i)}`;
    const left = kept.get(key) ?? 0;
    if (left === 0) missing += 1;
    else kept.set(key, left - 1);
  }
  return { n, missing, twice, strange: [...kept.values()].reduce((sum, left) => sum + left, 0) };
}

/** Seconds of processor time that a process used, of the system's own account; zeros where there is none. */
function ticksOf(pid) {
  try {
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1].split(' ');
    return [Number(fields[11]) / 100, Number(fields[12]) / 100];
  } catch {
    return [0, 0];
  }
}
