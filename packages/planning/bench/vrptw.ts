/**
 * node dist/bench/vrptw.js <folder> [--seconds 10] [--threads 1] [--seed 1] [--only a,b] [--out folder] [--bks file] [--clock wall|processor]
 *
 * Solves every Solomon / Gehring-Homberger text file (.txt) and VRPLIB file (.vrp) of a folder and prints distance under
 * the DIMACS convention, vehicles, gap to the best known value and seconds. Best known values: a JSON file with a
 * 'dimacs' table (bks.json in the folder or its parent), or the .sol file beside a .vrp. Each thread has its own seed and
 * goes on from the best that any of them found. --clock processor counts the seconds in which a thread really ran. --out writes the routes as CVRPLIB .sol files.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { parseSolomon, parseVrplib, solveVrptw, vrptwBoardBytes, vrptwFaults, type VrptwInstance, type VrptwSolution } from '@bellround/planning';
import { budget, clockOf, type Clock } from './budget.js';
import { positive, readOptions, runCommand } from './options.js';

interface Task {
  readonly file: string;
  readonly seed: number;
  readonly seconds: number;
  readonly clock: Clock;
  /** Shared by the threads of one instance; null: one thread. */
  readonly board: SharedArrayBuffer | null;
}

function read(file: string): VrptwInstance {
  const text = readFileSync(file, 'utf8');
  return file.endsWith('.vrp') ? parseVrplib(text) : parseSolomon(text);
}

function run(task: Task): VrptwSolution {
  const instance = read(task.file);
  const used = budget(task.seconds, task.clock);
  return solveVrptw(instance, { seed: task.seed, stop: { until: () => used() >= 1, fraction: used }, ...(task.board === null ? {} : { board: task.board }) });
}

function inThread(task: Task): Promise<VrptwSolution> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: task });
    worker.once('message', resolve);
    worker.once('error', reject);
  });
}

function bestKnown(folder: string, file: string, instance: VrptwInstance, bks: string): number | null {
  const sol = file.replace(/\.vrp$/, '.sol');
  if (file.endsWith('.vrp') && existsSync(sol)) {
    const cost = /Cost:?\s*(\d+)/i.exec(readFileSync(sol, 'utf8'));
    return cost === null ? null : Number(cost[1]) / instance.scale;
  }
  const table = [bks, join(folder, 'bks.json'), join(folder, '..', 'bks.json')].find((f) => f !== '' && existsSync(f));
  if (table === undefined) return null;
  const { dimacs } = JSON.parse(readFileSync(table, 'utf8')) as { dimacs: Record<string, number> };
  return dimacs[instance.name] ?? dimacs[instance.name.toUpperCase()] ?? null;
}

function asSol(solution: VrptwSolution): string {
  return `${solution.routes.map((r, i) => `Route #${i + 1}: ${r.clients.join(' ')}`).join('\n')}\nCost ${solution.cost}\n`;
}

async function main(): Promise<void> {
  const { rest, options } = readOptions(process.argv.slice(2), { seconds: '10', threads: '1', seed: '1', only: '', out: '', bks: '', clock: 'wall' });
  const clock = clockOf(options.clock);
  const folder = rest[0];
  if (folder === undefined || !existsSync(folder)) throw new Error(`folder '${folder ?? ''}' not found`);
  const [seconds, threads, seed] = ['seconds', 'threads', 'seed'].map((name) => positive(options, name));
  const only = options.only.toLowerCase().split(',').filter((w) => w !== '');
  const files = readdirSync(folder).filter((f) => /\.(txt|vrp)$/i.test(f)).filter((f) => only.length === 0 || only.includes(basename(f).replace(/\.\w+$/, '').toLowerCase())).sort();
  if (options.out !== '') mkdirSync(options.out, { recursive: true });
  const gaps: number[] = [];
  console.log('instance | cost | vehicles | unserved | best known | gap % | steps | s | faults');
  for (const name of files) {
    const file = join(folder, name);
    const start = Date.now();
    const instance = read(file);
    const board = threads > 1 ? new SharedArrayBuffer(vrptwBoardBytes(instance)) : null;
    const solutions = await Promise.all(Array.from({ length: threads }, (_, i) => inThread({ file, seed: seed + i, seconds, clock, board })));
    const solution = solutions.reduce((a, b) => (b.cost < a.cost ? b : a));
    const known = bestKnown(folder, file, instance, options.bks);
    const gap = known === null ? null : 100 * (solution.cost / known - 1);
    if (gap !== null) gaps.push(gap);
    const faults = vrptwFaults(instance, solution);
    const steps = solutions.reduce((sum, s) => sum + s.iterations, 0);
    console.log([instance.name, solution.cost.toFixed(1), solution.routes.length, solution.unserved.length, known ?? '?', gap?.toFixed(2) ?? '?', steps, ((Date.now() - start) / 1000).toFixed(1), faults.length].join(' | '));
    if (options.out !== '') writeFileSync(join(options.out, `${name.replace(/\.\w+$/, '')}.sol`), asSol(solution));
  }
  if (gaps.length > 0) console.log(`mean gap ${(gaps.reduce((a, b) => a + b, 0) / gaps.length).toFixed(3)} %, worst ${Math.max(...gaps).toFixed(2)} %, ${gaps.length} instances, peak memory ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);
}

const USAGE = 'usage: bench vrptw <folder> [--seconds 10] [--threads 1] [--seed 1] [--only a,b] [--out folder] [--bks file] [--clock wall|processor]';

if (isMainThread) await runCommand(USAGE, main);
else parentPort?.postMessage(run(workerData as Task));
