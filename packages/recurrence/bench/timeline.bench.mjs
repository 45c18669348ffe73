/**
 * Duties per second of timeline(), each with three years of history, on one core.
 * Build the package first; docs/benchmarks/recurrence.md has the command.
 */
import { performance } from 'node:perf_hooks';
import { addDays, timeline } from '../dist/index.js';

const seed = Number(process.argv[2] ?? 7);
const count = Number(process.argv[3] ?? 200_000);

/** Mulberry32: a small seeded generator, so that every run sees the same fleet. */
function generator(from) {
  let state = from >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const cadences = {
  'since-last 4/6/7 months': { cadence: { kind: 'since-last', min: { months: 4 }, nominal: { months: 6 }, max: { months: 7 } }, proofEveryDays: 182 },
  'since-last annual 9/12/15 months': { cadence: { kind: 'since-last', min: { months: 9 }, nominal: { months: 12 }, max: { months: 15 } }, proofEveryDays: 365 },
  'fixed-month annual': { cadence: { kind: 'fixed-month', everyMonths: 12, dueMonth: 3, dueDay: 'month-end', early: { months: 1 }, late: { months: 1 } }, proofEveryDays: 365 },
  'once-per quarter, 60 days apart': { cadence: { kind: 'once-per', period: 'quarter', minGapDays: 60 }, proofEveryDays: 91 },
  'age 10 years': { cadence: { kind: 'age', years: 10, early: { months: 6 }, late: { days: 0 } }, proofEveryDays: 3650 },
  'extending 1/2/5 years': { cadence: { kind: 'extending', first: { months: 12 }, base: { months: 24 }, extended: { months: 60 }, afterClean: 2, early: { months: 3 }, late: { days: 0 } }, proofEveryDays: 700 },
};

const horizon = '2027-03-01';
const start = '2024-01-01';
console.log(`node ${process.version}, seed ${seed}, ${count} duties of each kind`);
for (const [name, { cadence, proofEveryDays }] of Object.entries(cadences)) {
  const random = generator(seed);
  const histories = Array.from({ length: count }, (_, i) => {
    const from = addDays(start, Math.floor(random() * 60));
    const proofs = [];
    for (let day = proofEveryDays - 20 + Math.floor(random() * 40); day < 1150; day += proofEveryDays - 20 + Math.floor(random() * 40)) {
      proofs.push({ on: addDays(from, day), ref: `c${i}`, clean: true });
    }
    return { cadence, from, basisOn: addDays(from, -10), proofs };
  });
  for (let i = 0; i < 20_000; i += 1) timeline(histories[i % count], horizon);
  const before = performance.now();
  let windows = 0;
  for (const history of histories) windows += timeline(history, horizon).length;
  const seconds = (performance.now() - before) / 1000;
  console.log(`${name.padEnd(34)} ${Math.round(count / seconds).toLocaleString('en-US').padStart(10)} duties/s ${Math.round(windows / seconds).toLocaleString('en-US').padStart(12)} windows/s`);
}
