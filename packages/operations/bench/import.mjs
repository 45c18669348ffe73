// Rows per second and peak memory of importing a fleet, on an embedded Postgres of its own.
//   node packages/operations/bench/import.mjs [--sites 50000] [--devices-per-site 8] [--keep <folder>]
// Needs the packages built (`npx -y pnpm@12.4.2 exec turbo run build`). The files are invented from a counter: the same numbers, the same bytes.
// --keep leaves the CSV files in <folder>, for trying them by hand. Prints one JSON line per file.
import { randomUUID } from 'node:crypto';
import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { cpus, tmpdir, totalmem } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { nodeTools } from '../../database/dist/index.js';
import { createPerform, exportFleet, importFile } from '../dist/index.js';
import { importKind } from '../../contracts/dist/index.js';
import { openBenchHouse } from './bench-house.mjs';
import { fleetFiles, opened, writeFile } from './big-fleet.mjs';

const { values } = parseArgs({ options: { sites: { type: 'string', default: '50000' }, 'devices-per-site': { type: 'string', default: '8' }, keep: { type: 'string' } } });
const SITES = Number(values.sites);
const PER_SITE = Number(values['devices-per-site']);
if (![SITES, PER_SITE].every((n) => Number.isInteger(n) && n > 0)) throw new Error('--sites and --devices-per-site take whole numbers above 0');

/** Runs `work` while reading this process's memory ten times a second. */
async function measured(work) {
  let peak = 0;
  const timer = setInterval(() => { peak = Math.max(peak, process.memoryUsage().rss); }, 100);
  const began = performance.now();
  try {
    const answer = await work();
    return { answer, seconds: (performance.now() - began) / 1000, peakMb: Math.round(Math.max(peak, process.memoryUsage().rss) / 2 ** 20) };
  } finally { clearInterval(timer); }
}

const folder = values.keep ?? mkdtempSync(join(tmpdir(), 'bellround-import-'));
mkdirSync(folder, { recursive: true });
const house = await openBenchHouse({ name: 'import', port: 56_500 });
try {
  const database = house.open(4);
  const companyId = randomUUID();
  await database.inCompany({ companyId, actorId: null }, (tx) => tx.db.company.create({ data: { id: companyId, slug: 'bench', name: 'Bench', timeZone: 'Europe/Madrid', createdAt: new Date() } }));
  const perform = createPerform(database, nodeTools);
  const who = { companyId, userId: null, name: 'Bench', role: 'house', technicianId: null };
  process.stderr.write(`${cpus().length} x ${cpus()[0].model}, ${Math.round(totalmem() / 2 ** 30)} GB, Node ${process.version}; ${SITES} sites, ${SITES * PER_SITE} devices\n`);
  const say = (line) => process.stdout.write(`${JSON.stringify(line)}\n`);
  const run = async (kind, step, mode, runId, path) => {
    const { answer, seconds, peakMb } = await measured(() => perform.bulk(importFile, who, { kind, runId, fileName: `${kind}.csv`, mode, file: opened(path) }));
    say({ kind, step, rows: answer.rowsRead, seconds: Number(seconds.toFixed(2)), rowsPerSecond: Math.round(answer.rowsRead / seconds), peakMb, new: answer.rowsNew, changed: answer.rowsChanged, same: answer.rowsSame, held: answer.rowsHeld });
  };
  for (const [kind, file] of Object.entries(fleetFiles(SITES, PER_SITE))) {
    const path = join(folder, `${kind}.csv`);
    await writeFile(path, file);
    say({ kind, file: `${(statSync(path).size / 2 ** 20).toFixed(1)} MB`, title: importKind(kind).title });
    const first = randomUUID();
    await run(kind, 'preview', 'preview', first, path);
    await run(kind, 'keep', 'keep', first, path);
  }
  const again = randomUUID();
  const devices = join(folder, 'devices.csv');
  await run('devices', 'preview of the same file', 'preview', again, devices);
  await run('devices', 'keep of the same file', 'keep', again, devices);
  let bytes = 0;
  const out = await measured(() => perform.bulk(exportFleet, who, { kind: 'devices', write: async (piece) => { bytes += piece.length; } }));
  say({ kind: 'devices', step: 'export', rows: SITES * PER_SITE, seconds: Number(out.seconds.toFixed(2)), megabytes: Number((bytes / 2 ** 20).toFixed(1)), peakMb: out.peakMb });
  await database.close();
} finally {
  await house.discard();
  if (!values.keep) rmSync(folder, { recursive: true, force: true });
}
