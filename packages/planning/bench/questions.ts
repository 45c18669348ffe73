/**
 * node dist/bench/questions.js [--technicians 8] [--visits 120] [--seed 1] [--iterations 1500] [--weeks 1] [--problem file.json]
 *
 * Plans a rich week (exampleWeek with extras, or a WeekProblem from a JSON file) and asks it every question of a dispatcher: bad-day finish,
 * notice to give, parts of one visit, why here, squeeze, slack for breakdowns, two drafts side by side, and the repairs of disruptions.
 */
import { readFileSync } from 'node:fs';
import {
  affectedBy, checkIdentities, checkPlan, daysFor, exampleWeek, expandVisits, finishTimes, forceIn, identitiesOf, keepSlack, noticesDue, repairAbsence, repairClosed, repairOverrun, repairTravel, sideBySide, solve, squeezeWeek,
  termValue, whyHere, type Repair, type WeekPlan, type WeekProblem,
} from '@bellround/planning';
import { positive, readOptions, runCommand } from './options.js';

const clock = (min: number): string => `${String(Math.floor(min / 60)).padStart(2, '0')}:${String(Math.round(min % 60)).padStart(2, '0')}`;
const say = (title: string, lines: readonly string[], most = 6): void => {
  console.log(`\n${title}`);
  for (const l of lines.slice(0, most)) console.log(`  ${l}`);
  if (lines.length > most) console.log(`  and ${lines.length - most} more`);
};

async function main(): Promise<void> {
  const { options } = readOptions(process.argv.slice(2), { technicians: '8', visits: '120', seed: '1', iterations: '1500', weeks: '1', problem: '' });
  const [technicians, visits, seed, iterations, weeks] = ['technicians', 'visits', 'seed', 'iterations', 'weeks'].map((name) => positive(options, name));
  const original = options.problem === '' ? exampleWeek({ technicians, visits, seed, days: 5 * weeks, extras: true }) : JSON.parse(readFileSync(options.problem, 'utf8')) as WeekProblem;
  const week = expandVisits(original);
  const plan = solve(week, { seed, stop: { iterations } });
  say('Plan', [...plan.cost.map((t) => t.words), `${plan.unplaced.length} left out; broken rules ${checkPlan(week, plan).length + checkIdentities(original, plan).length}`], 9);
  say('Left out', plan.unplaced.map((u) => `${u.visitId}: ${u.reason.words}`), 4);
  facts(original, week, plan);
  const other = solve(week, { seed: seed + 1, stop: { iterations }, from: { rounds: [] } });
  const side = sideBySide(week, plan, other);
  say('Another draft beside it', [...side.terms.map((t) => `${t.name}: ${t.a} and ${t.b}`), `${side.moved.length} visits elsewhere, ${side.onlyA.length} only in the first, ${side.onlyB.length} only in the other`], 9);
  disruptions(week, plan);
}

function facts(original: WeekProblem, week: WeekProblem, plan: WeekPlan): void {
  const late = [...finishTimes(week, plan, { seed: 1 }).rounds].sort((a, b) => b.overLimitChance - a.overLimitChance);
  say('Finish, worst first', late.map((r) => `${r.technicianId} ${r.day}: planned ${clock(r.plannedMin)}, expected ${clock(r.expectedMin)}, bad day ${clock(r.badDayMin)}, past the limit ${Math.round(100 * r.overLimitChance)} %`), 4);
  say('Notice to give', noticesDue(week, plan).map((n) => `${n.visitId}: ${n.words}`), 4);
  const parts = identitiesOf(original, plan).filter((x) => x.stops.length > 1);
  say('Visits of several stops', parts.map((x) => `${x.visitId} ${x.state}: ${x.stops.map((s) => `${s.kind} ${s.day} ${clock(s.startMin)} ${s.technicianId}`).join(', ')}`), 4);
  const sounding = original.visits.find((v) => v.sounding !== undefined);
  if (sounding !== undefined) {
    const days = daysFor(sounding, original.days);
    say(`Days for ${sounding.id}`, [`whole: ${days.whole.join(', ') || 'none'}`, `silent part: ${days.silent.join(', ') || 'none'}`, `sounding part: ${days.sounding.join(', ') || 'none'}`, ...days.closed.map((c) => `${c.day}: ${c.words}`)]);
  }
  const first = plan.rounds[0]?.stops.find((s) => !s.visitId.includes('#'));
  if (first !== undefined) say(`Why is ${first.visitId} here`, whyHere(week, plan, first.visitId)?.words ?? []);
  const { excesses, waysOut } = squeezeWeek(week, 'all');
  say('Squeeze, all visits', excesses.length === 0 ? ['no proof that they cannot all be made'] : [...excesses.slice(0, 2).map((e) => e.words), ...waysOut.map((w) => `way out: ${w.words}; left short ${w.left.length}`)]);
  const slack = keepSlack(week, { minutesByDay: Object.fromEntries(week.days.map((d) => [d, 120])) });
  say('Slack for two hours of breakdowns a day', slack.kept.map((k) => `${k.day} ${k.technicianId}: ${k.minutes} minutes`), 5);
}

function disruptions(week: WeekProblem, plan: WeekPlan): void {
  const round = plan.rounds.find((r) => r.stops.length > 3) ?? plan.rounds[0];
  if (round === undefined) return;
  const told = (title: string, r: Repair): void => say(title, [
    `${r.moved.length} moved, ${r.shifted.length} start 15 minutes or more earlier or later; lapses ${termValue(r.plan.cost, 'lapses')}; broken rules ${checkPlan(r.problem, r.plan).length}`, ...r.calls.map((c) => `call ${c}`),
  ], 4);
  told(`${round.technicianId} away on ${round.day}`, repairAbsence(week, plan, round.technicianId, round.day, round.day));
  told(`${round.technicianId} sick from ${clock(round.stops[1].startMin)} on`, repairAbsence(week, plan, round.technicianId, round.day, round.day, { now: { day: round.day, minute: round.stops[1].startMin } }));
  const overrun = { technicianId: round.technicianId, day: round.day, visitId: round.stops[0].visitId, extraMin: 50 };
  say(`${overrun.visitId} overruns by 50 minutes: pushed`, affectedBy(week, plan, overrun).map((a) => `${a.visitId}: ${clock(a.wasMin)} to ${clock(a.startMin)} ${a.breaks.join('; ')}`));
  told(`${overrun.visitId} overruns by 50 minutes: repaired`, repairOverrun(week, plan, overrun));
  told(`storm on ${week.days[1] ?? week.days[0]}: all travel x 1.6`, repairTravel(week, plan, week.days[1] ?? week.days[0], 1.6));
  told(`key of ${round.stops[1].visitId} lost`, repairClosed(week, plan, round.stops[1].visitId.split('#')[0] === round.stops[1].visitId ? round.stops[1].visitId : round.stops[2].visitId, null));
  const out = week.visits.find((v) => plan.unplaced.some((u) => u.visitId === v.id));
  if (out !== undefined) told(`${out.id} must be in`, forceIn(week, plan, out));
}

await runCommand('usage: bench questions [--technicians 8] [--visits 120] [--seed 1] [--iterations 1500] [--weeks 1] [--problem file.json]', main);
