// The zipper on a large visit, and gaps of a fleet's history. Run after building: node packages/signals/bench/zip.bench.mjs
import { findGaps, stationIncidents, zip } from '../dist/index.js';

const base = Date.UTC(2027, 2, 1, 9);
const at = (s) => new Date(base + s * 1000).toISOString();
const timed = (words, run) => {
  const times = Array.from({ length: 5 }, () => {
    const start = process.hrtime.bigint();
    run();
    return Number(process.hrtime.bigint() - start) / 1e6;
  }).sort((a, b) => a - b);
  console.log(`${words}: ${times[2].toFixed(1)} ms (median of 5)`);
};
for (const [steps, noise] of [[14, 50], [100, 500], [300, 3000]]) {
  const tripped = Array.from({ length: steps }, (_, i) => ({ id: `s${i}`, at: at(i * 20), account: '4711', zone: `${i + 1}`, text: `zone ${i + 1}`, limitS: 90, kinds: ['intrusion'] }));
  const heard = [
    ...tripped.filter((_, i) => i % 17 !== 3).map((step, i) => ({ id: `e${i}`, at: new Date(Date.parse(step.at) + 37_000 + (i % 5) * 1000).toISOString(), account: '4711', zone: step.zone, text: step.text, kind: 'intrusion' })),
    ...Array.from({ length: noise }, (_, i) => ({ id: `n${i}`, at: at((i * 7919) % (steps * 20)), account: '4711', zone: `${(i * 31) % 900}`, kind: i % 3 === 0 ? 'opening' : 'intrusion' })),
  ];
  let right = 0;
  timed(`zip ${steps} steps with ${heard.length} arrivals`, () => { right = zip(tripped, heard).steps.filter((s) => s.verdict === 'right').length; });
  console.log(`  ${right} right`);
}
const paths = Array.from({ length: 10_000 }, (_, p) => ({ account: `A${p}`, receiver: `${p % 8}`, heard: Array.from({ length: 200 }, (_, d) => new Date(base + d * 86_400_000 + p).toISOString()).filter((_, d) => !(p % 8 === 2 && d === 100) && !(p % 97 === 5 && d > 150)) }));
const now = new Date(base + 200 * 86_400_000).toISOString();
let gaps = [];
timed('gaps of 10,000 paths with 200 signals each', () => { gaps = paths.flatMap((p) => findGaps(p.heard, { intervalH: 24, graceH: 1 }, now).gaps.map((gap) => ({ account: p.account, receiver: p.receiver, from: gap.from, to: gap.to }))); });
let found;
timed(`incidents among ${gaps.length} gaps`, () => { found = stationIncidents(gaps, Object.fromEntries(Array.from({ length: 8 }, (_, r) => [`${r}`, 1250]))); });
console.log(`  ${found.incidents.length} incidents of ${found.incidents.map((one) => one.accounts.length).join(', ')} accounts, ${found.apart.length} apart`);
