import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bestPlaces, checkIdentities, compareCost, nearestNeighbour, checkPlan, exampleWeek, expandVisits, explainUnplaced, forceIn, identitiesOf, moveEffect, repairAbsence, repairTravel, solve, termValue, BadProblem, type Visit, type WeekProblem,
} from './index.js';

const DAY = '2027-03-01';
const NEXT = '2027-03-02';

/** One technician at place 0, sites at 1..3; 10 minutes between any two places. */
function small(visits: readonly Visit[], more: Partial<WeekProblem['technicians'][0]> = {}): WeekProblem {
  const minutes = Array.from({ length: 5 }, (_, i) => Array.from({ length: 5 }, (_, j) => (i === j ? 0 : 10)));
  return {
    days: [DAY, NEXT], visits, travel: { kind: 'matrix', minutes },
    technicians: [{ id: 't', name: 'Tess', skills: [], licences: [], home: 0, shifts: [DAY, NEXT].map((day) => ({ day, startMin: 480, endMin: 960 })), ...more }],
  };
}
const visit = (id: string, more: Partial<Visit> = {}): Visit => ({ id, siteId: id, place: 1, serviceMin: 60, windows: [DAY, NEXT].map((day) => ({ day, startMin: 480, endMin: 900 })), ...more });
const plan = (week: WeekProblem) => solve(week, { seed: 1, stop: { iterations: 200 } });
const starts = (week: WeekProblem): Record<string, string> => Object.fromEntries(plan(week).rounds.flatMap((r) => r.stops.map((s) => [s.visitId, `${r.day} ${s.startMin}-${s.endMin}`])));
const why = (v: Visit, more: object = {}) => {
  const week = small([v], more);
  const reason = plan(week).unplaced[0]?.reason;
  expect(explainUnplaced(week, plan(week), v.id)).toEqual(reason ?? null);
  return reason;
};

describe('rich weeks', () => {
  it('[PLN-80] systems at one address share their set-up: 60 + 60 - 15 minutes', () => {
    const week = small([visit('a', { sharesSetUp: { address: 'hill', minutes: 15 } }), visit('b', { sharesSetUp: { address: 'hill', minutes: 15 } })]);
    const p = plan(week);
    expect(p.rounds).toHaveLength(1);
    expect(p.rounds[0].endMin).toBe(480 + 10 + 60 + 45 + 10);
    expect(p.rounds[0].stops.map((s) => s.savedMin ?? 0)).toEqual([0, 15]);
    expect(checkPlan(week, p)).toEqual([]);
    expect(checkPlan({ ...week, visits: [week.visits[0], { ...week.visits[1], sharesSetUp: { address: 'dale', minutes: 15 } }] }, p).map((v) => v.rule)).toContain('times');
  });

  it('[PLN-81] parts on the van: two visits of two cells each, three cells on the van: one on either day', () => {
    const week = small([visit('a', { uses: { cell: 2 } }), visit('b', { uses: { cell: 2 } })], { stock: { cell: 3 } });
    expect(plan(week).rounds.map((r) => r.day)).toEqual([DAY, NEXT]);
    const both = plan({ ...week, technicians: [{ ...week.technicians[0], stock: { cell: 4 } }] });
    expect(checkPlan(week, { ...both, cost: plan(week).cost }).map((v) => v.rule)).toContain('stock');
    expect(why(visit('a', { uses: { cell: 2 } }), { stock: { cell: 1 } })?.words).toContain('1 of cell on the van, 2 are needed');
  });

  it('[PLN-82] notice not given in time, a permit not granted: refused with the day in words', () => {
    expect(starts(small([visit('a', { notice: { leadDays: 1, on: DAY, given: false } })])).a).toContain(NEXT);
    expect(why(visit('a', { notice: { leadDays: 14, on: DAY, given: false } }))).toEqual({ rule: 'notice', words: expect.stringContaining('had to be given by 2027-02-15, the earliest day is now 2027-03-15') });
    expect(why(visit('a', { permits: [{ name: 'roof', from: null, to: null }] }))?.words).toContain('the permit roof is not granted yet');
    expect(starts(small([visit('a', { permits: [{ name: 'roof', from: NEXT, to: null }] })])).a).toContain(NEXT);
  });

  it('[PLN-83] a hard promise binds day, hours and person; a priced one is broken only for more than its price', () => {
    expect(starts(small([visit('a', { promises: [{ day: NEXT, fromMin: 600, toMin: 660 }] })])).a).toBe(`${NEXT} 600-660`);
    expect(why(visit('a', { promises: [{ technicianId: 'other', words: 'asked for by the head' }] }))?.words).toContain('asked for by the head');
    const near = visit('b', { pinned: { day: NEXT } });
    for (const [price, day] of [[5, NEXT], [300, DAY]] as const) {
      const week = small([near, visit('a', { promises: [{ day: DAY, priceMin: price }] })]);
      expect(starts(week).a).toContain(day);
      expect(termValue(plan(week).cost, 'promises')).toBe(price === 5 ? 5 : 0);
    }
  });

  it('[PLN-84] no promise ever pays for exposure', () => {
    const week = small([visit('a', { serviceMin: 400, prize: 0.02, promises: [{ technicianId: 'other', priceMin: 100_000 }] })]);
    expect(plan(week).unplaced).toEqual([]);
  });

  it('[PLN-85] depot starts, and slack kept at the end of the shift', () => {
    const shifts = [{ day: DAY, startMin: 480, endMin: 600, startPlace: 1, endPlace: 1 }];
    expect(plan(small([visit('a')], { shifts })).rounds[0]).toMatchObject({ startMin: 480, endMin: 540, travelMin: 0 });
    const kept = [{ day: DAY, startMin: 480, endMin: 600, keepFreeMin: 50, maxOvertimeMin: 60 }];
    expect(why(visit('a'), { shifts: kept })?.rule).toBe('shift');
  });

  it('[PLN-86] noise hours: whole where the end falls into them, in two parts on two days where it must be', () => {
    const noise = (day: string, from: number, to: number) => ({ day, startMin: from, endMin: to, closeMin: to });
    const whole = visit('a', { sounding: { minutes: 20, windows: [noise(DAY, 840, 900)], setUpMin: 10, maySplit: false } });
    expect(starts(small([whole])).a).toBe(`${DAY} 800-860`);
    const apart = { ...whole, windows: [{ day: DAY, startMin: 480, endMin: 500, closeMin: 560 }, { day: NEXT, startMin: 480, endMin: 900, closeMin: 525 }], sounding: { minutes: 20, windows: [noise(NEXT, 480, 520)], setUpMin: 10, maySplit: true } };
    expect(why({ ...apart, sounding: { ...apart.sounding, maySplit: false } })?.rule).toBe('window');
    const week = expandVisits(small([apart]));
    const p = plan(week);
    expect(checkPlan(week, p)).toEqual([]);
    expect(checkIdentities(small([apart]), p)).toEqual([]);
    expect(identitiesOf(small([apart]), p)[0]).toMatchObject({ visitId: 'a', state: 'split' });
    expect(p.rounds.flatMap((r) => r.stops.map((s) => s.endMin - s.startMin))).toEqual([40, 30]);
    const torn = { ...p, rounds: p.rounds.map((r) => (r.day === NEXT ? { ...r, stops: r.stops.map((s) => ({ ...s, startMin: s.startMin + 300, endMin: s.endMin + 300 })) } : r)) };
    expect(checkIdentities(small([apart]), torn).map((v) => v.rule)).toContain('window');
  });

  it('[PLN-87] a key is collected on the way and brought back, other visits may stand between; without a way to fetch it the visit stays out', () => {
    const keyed = visit('a', { place: 2, windows: [{ day: DAY, startMin: 480, endMin: 700 }], key: { collectPlace: 3, handMin: 5, windows: [{ day: DAY, startMin: 480, endMin: 500 }, { day: DAY, startMin: 800, endMin: 900 }] } });
    const original = small([keyed, visit('b', { pinned: { day: DAY } })]);
    const week = expandVisits(original);
    const p = plan(week);
    expect(checkPlan(week, p)).toEqual([]);
    expect(checkIdentities(original, p)).toEqual([]);
    const order = p.rounds[0].stops.map((s) => s.visitId);
    expect(order[0]).toBe('a#collect');
    expect(order.at(-1)).toBe('a#return');
    expect(order).toHaveLength(4);
    const lost = expandVisits(small([{ ...keyed, key: { collectPlace: 3, handMin: 5, windows: [] } }]));
    expect(plan(lost).unplaced.map((u) => [u.visitId, u.reason.rule])).toEqual([['a', 'errand']]);
    const swapped = { ...p, rounds: [{ ...p.rounds[0], stops: [...p.rounds[0].stops].reverse() }] };
    expect(checkPlan(week, swapped).map((v) => v.rule)).toContain('errand');
    expect(checkIdentities(original, swapped).map((v) => v.rule)).toContain('errand');
    const late = { ...p, rounds: [{ ...p.rounds[0], stops: [...p.rounds[0].stops].sort((x, y) => Number(x.visitId === 'a#collect') - Number(y.visitId === 'a#collect') || Number(x.visitId === 'a#return') - Number(y.visitId === 'a#return')) }] };
    expect(checkIdentities(original, late).map((v) => v.words)).toEqual(expect.arrayContaining(['its key is not collected before it']));
    const moved = moveEffect(week, p, { visitId: 'a', technicianId: null });
    expect(moved.plan.rounds.flatMap((r) => r.stops.map((s) => s.visitId))).toEqual(['b']);
    expect(bestPlaces(week, moved.plan, week.visits[0])[0]).toMatchObject({ technicianId: 't', day: DAY, breaks: [] });
  });

  it('[PLN-88] what was not expanded is refused, not left out in silence', () => {
    const keyed = small([visit('a', { key: { collectPlace: 1, handMin: 5 } })]);
    expect(() => plan(keyed)).toThrow(BadProblem);
    expect(() => plan(keyed)).toThrow(/expandVisits/);
    expect(() => expandVisits(small([visit('a', { persons: 2, key: { collectPlace: 1, handMin: 5 } })]))).toThrow(BadProblem);
  });

  it('[PLN-4] 20 rich random weeks of one to six weeks, solved, disrupted and repaired: both checkers agree', () => {
    let [split, saved, keys, promises] = [0, 0, 0, 0];
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const original = exampleWeek({ technicians: 3 + (seed % 3), visits: 40 + (seed % 60), seed, days: 5 * (1 + (seed % 6)), extras: true });
      const week = expandVisits(original);
      const p = solve(week, { seed: 3, stop: { iterations: 300 } });
      expect(checkPlan(week, p)).toEqual([]);
      expect(checkIdentities(original, p)).toEqual([]);
      const yardstick = nearestNeighbour(week);
      expect(checkPlan(week, yardstick)).toEqual([]);
      expect(compareCost(p.cost, yardstick.cost)).toBeLessThan(0);
      split += identitiesOf(original, p).filter((x) => x.state === 'split').length;
      saved += p.rounds.flatMap((r) => r.stops).filter((s) => (s.savedMin ?? 0) > 0).length;
      keys += p.rounds.flatMap((r) => r.stops).filter((s) => s.visitId.endsWith('#return')).length;
      promises += termValue(p.cost, 'promises');
      const ill = repairAbsence(week, p, p.rounds[0].technicianId, week.days[0], week.days[0], { stop: { iterations: 100 } });
      const storm = repairTravel(week, p, week.days[1], 1.6, { stop: { iterations: 100 } });
      const out = week.visits.find((v) => p.unplaced.some((u) => u.visitId === v.id));
      const forced = out === undefined ? [] : [forceIn(week, p, out, { stop: { iterations: 100 } })];
      for (const r of [ill, storm, ...forced]) expect(checkPlan(r.problem, r.plan)).toEqual([]);
    }), { seed: 20270306, numRuns: 20 });
    expect(split).toBeGreaterThan(5);
    expect(saved).toBeGreaterThan(50);
    expect(keys).toBeGreaterThan(10);
    expect(promises).toBeGreaterThan(100);
  });
});
