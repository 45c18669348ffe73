/**
 * Times full scoring of a fleet, the fit, and one site again. Build first: `npx -y pnpm@12.4.2 exec turbo run build --filter=@bellround/risk`, then
 * `node packages/risk/bench/score-fleet.mjs [sites] [threads] [seed]` (100000, 2, 1).
 */
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { fitModel, scoreSite, scoreSites, whatIf } from '../dist/index.js';
import { history, random, site, TODAY } from './fleet.mjs';

const when = (_, at) => ({ today: TODAY, nextProofDay: TODAY + 20 + (at % 300) });

if (isMainThread) await main();
else work();

async function main() {
  const [sites = 100_000, threads = 2, seed = 1] = process.argv.slice(2).map(Number);
  console.log(`node ${process.version}, ${sites} sites x 12 components, ${threads} threads, seed ${seed}`);
  const [started, cpu] = [performance.now(), process.cpuUsage()];
  const parts = await Promise.all(Array.from({ length: threads }, (_, part) => run({ sites: Math.ceil(sites / threads), seed: seed + part })));
  console.log(`scoring, all of it with shares, reasons, links and curve: ${seconds(Math.max(...parts.map((part) => part.ms)))} (with making the fleet ${seconds(performance.now() - started)}, ${seconds(cpuMs(cpu))} of processor)`);
  console.log(`  ${parts.reduce((sum, part) => sum + part.shares, 0)} shares, mean score ${(parts.reduce((sum, part) => sum + part.mean, 0) / threads).toFixed(2)}`);
  // Before the fits: a process that scores one site again does not hold a fleet's records.
  single(fitModel(history(1000, random(seed))), random(seed + 99));
  fitted('clean', history(sites, random(seed)));
  fitted('5 % of verdicts wrong', history(sites, random(seed), 0.05));
}

function fitted(words, records) {
  const rows = records.reduce((sum, one) => sum + one.perComponent.length + one.lives.length, 0);
  const [began, before] = [performance.now(), process.cpuUsage()];
  fitModel(records);
  console.log(`fit on ${rows} component records, ${words}: ${seconds(performance.now() - began)} (${seconds(cpuMs(before))} of processor)`);
}

function single(model, next) {
  const all = Array.from({ length: 500 }, (_, at) => site(at, next));
  const times = (f) => {
    const taken = all.map((one, at) => {
      const from = performance.now();
      f(one, at);
      return performance.now() - from;
    });
    // The first half warms the engine up.
    const sorted = taken.slice(250).sort((a, b) => a - b);
    return `median ${sorted[125].toFixed(3)} ms, p99 ${sorted[247].toFixed(3)} ms`;
  };
  console.log(`one site again, with what each gap would change: ${times((one, at) => scoreSite(model, one, when(one, at)))}`);
  console.log(`one what-if (replace the battery): ${times((one, at) => whatIf(model, one, { kind: 'replace-component', systemId: 's', componentId: 'c1' }, when(one, at)))}`);
}

function run(data) {
  return new Promise((resolve, reject) => new Worker(new URL(import.meta.url), { workerData: data }).once('message', resolve).once('error', reject));
}

function work() {
  const next = random(workerData.seed);
  const model = fitModel([]);
  let [ms, shares, scores] = [0, 0, 0];
  // By slices, as the worker process does: a fleet is never in memory at once.
  for (let from = 0; from < workerData.sites; from += 1000) {
    const slice = Array.from({ length: Math.min(1000, workerData.sites - from) }, (_, at) => site(from + at, next));
    const started = performance.now();
    const scored = scoreSites(model, slice, when);
    ms += performance.now() - started;
    for (const one of scored) {
      shares += one.shares.length;
      scores += one.score;
    }
  }
  parentPort.postMessage({ ms, shares, mean: scores / workerData.sites });
}

function seconds(ms) {
  return `${(ms / 1000).toFixed(2)} s`;
}

// Processor time of all threads: what the machine's other work cannot distort.
function cpuMs(since) {
  const { user, system } = process.cpuUsage(since);
  return (user + system) / 1000;
}
