// Seconds and peak memory of the sweep that makes every duty's windows, and of the nights after, when some hundreds of checks were recorded and
// the calendar turned; on an embedded Postgres of its own, 12 duties a site with two to four years of checks behind them.
//   node packages/operations/bench/sweep.mjs [--sites 100000] [--region ES-MD] [--gate]
// --gate waits for a line on standard input after the fleet was written, so that the sweep can begin when the machine is idle.
// Needs the packages built (`npx -y pnpm@12.4.2 exec turbo run build`). The fleet is invented from a counter. Prints one JSON line per step.
import { randomUUID } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { cpus, loadavg, totalmem } from 'node:os';
import { parseArgs } from 'node:util';
import { nodeTools } from '../../database/dist/index.js';
import { createPerform, nightlySweep, refreshSiteStanding, renewStanding } from '../dist/index.js';
import { openBenchHouse } from './bench-house.mjs';

const pg = createRequire(new URL('../../database/package.json', import.meta.url))('pg');

const { values } = parseArgs({ options: { sites: { type: 'string', default: '100000' }, region: { type: 'string' }, gate: { type: 'boolean', default: false } } });
const SITES = Number(values.sites);
const CHECKS_A_DAY = 400;
if (!Number.isInteger(SITES) || SITES < 1) throw new Error('--sites takes a whole number above 0');

const since = (min, nominal, max) => ({ kind: 'since-last', min: { months: min }, nominal: { months: nominal }, max: { months: max } });
const CADENCES = [
  ...Array.from({ length: 6 }, () => since(9, 12, 15)), since(4, 6, 8), since(4, 6, 8), since(2, 3, 4),
  { kind: 'once-per', period: 'quarter', minGapDays: 30 }, { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } }, { kind: 'once-per', period: 'month', minGapDays: 0 },
];
const rules = CADENCES.map((cadence, n) => ({
  key: `rule-${n + 1}`, title: `Duty ${n + 1}`, subject: 'system', applies: {}, cadence, basis: 'none', checkKinds: [`kind-${n + 1}`], meets: 'any', completeWithinDays: 14, credits: 'working', minEvidence: 'B', minutes: 10,
  skills: [], licences: [], by: 'technician', remotely: false, sounds: n % 3 === 0, mandated: true, reminderStagesDays: [30], source: { clause: 'example', provenance: 'company rule' },
}));

// Processor seconds of the database's processes, those that ended included (Linux: /proc). Wall time on a shared machine says little.
const TICKS = 100;
let postmaster = 0;
function databaseSeconds() {
  let ticks = 0;
  for (const pid of readdirSync('/proc')) {
    if (!/^\d+$/.test(pid)) continue;
    try {
      const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').replace(/^.*\) /s, '').split(' ');
      if (Number(pid) === postmaster) ticks += fields.slice(11, 15).reduce((sum, one) => sum + Number(one), 0);
      else if (Number(fields[1]) === postmaster) ticks += Number(fields[11]) + Number(fields[12]);
    } catch { /* it ended meanwhile: the postmaster has its time */ }
  }
  return ticks / TICKS;
}
const rounded = (value) => Number(value.toFixed(2));

/** Runs `work` while reading this process's memory ten times a second. */
async function measured(step, work) {
  let peak = 0;
  const timer = setInterval(() => { peak = Math.max(peak, process.memoryUsage().rss); }, 100);
  const [began, own, database] = [performance.now(), process.cpuUsage(), databaseSeconds()];
  try {
    const answer = await work();
    const seconds = (performance.now() - began) / 1000;
    const { user, system } = process.cpuUsage(own);
    process.stdout.write(`${JSON.stringify({ step, seconds: rounded(seconds), processorOwn: rounded((user + system) / 1e6), processorDatabase: rounded(databaseSeconds() - database),
      peakMb: Math.round(Math.max(peak, process.memoryUsage().rss) / 2 ** 20), load: Number(loadavg()[0].toFixed(1)), ...answer })}\n`);
  } finally { clearInterval(timer); }
}

/** The fleet, one statement a table. */
async function fill(database, companyId) {
  const programmeId = randomUUID();
  const body = { key: 'bench', version: 1, title: 'Bench', regime: { kind: 'company', name: 'Bench', edition: '' }, systemKinds: ['intrusion'], caution: 'Example.', source: 'company rule', checkedOn: null, rules };
  await database.inCompany({ companyId, actorId: null }, async ({ db, sql }) => {
    await db.company.create({ data: { id: companyId, slug: 'bench', name: 'Bench', timeZone: 'Europe/Madrid', createdAt: new Date(), settings: values.region ? { holidayRegion: values.region } : {} } });
    const clientId = randomUUID();
    await db.client.create({ data: { companyId, id: clientId, externalKey: 'C', name: 'Client', createdAt: new Date() } });
    await db.programme.create({ data: { companyId, id: programmeId, key: 'bench', version: 1, title: 'Bench', body, createdAt: new Date() } });
    await sql(`insert into site (company_id, id, external_key, client_id, name, address, time_zone, occupancy, access_hours, created_at)
      select current_company(), new_uuid7(now()), 'S-' || n, $1::uuid, 'Site ' || n, n || ' Mill Lane', 'Europe/Madrid', 'shop', '[]', now() from generate_series(1, $2::int) n`, [clientId, SITES]);
    await sql(`insert into system (company_id, id, external_key, site_id, kind, name, created_at) select current_company(), new_uuid7(now()), 'Y' || external_key, id, 'intrusion', 'Main', now() from site where company_id = current_company()`);
    await sql(`insert into programme_application (company_id, id, programme_id, system_id, valid_from, applied_at) select current_company(), new_uuid7(now()), $1::uuid, id, date '2024-01-01', timestamptz '2024-01-01' from system where company_id = current_company()`, [programmeId]);
    await sql(`insert into duty (company_id, id, application_id, site_id, system_id, subject_kind, subject_id, rule_key, title, regime, mandated, cadence, check_kinds, minutes, valid_from)
      select current_company(), new_uuid7(now()), a.id, y.site_id, y.id, 'system', y.id, 'rule-' || n, 'Duty ' || n, 'Bench', true, ($1::jsonb)->(n - 1), array['kind-' || n], 10, date '2024-01-01'
      from programme_application a join system y on y.company_id = a.company_id and y.id = a.system_id cross join generate_series(1, 12) n where a.company_id = current_company()`, [JSON.stringify(CADENCES)]);
    // Checks as often as each duty asks, a few days off by the counter.
    await sql(`insert into check_record (company_id, id, body_digest, site_id, system_id, subject_kind, subject_id, check_kind, performed_on, performed_at, recorded_at, verdict, computed_verdict, reason, evidence, source)
      select current_company(), new_uuid7(now()), '', y.site_id, y.id, 'system', y.id, 'kind-' || n, d, d, d, 'pass', 'pass', 'works', 'B', 'field'
      from (select y.*, row_number() over (order by y.id) as no from system y where y.company_id = current_company()) y cross join generate_series(1, 12) n
        cross join lateral (select (date '2024-01-10' + (y.no % 300)::int + k * (array[365,365,365,365,365,365,182,182,91,91,365,183])[n]) as d from generate_series(0, 12) k) s
      where d <= date '2026-11-20'`);
    await sql('select refresh_statistics()::text');
  }, { timeoutMs: 3_600_000 });
}

const house = await openBenchHouse({ name: 'sweep', port: 56_700 });
try {
  const database = house.open(4);
  const [{ pid }] = await database.outside('select pg_backend_pid() as pid');
  postmaster = Number(readFileSync(`/proc/${pid}/stat`, 'utf8').replace(/^.*\) /s, '').split(' ')[1]);
  const companyId = randomUUID();
  const who = { companyId, userId: null, name: 'Bench', role: 'house', technicianId: null };
  process.stderr.write(`${cpus().length} x ${cpus()[0].model}, ${Math.round(totalmem() / 2 ** 30)} GB, Node ${process.version}; ${SITES} sites, ${SITES * 12} duties\n`);
  await measured('fleet written', async () => { await fill(database, companyId); return {}; });
  // What the database does by itself within a minute or two after such an import, so that it does not do so in the middle of a measurement.
  await measured('tidied by the database', async () => {
    const owner = new pg.Client({ connectionString: house.connections.owner });
    await owner.connect();
    await owner.query('vacuum analyze');
    await owner.end();
    return {};
  });
  if (values.gate) {
    process.stderr.write('fleet written; a line on standard input begins the sweep\n');
    await new Promise((go) => { process.stdin.once('data', go); });
    process.stdin.unref();
  }
  const performAt = (now) => createPerform(database, { ...nodeTools, now: () => new Date(now) }, { timeoutMs: 600_000 });
  const sweep = async (now, how) => {
    const { duties, dutiesWritten, windowsWritten } = await renewStanding(performAt(now), who, { how });
    return { duties, dutiesWritten, windowsWritten };
  };
  // As the worker does it at a quarter past one: first the windows that the calendar turned, then what is told of them.
  const night = async (now, day) => {
    const turned = await sweep(now, 'turned');
    const { opened, lapsed, reminders } = await performAt(now)(nightlySweep, who, { day });
    return { ...turned, opened, lapsed, reminders };
  };
  // Checks of a working day, each with the refresh of its site that recording one ends with.
  const record = async (day) => {
    const sites = await database.inCompany({ companyId, actorId: null }, ({ sql }) => sql(`insert into check_record (company_id, id, body_digest, site_id, system_id, subject_kind, subject_id, check_kind, performed_on, performed_at, recorded_at, verdict, computed_verdict, reason, evidence, source)
      select current_company(), new_uuid7(now()), '', site_id, id, 'system', id, 'kind-' || 1 + no % 12, $1::date, $1::date, $1::date, 'pass', 'pass', 'works', 'B', 'field'
      from (select y.*, row_number() over (order by y.id) as no from system y where y.company_id = current_company() order by y.id limit $2) y returning site_id as "siteId"`, [day, CHECKS_A_DAY]));
    const total = { checks: sites.length, dutiesWritten: 0 };
    for (const { siteId } of sites) total.dutiesWritten += (await performAt(`${day}T12:00:00Z`)(refreshSiteStanding, who, { siteId })).dutiesWritten;
    return total;
  };
  await measured('first sweep: every window written', () => sweep('2026-11-24T23:30:00Z', 'changed'));
  await measured('whole sweep again: nothing changed', () => sweep('2026-11-24T23:40:00Z', 'changed'));
  await measured('the first night, with all reminders that are owed by then', () => night('2026-11-25T00:15:00Z', '2026-11-25'));
  await measured(`the day after: ${CHECKS_A_DAY} checks recorded, one by one`, () => record('2026-11-25'));
  await measured('an ordinary night', () => night('2026-11-26T00:15:00Z', '2026-11-26'));
  await measured('a night at the turn of a month', () => night('2026-12-01T00:15:00Z', '2026-12-01'));
  await database.close();
} finally {
  await house.discard();
}
