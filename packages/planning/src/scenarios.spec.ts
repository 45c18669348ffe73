import { describe, expect, it } from 'vitest';
import { bestPlaces, checkIdentities, checkPlan, daysFor, expandVisits, identitiesOf, moveEffect, solve, squeeze, termValue, type Technician, type Visit, type WeekPlan, type WeekProblem } from './index.js';
import { timeRound } from './timing.js';

/** Example world: travel minutes = ceil(1.5 x (|dx| + |dy|)), places in km from the depot. */
function exampleTravel(points: readonly (readonly [number, number])[]): WeekProblem['travel'] {
  return { kind: 'matrix', minutes: points.map((a) => points.map((b) => Math.ceil(1.5 * (Math.abs(a[0] - b[0]) + Math.abs(a[1] - b[1]))))) };
}

const MONDAY = '2027-03-01';

function technician(id: string, more: Partial<Technician> = {}): Technician {
  return { id, name: id, skills: ['intrusion', 'fire'], licences: [], home: 0, shifts: [{ day: MONDAY, startMin: 480, endMin: 1020 }], ...more };
}

function visit(id: string, place: number, serviceMin: number, from: number, to: number, more: Partial<Visit> = {}): Visit {
  return { id, siteId: id, place, serviceMin, windows: [{ day: MONDAY, startMin: from, endMin: to }], ...more };
}

/** Scenario 5. */
const oneDay: WeekProblem = {
  days: [MONDAY],
  technicians: [technician('Tess')],
  visits: [visit('P', 1, 60, 480, 600), visit('Q', 2, 45, 540, 720), visit('R', 3, 90, 480, 1020), visit('S', 4, 30, 780, 900)],
  travel: exampleTravel([[0, 0], [8, 2], [10, -6], [-5, -9], [-7, 4]]),
};

function permutations<T>(list: readonly T[]): T[][] {
  if (list.length === 0) return [[]];
  return list.flatMap((x, i) => permutations([...list.slice(0, i), ...list.slice(i + 1)]).map((p) => [x, ...p]));
}

describe("scenario 5: one day's route", () => {
  it('[PLN-1] finds P-Q-R-S with the starts, drive, wait and return of the example', () => {
    const plan = solve(oneDay, { seed: 1, stop: { iterations: 200 } });
    const round = plan.rounds[0];
    expect(round.stops.map((s) => s.visitId).join('-')).toBe('P-Q-R-S');
    expect(round.stops.map((s) => s.startMin)).toEqual([495, 570, 642, 780]);
    expect(round.travelMin).toBe(97);
    expect(round.stops.reduce((sum, s) => sum + s.waitMin, 0)).toBe(25);
    expect(round.endMin).toBe(13 * 60 + 47);
    expect(checkPlan(oneDay, plan)).toEqual([]);
  });

  it('[PLN-2] exactly five orders are feasible', () => {
    const feasible = permutations(oneDay.visits).filter((order) => timeRound(oneDay, oneDay.technicians[0], oneDay.technicians[0].shifts[0], order.map((v) => ({ visit: v }))) !== null);
    expect(feasible).toHaveLength(5);
  });

  it('[PLN-3] the checker rejects R-P-Q-S', () => {
    const stop = (visitId: string, startMin: number, endMin: number, travelMin: number): WeekPlan['rounds'][0]['stops'][0] => ({ visitId, arriveMin: startMin, startMin, endMin, travelMin, waitMin: 0 });
    const plan: WeekPlan = {
      rounds: [{
        technicianId: 'Tess', day: MONDAY, startMin: 480, endMin: 900, overtimeMin: 0, travelMin: 117,
        stops: [stop('R', 501, 591, 21), stop('P', 627, 687, 36), stop('Q', 702, 747, 15), stop('S', 788, 818, 41)],
      }],
      unplaced: [], cost: [],
    };
    expect(checkPlan(oneDay, plan).map((v) => `${v.rule} ${v.visitId ?? ''}`)).toContain('window P');
  });
});

describe('scenario 6: squeeze proof', () => {
  const march = (d: number): string => `2027-03-${String(d).padStart(2, '0')}`;
  const task = (id: string, opens: number, closes: number, h: number) => ({ id, opens: march(opens), closes: march(closes), minutes: h * 60, skills: ['fire'] });
  const weekdays = Array.from({ length: 31 }, (_, i) => i + 1).filter((d) => ![0, 6].includes(new Date(Date.UTC(2027, 2, d)).getUTCDay()));
  const capacity = weekdays.flatMap((d) => ['Tess', 'Mirel'].map((technicianId) => ({ technicianId, day: march(d), minutes: 360, skills: ['fire', 'intrusion'] })));
  const tasks = [task('J1', 1, 10, 14), task('J2', 8, 12, 24), task('J3', 8, 12, 22), task('J4', 3, 12, 20), task('J5', 10, 12, 20), task('J6', 8, 19, 9)];

  it('[PLN-40] names 8-12 March: 66 h needed by J2, J3, J5, 60 h available, short 6 h, and nothing else', () => {
    const { excesses } = squeeze({ tasks, capacity });
    expect(excesses.map((e) => [e.from, e.to, e.neededMin / 60, e.availableMin / 60, e.shortMin / 60, e.taskIds])).toEqual([[march(8), march(12), 66, 60, 6, ['J2', 'J3', 'J5']]]);
    expect(excesses[0].words).toContain('short 6 h');
  });

  it('[PLN-41] offers at least two ways out, each re-checked', () => {
    const { waysOut } = squeeze({ tasks, capacity });
    const cures = waysOut.filter((w) => w.left.length === 0);
    expect(cures.length).toBeGreaterThanOrEqual(2);
    for (const w of cures) expect(squeeze(w.problem).excesses).toEqual([]);
  });

  it('[PLN-42] a way out that is not enough says what is left', () => {
    const more = [...tasks, task('J7', 22, 23, 60)];
    const { waysOut } = squeeze({ tasks: more, capacity });
    expect(waysOut.some((w) => w.left.length > 0)).toBe(true);
  });
});

describe('scenario 3: exams', () => {
  const day = (n: number): string => new Date(Date.UTC(2027, 2, 20 + n)).toISOString().slice(0, 10);
  const window = Array.from({ length: 22 }, (_, n) => day(n));
  const weekdays = window.filter((d) => ![0, 6].includes(new Date(`${d}T00:00:00Z`).getUTCDay()));
  const school = visit('school', 1, 240, 480, 720, {
    windows: weekdays.map((d) => ({ day: d, startMin: 480, endMin: 960, closeMin: 1020 })),
    sounding: { minutes: 40, windows: weekdays.filter((d) => d < '2027-03-22' || d > '2027-04-02').map((d) => ({ day: d, startMin: 480, endMin: 980, closeMin: 1020 })), setUpMin: 20, maySplit: true },
  });

  it('[PLN-86] everything with sounders fits on 5 to 9 April only; the silent part from 22 March on', () => {
    const choices = daysFor(school, window);
    expect(choices.whole).toEqual(['2027-04-05', '2027-04-06', '2027-04-07', '2027-04-08', '2027-04-09']);
    expect(choices.sounding).toEqual(choices.whole);
    expect(choices.silent[0]).toBe('2027-03-22');
    expect(choices.silent).toHaveLength(15);
    expect(choices.closed.find((c) => c.day === '2027-03-24')?.words).toContain('noise hours');
    expect(choices.closed.find((c) => c.day === '2027-03-27')?.words).toContain('no access');
  });

  it('[PLN-86] planned in March with the lapse of both parts in view: silent now, sounders in April, one identity', () => {
    const busy = { ...technician('Tess'), shifts: weekdays.filter((d) => d <= '2027-03-24' || d === '2027-04-06').map((d) => ({ day: d, startMin: 480, endMin: d === '2027-04-06' ? 570 : 1020 })) };
    const week: WeekProblem = { days: window, technicians: [busy], visits: [{ ...school, lapseDay: '2027-04-10' }], travel: exampleTravel([[0, 0], [2, 3]]) };
    const expanded = expandVisits(week);
    const plan = solve(expanded, { seed: 1, stop: { iterations: 200 } });
    expect(checkPlan(expanded, plan)).toEqual([]);
    expect(checkIdentities(week, plan)).toEqual([]);
    expect(termValue(plan.cost, 'lapses')).toBe(0);
    const [school1] = identitiesOf(week, plan);
    expect(school1.state).toBe('split');
    expect(school1.stops.map((s) => [s.kind, s.day])).toEqual([['silent', expect.stringMatching(/^2027-03-2[234]$/)], ['sounding', '2027-04-06']]);
  });
});

describe('scenario 7: licence on the day', () => {
  const days = ['2027-03-12', '2027-03-15'];
  const mirel = technician('Mirel', { licences: [{ kind: 'fire', from: '2024-01-01', to: '2027-03-12' }], shifts: days.map((day) => ({ day, startMin: 480, endMin: 1020 })) });
  const fire = (pinned: Visit['pinned']): Visit => ({ id: 'F', siteId: 'F', place: 1, serviceMin: 60, licences: ['fire'], windows: days.map((day) => ({ day, startMin: 480, endMin: 900 })), pinned });
  const week = (pinned: Visit['pinned']): WeekProblem => ({ days, technicians: [mirel], visits: [fire(pinned)], travel: exampleTravel([[0, 0], [3, 3]]) });

  it('[PLN-10] is allowed on the last valid day', () => {
    const problem = week({ technicianId: 'Mirel', day: '2027-03-12' });
    const plan = solve(problem, { seed: 1, stop: { iterations: 50 } });
    expect(plan.unplaced).toEqual([]);
    expect(checkPlan(problem, plan)).toEqual([]);
  });

  it('[PLN-11] is refused on 15 March with the licence as reason, by the search and by the move', () => {
    const pinnedLate = solve(week({ day: '2027-03-15' }), { seed: 1, stop: { iterations: 50 } });
    expect(pinnedLate.rounds).toEqual([]);
    expect(pinnedLate.unplaced[0].reason.rule).toBe('licence');
    expect(pinnedLate.unplaced[0].reason.words).toContain('2027-03-12');
    const free = week({});
    const plan = solve(free, { seed: 1, stop: { iterations: 50 } });
    const effect = moveEffect(free, plan, { visitId: 'F', technicianId: 'Mirel', day: '2027-03-15', position: 0 });
    expect(effect.broken.join()).toContain('licence');
  });

  it('[PLN-12] a rule changed after booking is found when the same plan is checked again', () => {
    const problem = week({ technicianId: 'Mirel', day: '2027-03-12' });
    const plan = solve(problem, { seed: 1, stop: { iterations: 50 } });
    const changed = { ...problem, technicians: [{ ...mirel, licences: [{ kind: 'fire', from: '2024-01-01', to: '2027-03-11' }] }] };
    expect(checkPlan(changed, plan).map((v) => v.rule)).toContain('licence');
    expect(bestPlaces(changed, plan, changed.visits[0]).every((p) => p.breaks.length > 0)).toBe(true);
  });
});
