/**
 * node dist/bench/week.js [--technicians 40] [--visits 1200] [--seed 1] [--seconds 5,15,60] [--threads 1] [--out folder] [--clock wall|processor]
 *   [--weeks 1] [--extras yes|no]
 *
 * Makes a rich weekly problem (exampleWeek), solves it from scratch for each number of seconds, and prints what was
 * served, lapses, exposure removed, travel and overtime, with the independent checker's verdict; then the times of the
 * dispatcher's questions. --out writes problem.json and plan-<s>.json (the types WeekProblem and WeekPlan).
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { bestPlaces, checkPlan, exampleWeek, mergeBest, moveEffect, nearestNeighbour, checkIdentities, expandVisits, repairAbsence, solve, termValue, weekBoardBytes, type WeekPlan, type WeekProblem } from '@bellround/planning';
import { budget, clockOf, type Clock } from './budget.js';
import { positive, readOptions, runCommand } from './options.js';

interface Task {
  readonly problem: WeekProblem;
  readonly seed: number;
  readonly seconds: number;
  readonly clock: Clock;
  readonly board: SharedArrayBuffer | null;
}

function run({ problem, seed, seconds, clock, board }: Task): WeekPlan {
  const used = budget(seconds, clock);
  return solve(problem, { seed, stop: { until: () => used() >= 1, fraction: used }, ...(board === null ? {} : { board }) });
}

function inThread(task: Task): Promise<WeekPlan> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: task });
    worker.once('message', resolve);
    worker.once('error', reject);
  });
}

function line(original: WeekProblem, problem: WeekProblem, label: string, plan: WeekPlan, seconds: number): string {
  const value = (name: Parameters<typeof termValue>[1]): string => String(Math.round(100 * termValue(plan.cost, name)) / 100);
  const all = problem.visits.reduce((sum, v) => sum + (v.prize ?? 1), 0);
  const served = problem.visits.filter((v) => v.errand === undefined).length - plan.unplaced.length;
  const removed = Math.round(100 * (all - termValue(plan.cost, 'exposure'))) / 100;
  return [label, served, value('lapses'), removed, value('exposure'), value('overtime'), value('travel'), value('balance'), seconds.toFixed(1), checkPlan(problem, plan).length + checkIdentities(original, plan).length].join(' | ');
}

/** Wall time, and the processor time that it took (what a quiet machine would need). */
function timed<T>(label: string, times: number, act: () => T): void {
  const wall: number[] = [];
  const cpu: number[] = [];
  for (let i = 0; i < times; i++) {
    const start = performance.now();
    const before = process.cpuUsage();
    act();
    const used = process.cpuUsage(before);
    cpu.push((used.user + used.system) / 1000);
    wall.push(performance.now() - start);
  }
  const words = (all: number[]): string => {
    all.sort((a, b) => a - b);
    return `median ${all[all.length >> 1].toFixed(0)} ms, worst ${all[all.length - 1].toFixed(0)} ms`;
  };
  console.log(`${label}: ${words(wall)}; processor ${words(cpu)}; ${times} times`);
}

async function main(): Promise<void> {
  const { options } = readOptions(process.argv.slice(2), { technicians: '40', visits: '1200', seed: '1', seconds: '5,15,60', threads: '1', out: '', clock: 'wall', weeks: '1', extras: 'no' });
  const clock = clockOf(options.clock);
  const [technicians, visits, seed, threads] = ['technicians', 'visits', 'seed', 'threads'].map((name) => positive(options, name));
  const original = exampleWeek({ technicians, visits, seed, days: 5 * positive(options, 'weeks'), extras: options.extras === 'yes' });
  const problem = expandVisits(original);
  if (options.out !== '') {
    mkdirSync(options.out, { recursive: true });
    writeFileSync(join(options.out, 'problem.json'), JSON.stringify(problem));
  }
  console.log('plan | served | lapses | exposure removed | exposure left | overtime min | travel min | balance | s | violations');
  if (visits <= 3000) {
    const start = Date.now();
    const yardstick = nearestNeighbour(problem);
    console.log(line(original, problem, 'nearest neighbour', yardstick, (Date.now() - start) / 1000));
  }
  let last: WeekPlan | null = null;
  for (const seconds of options.seconds.split(',').map(Number)) {
    const start = Date.now();
    const board = threads === 1 ? null : new SharedArrayBuffer(weekBoardBytes(problem));
    // one thread: no copy of the travel matrix, which is the largest thing here
    const plans = threads === 1 ? [run({ problem, seed, seconds, clock, board: null })] : await Promise.all(Array.from({ length: threads }, (_, i) => inThread({ problem, seed: seed + i, seconds, clock, board })));
    last = mergeBest(problem, plans);
    console.log(line(original, problem, `${seconds} s`, last, (Date.now() - start) / 1000));
    if (options.out !== '') writeFileSync(join(options.out, `plan-${seconds}.json`), JSON.stringify(last));
  }
  if (last !== null && visits <= 3000) questions(problem, last);
  console.log(`peak memory ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);
}

function questions(problem: WeekProblem, plan: WeekPlan): void {
  const pattern = problem.visits[0];
  const urgent = { ...pattern, id: 'urgent', persons: 1 as const, windows: problem.days.map((day) => ({ day, startMin: 480, endMin: 1020 })), skills: ['intrusion'], licences: [] };
  timed('best places for one urgent visit', 15, () => bestPlaces(problem, plan, urgent));
  const round = plan.rounds[0];
  timed('effect of one move', 15, () => moveEffect(problem, plan, { visitId: round.stops[0].visitId, technicianId: plan.rounds[1].technicianId, day: plan.rounds[1].day, position: 0 }));
  timed('one technician away today', 5, () => repairAbsence(problem, plan, round.technicianId, round.day, round.day));
}

const USAGE = 'usage: bench week [--technicians 40] [--visits 1200] [--seed 1] [--seconds 5,15,60] [--threads 1] [--out folder] [--clock wall|processor] [--weeks 1] [--extras yes|no]';

if (isMainThread) await runCommand(USAGE, main);
else parentPort?.postMessage(run(workerData as Task));
