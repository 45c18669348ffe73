/**
 * node dist/bench/capacity.js [--people 8] [--demands 900] [--weeks 52] [--runs 100] [--seed 1]
 *
 * An invented year: work by skill and area, leave, sickness, a season of breakdowns, a licence that ends. Prints the forecast with its
 * ranges, the first lapses by skill and area, people needed, the effect of a hire, a training and a loss, minutes learned from an invented
 * history, and the back-test of forecasts against years played with the same truth.
 */
import { backTestCapacity, forecastCapacity, learnMinutes, playCapacity, staffingEffects, staffNeeded, type Demand, type Person, type Uncertainty } from '@bellround/planning';
import { positive, readOptions, runCommand } from './options.js';

const SKILLS = [['intrusion'], ['fire'], ['fire', 'intrusion']] as const;
const AREAS = ['north', 'south'] as const;

/** A whole number from a place in a row: invented, the same every time. */
function drawn(i: number, below: number): number {
  return (Math.imul(i + 1, 2_654_435_761) >>> 8) % below;
}

function invented(people: number, demands: number, weeks: number, seed: number): { demand: Demand[]; staff: Person[]; uncertainty: Uncertainty } {
  const demand = Array.from({ length: demands }, (_, i): Demand => {
    const opensWeek = drawn(seed * 7919 + i, weeks);
    return { id: `d${seed}-${i}`, skills: SKILLS[drawn(i, 3)], area: AREAS[drawn(i * 3, 2)], opensWeek, closesWeek: Math.min(weeks - 1, opensWeek + 2 + drawn(i * 5, 6)), minutes: 40 + 5 * drawn(i * 7, 30) };
  });
  const load = demand.reduce((sum, d) => sum + d.minutes, 0) * 1.25;
  const staff = Array.from({ length: people }, (_, i): Person => ({
    id: `p${i + 1}`, skills: i % 3 === 0 ? ['intrusion'] : ['fire', 'intrusion'], area: AREAS[i % 2], minutesPerWeek: Math.round(load / weeks / people / 0.75), weeksOff: [20 + (i % 8), 21 + (i % 8)],
    ...(i === 1 ? { skillEnds: { fire: Math.floor(weeks / 2) } } : {}),
  }));
  const breakdownMinutes = Array.from({ length: 52 }, (_, w) => (w < 8 || w > 46 ? 600 : 250));
  return { demand, staff, uncertainty: { noAccess: 0.12, repeat: 0.08, sick: 0.04, minutesSpread: 0.35, breakdownMinutes, leaveWeeks: 2 } };
}

async function main(): Promise<void> {
  const { options } = readOptions(process.argv.slice(2), { people: '8', demands: '900', weeks: '52', runs: '100', seed: '1' });
  const [people, demands, weeks, runs, seed] = ['people', 'demands', 'weeks', 'runs', 'seed'].map((name) => positive(options, name));
  const year = invented(people, demands, weeks, seed);
  const begun = Date.now();
  const f = forecastCapacity(year.demand, year.staff, year.uncertainty, { weeks, runs, seed });
  console.log(`chance of a lapse within ${weeks} weeks ${Math.round(100 * f.lapseChance)} %, lapses begin in week ${f.lapsesBegin ?? 'none'}; ${runs} futures in ${((Date.now() - begun) / 1000).toFixed(1)} s`);
  console.log('week | needed p10-p50-p90 | available p10-p50-p90 | chance of a lapse');
  const range = (r: { p10: number; p50: number; p90: number }): string => `${r.p10}-${r.p50}-${r.p90}`;
  for (const w of f.weeks.filter((x) => x.week % 4 === 0)) console.log([w.week, range(w.neededMin), range(w.availableMin), w.lapseChance.toFixed(2)].join(' | '));
  for (const g of f.groups) console.log(`${g.skills}, ${g.area ?? 'everywhere'}: ${g.lapses.toFixed(2)} lapses, begin in week ${g.lapsesBegin ?? 'none'}`);
  const pattern = { ...year.staff[1], id: 'new', weeksOff: [] };
  const needed = staffNeeded(year.demand, year.staff, year.uncertainty, pattern, 0.1, { weeks, runs: Math.ceil(runs / 4), seed });
  console.log(`people to add for a chance of at most 10 %: ${needed.added ?? 'more than 10'}, then ${Math.round(100 * needed.lapseChance)} %`);
  const effects = staffingEffects(year.demand, year.staff, year.uncertainty, { hire: pattern }, { weeks, runs: Math.ceil(runs / 4), seed });
  for (const c of effects.changes) console.log(`${c.words}: ${c.change >= 0 ? '+' : ''}${c.change.toFixed(2)} lapses`);
  const history = year.demand.flatMap((d, i) => (i % 9 === 0 ? [{ kind: `${d.skills.join('+')} ${d.area ?? ''}`, minutes: 30 + drawn(i, 90) }] : []));
  for (const l of learnMinutes(history, ['a kind never made'])) console.log(`${l.kind}: ${l.visits} visits, mean ${l.rawMin.toFixed(0)}, to plan with ${l.minutes.toFixed(0)} (own weight ${l.ownWeight.toFixed(2)}, spread ${l.spread.toFixed(2)})`);
  const past = Array.from({ length: 6 }, (_, k) => {
    const then = invented(people, demands, weeks, seed + 100 + k);
    const came = playCapacity(then.demand, then.staff, then.uncertainty, { weeks, seed: 77_000 + k }).map((w) => ({ neededMin: w.needed, lapsed: w.lapsed.length > 0 }));
    return { demand: then.demand, people: then.staff, uncertainty: then.uncertainty, came };
  });
  const test = backTestCapacity(past, { runs: Math.ceil(runs / 2), seed });
  console.log(`back-test over ${test.weeks} weeks: ${Math.round(100 * test.within)} % inside p10-p90, Brier ${test.brier.toFixed(3)} (always the past share: ${test.brierOfShare.toFixed(3)})`);
  for (const c of test.calibration) console.log(`  said ${c.said.toFixed(2)}, came ${c.came.toFixed(2)}, ${c.weeks} weeks`);
}

await runCommand('usage: bench capacity [--people 8] [--demands 900] [--weeks 52] [--runs 100] [--seed 1]', main);
