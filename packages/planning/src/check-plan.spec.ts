import { describe, expect, it } from 'vitest';
import { checkPlan, exampleWeek, solve, type Round, type Stop, type WeekPlan } from './index.js';

const problem = exampleWeek({ technicians: 6, visits: 110, seed: 10 });
const plan = solve(problem, { seed: 1, stop: { iterations: 300 } });

function withRound(i: number, change: (r: Round) => Round): WeekPlan {
  return { ...plan, rounds: plan.rounds.map((r, j) => (j === i ? change(r) : r)) };
}

function withStop(i: number, k: number, change: (s: Stop) => Stop): WeekPlan {
  return withRound(i, (r) => ({ ...r, stops: r.stops.map((s, j) => (j === k ? change(s) : s)) }));
}

const rules = (p: WeekPlan): string[] => checkPlan(problem, p).map((v) => v.rule);
const rested = plan.rounds.findIndex((r) => r.break !== undefined && r.stops.length > 2);
const paired = plan.rounds.findIndex((r) => r.stops.some((s) => s.second !== undefined));

describe('[PLN-3] the checker catches each kind of fault', () => {
  it('accepts the plan itself', () => {
    expect(rules(plan)).toEqual([]);
    expect(rested).toBeGreaterThanOrEqual(0);
    expect(paired).toBeGreaterThanOrEqual(0);
  });

  const faults: readonly (readonly [name: string, broken: WeekPlan, rule: string])[] = [
    ['a start before it can be reached', withStop(rested, 1, (s) => ({ ...s, startMin: s.startMin - 300, endMin: s.endMin - 300 })), 'overlap'],
    ['a start outside the hours', withStop(rested, 0, (s) => ({ ...s, startMin: s.startMin - 1000, endMin: s.endMin - 1000 })), 'window'],
    ['too short a service', withStop(rested, 0, (s) => ({ ...s, endMin: s.endMin - 1 })), 'times'],
    ['too little travel in the sum', withRound(rested, (r) => ({ ...r, travelMin: r.travelMin - 1 })), 'times'],
    ['a break left out', withRound(rested, ({ break: _gone, ...r }) => r), 'break'],
    ['a break outside its window', withRound(rested, (r) => ({ ...r, break: { startMin: 0, endMin: 30 } })), 'break'],
    ['a break during a service', withRound(rested, (r) => ({ ...r, break: { startMin: duringService(r), endMin: duringService(r) + 30 } })), 'break'],
    ['too long a day', withRound(rested, (r) => ({ ...r, endMin: r.endMin + 600 })), 'shift'],
    ['leaving before the shift', withRound(rested, (r) => ({ ...r, startMin: 0 })), 'shift'],
    ['a visit twice', { ...plan, unplaced: [...plan.unplaced, { visitId: plan.rounds[rested].stops[0].visitId, reason: { rule: 'full', words: '' }, lapses: false }] }, 'twice'],
    ['a visit lost', withRound(rested, (r) => ({ ...r, stops: r.stops.slice(1) })), 'missing'],
    ['a pair torn', withRound(paired, (r) => ({ ...r, stops: r.stops.map(({ second: _gone, ...s }) => s) })), 'pair'],
    ['another technician', withRound(rested, (r) => ({ ...r, technicianId: 'nobody' })), 'unknown'],
    ['a wrong cost', { ...plan, cost: plan.cost.map((t) => (t.name === 'travel' ? { ...t, value: t.value - 1 } : t)) }, 'cost'],
    ['a round twice', { ...plan, rounds: [...plan.rounds, plan.rounds[rested]] }, 'twice'],
  ];
  for (const [name, broken, rule] of faults) {
    it(name, () => expect(rules(broken)).toContain(rule));
  }

  it('skills, licences, equipment, barred and pinned technicians', () => {
    const round = plan.rounds[rested];
    const id = round.stops[0].visitId;
    const harder = (more: object): string[] => checkPlan({ ...problem, visits: problem.visits.map((v) => (v.id === id ? { ...v, ...more } : v)) }, plan).map((v) => v.rule);
    expect(harder({ skills: ['diving'] })).toContain('skill');
    expect(harder({ licences: ['blasting'] })).toContain('licence');
    expect(harder({ equipment: ['crane'] })).toContain('equipment');
    expect(harder({ forbidden: [round.technicianId] })).toContain('forbidden');
    expect(harder({ pinned: { technicianId: 'somebody' } })).toContain('pinned');
    expect(harder({ pinned: { day: '2027-01-01' } })).toContain('pinned');
    expect(harder({ pinned: { startMin: 1 } })).toContain('pinned');
    expect(harder({ persons: 2 })).toContain('pair');
  });
});

/** A minute inside the window of the break at which somebody is working. */
function duringService(r: Round): number {
  const shift = problem.technicians.find((t) => t.id === r.technicianId)?.shifts.find((s) => s.day === r.day);
  const from = (shift?.startMin ?? 0) + 180;
  const stop = r.stops.find((s) => s.endMin > from + 5 && s.startMin < from + 170);
  return Math.max(from, (stop?.startMin ?? 0) + 1);
}
