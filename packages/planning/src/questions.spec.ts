import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  affectedBy, bestPlaces, checkPlan, exampleWeek, expandVisits, finishTimes, keepSlack, moveEffect, noticesDue, repairAbsence, repairClosed, repairOverrun, sideBySide, solve, squeeze, squeezeOf, squeezeWeek, termValue, whyHere,
  type Visit, type WeekPlan, type WeekProblem,
} from './index.js';
import { Random } from './random.js';
import { timeRound } from './timing.js';

const problem = expandVisits(exampleWeek({ technicians: 8, visits: 120, seed: 21, extras: true }));
const plan = solve(problem, { seed: 1, stop: { iterations: 1200 } });
const alone = (r: WeekPlan['rounds'][0]): boolean => r.stops.every((s) => s.second === undefined && s.joins === undefined);
const errandFree = (r: WeekPlan['rounds'][0]): boolean => r.stops.every((s) => !s.visitId.includes('#'));

describe('finish times', () => {
  it('[PLN-90] without spread: the planned times, breaks and two-person visits included', () => {
    const sure = finishTimes(problem, plan, { seed: 1, runs: 2, serviceSpread: 0, travelSpread: 0 });
    expect(sure.rounds).toHaveLength(plan.rounds.length);
    expect(plan.rounds.some((r) => r.break !== undefined)).toBe(true);
    expect(plan.rounds.some((r) => !alone(r))).toBe(true);
    for (const r of sure.rounds) expect([r.expectedMin, r.badDayMin, r.overLimitChance]).toEqual([r.plannedMin, r.plannedMin, 0]);
    for (const s of sure.stops) expect([s.usualMin, s.badDayMin, s.lateChance]).toEqual([s.plannedMin, s.plannedMin, 0]);
  });

  it('[PLN-91] with spread: expected not before planned, a bad day not before expected, more spread a later bad day; same seed, same answer', () => {
    const usual = finishTimes(problem, plan, { seed: 1 });
    const rough = finishTimes(problem, plan, { seed: 1, serviceSpread: 0.6, travelSpread: 0.5 });
    expect(finishTimes(problem, plan, { seed: 1 })).toEqual(usual);
    const sum = (f: typeof usual, of: 'expectedMin' | 'badDayMin' | 'plannedMin'): number => f.rounds.reduce((x, r) => x + r[of], 0);
    for (const r of usual.rounds) expect(r.expectedMin).toBeGreaterThanOrEqual(r.plannedMin - 6);
    for (const r of usual.rounds) expect(r.badDayMin).toBeGreaterThan(r.expectedMin);
    expect(sum(usual, 'expectedMin')).toBeGreaterThan(sum(usual, 'plannedMin'));
    expect(sum(rough, 'badDayMin')).toBeGreaterThan(sum(usual, 'badDayMin'));
    expect(rough.rounds.some((r) => r.overLimitChance > 0.2)).toBe(true);
    expect(() => finishTimes(problem, plan, { seed: 1, runs: 0 })).toThrow(RangeError);
  });
});

describe('why here, and two plans side by side', () => {
  it('[PLN-92] names what it adds, the next best place as bestPlaces ranks it, and the pin', () => {
    for (const visitId of plan.rounds.filter(errandFree).flatMap((r) => r.stops.filter((s) => s.joins === undefined && s.second === undefined).map((s) => s.visitId)).slice(0, 12)) {
      const why = whyHere(problem, plan, visitId);
      const out = moveEffect(problem, plan, { visitId, technicianId: null });
      expect(why?.travelMin).toBe(-(out.delta.find((t) => t.name === 'travel')?.change ?? 0));
      const round = plan.rounds.find((r) => r.stops.some((s) => s.visitId === visitId));
      const visit = problem.visits.find((v) => v.id === visitId) as Visit;
      const others = bestPlaces(problem, plan, visit, 12).filter((p) => p.breaks.length === 0 && (p.technicianId !== round?.technicianId || p.day !== round?.day));
      expect(why?.others).toEqual(others.slice(0, 5));
      expect(why?.words.length).toBeGreaterThan(0);
    }
    const first = plan.rounds[0].stops[0].visitId;
    const pinned = { ...problem, visits: problem.visits.map((v) => (v.id === first ? { ...v, pinned: { technicianId: plan.rounds[0].technicianId } } : v)) };
    expect(whyHere(pinned, plan, first)?.words[0]).toBe('the dispatcher pinned the technician');
    expect(whyHere(problem, plan, plan.unplaced[0].visitId)).toBeNull();
    expect(() => whyHere(problem, plan, 'nobody')).toThrow(RangeError);
  });

  it('[PLN-93] side by side: changes of terms, loads and lists turn their sign with the sides', () => {
    const other = solve(problem, { seed: 2, stop: { iterations: 200 }, from: { rounds: [] } });
    const [ab, ba] = [sideBySide(problem, plan, other), sideBySide(problem, other, plan)];
    expect(ab.terms.map((t) => -t.change + 0)).toEqual(ba.terms.map((t) => t.change + 0));
    expect([ab.onlyA, ab.onlyB]).toEqual([ba.onlyB, ba.onlyA]);
    expect(ab.moved.length).toBe(ba.moved.length);
    expect(ab.technicians.some((t) => t.aMin !== t.bMin)).toBe(true);
    expect(ab.served.a).toBe(problem.visits.filter((v) => v.errand === undefined).length - plan.unplaced.length);
    expect(sideBySide(problem, plan, plan).moved).toEqual([]);
  });

  it('[PLN-94] notice still to be given: the last day for it, most urgent first', () => {
    const due = noticesDue(problem, plan);
    expect(due.length).toBeGreaterThan(0);
    expect([...due].sort((a, b) => (a.by < b.by ? -1 : a.by > b.by ? 1 : 0))).toEqual(due);
    for (const d of due) expect(d.by >= problem.days[0]).toBe(true);
    const given = { ...problem, visits: problem.visits.map((v) => (v.notice === undefined ? v : { ...v, notice: { ...v.notice, given: true } })) };
    expect(noticesDue(given, plan)).toEqual([]);
  });
});

describe('disruptions in the middle of a day', () => {
  it('[PLN-95] an overrun of 50 minutes: who is affected is what the timing of the round says', () => {
    let later = 0;
    for (const [round, extraMin] of plan.rounds.filter(alone).flatMap((r) => [5, 10, 20, 50].map((m) => [r, m] as const))) {
      const overrun = { technicianId: round.technicianId, day: round.day, visitId: round.stops[0].visitId, extraMin };
      const technician = problem.technicians.find((t) => t.id === round.technicianId) as WeekProblem['technicians'][0];
      const shift = technician.shifts.find((s) => s.day === round.day) as WeekProblem['technicians'][0]['shifts'][0];
      const visits = round.stops.map((s, i) => {
        const v = problem.visits.find((x) => x.id === s.visitId) as Visit;
        return i > 0 ? v : { ...v, serviceMin: v.serviceMin + extraMin, windows: [{ day: round.day, startMin: s.startMin, endMin: s.startMin }], notice: undefined, sounding: undefined };
      });
      const truth = timeRound(problem, technician, shift, visits.map((visit) => ({ visit })));
      const found = affectedBy(problem, plan, overrun);
      if (truth === null) expect(found.some((a) => a.breaks.length > 0)).toBe(true);
      else if (found.every((a) => a.breaks.length === 0) && truth.break?.startMin === round.break?.startMin) {
        const moved = truth.stops.filter((s, i) => s.startMin !== round.stops[i].startMin).map((s) => [s.visitId, s.startMin]);
        expect(found.map((a) => [a.visitId, a.startMin])).toEqual(moved);
        later += moved.length;
      }
    }
    expect(later).toBeGreaterThan(10);
    expect(() => affectedBy(problem, plan, { technicianId: 'x', day: problem.days[0], visitId: 'y', extraMin: 1 })).toThrow(RangeError);
  });

  it('[PLN-95] an overrun pushes the partner of a two-person visit too', () => {
    const day = '2027-03-01';
    const week: WeekProblem = {
      days: [day], travel: { kind: 'matrix', minutes: [[0, 10], [10, 0]] },
      technicians: ['a', 'b'].map((id) => ({ id, name: id, skills: [], licences: [], home: 0, shifts: [{ day, startMin: 480, endMin: 900 }] })),
      visits: [
        { id: 'one', siteId: 's', place: 1, serviceMin: 60, windows: [{ day, startMin: 480, endMin: 500 }], pinned: { technicianId: 'a' } },
        { id: 'two', siteId: 's', place: 1, serviceMin: 60, windows: [{ day, startMin: 560, endMin: 800 }], persons: 2, pinned: { technicianId: 'a' } },
        { id: 'three', siteId: 's', place: 1, serviceMin: 60, windows: [{ day, startMin: 630, endMin: 640 }], pinned: { technicianId: 'b' } },
      ],
    };
    const p = solve(week, { seed: 1, stop: { iterations: 200 } });
    const found = affectedBy(week, p, { technicianId: 'a', day, visitId: 'one', extraMin: 50 });
    expect(found.map((a) => [a.visitId, a.technicianId, a.startMin - a.wasMin])).toEqual(expect.arrayContaining([['two', 'a', 40], ['two', 'b', 40]]));
    expect(found.find((a) => a.visitId === 'three')?.breaks.join()).toContain('outside its hours');
    const repair = repairOverrun(week, p, { technicianId: 'a', day, visitId: 'one', extraMin: 50 });
    expect(checkPlan(repair.problem, repair.plan)).toEqual([]);
  });

  it('[PLN-96] sick in the middle of the day: what has started stays, nothing else starts earlier, the rest is taken over', () => {
    const round = plan.rounds.find((r) => r.stops.length > 3 && alone(r) && errandFree(r));
    if (round === undefined) throw new Error('the example has no such round');
    const minute = round.stops[1].startMin + 5;
    const now = { day: round.day, minute };
    const repair = repairAbsence(problem, plan, round.technicianId, round.day, round.day, { now });
    expect(checkPlan(repair.problem, repair.plan)).toEqual([]);
    const after = repair.plan.rounds.find((r) => r.technicianId === round.technicianId && r.day === round.day);
    expect(after?.stops.map((s) => s.visitId)).toEqual(round.stops.filter((s) => s.startMin <= minute).map((s) => s.visitId));
    const known = new Map(plan.rounds.flatMap((r) => r.stops.map((s) => [`${s.visitId} ${r.technicianId} ${r.day}`, s.startMin] as const)));
    for (const r of repair.plan.rounds) {
      if (r.day > round.day) continue;
      for (const s of r.stops) if (r.day < round.day || s.startMin < minute) expect(known.get(`${s.visitId} ${r.technicianId} ${r.day}`)).toBe(s.startMin);
    }
    expect(repair.moved.length).toBeGreaterThan(0);
  });

  it('[PLN-97] nobody is asked to be ready earlier because somebody before fell away', () => {
    let after = 0;
    for (const round of plan.rounds.filter((r) => r.stops.length > 3 && alone(r) && errandFree(r)).slice(0, 6)) {
      const repair = repairClosed(problem, plan, round.stops[0].visitId, null, { stop: { iterations: 1 } });
      expect(checkPlan(repair.problem, repair.plan)).toEqual([]);
      const now = repair.plan.rounds.find((r) => r.technicianId === round.technicianId && r.day === round.day);
      for (const s of now?.stops ?? []) {
        const was = round.stops.find((x) => x.visitId === s.visitId);
        if (was === undefined) continue;
        expect(s.startMin).toBeGreaterThanOrEqual(was.startMin);
        after++;
      }
    }
    expect(after).toBeGreaterThan(10);
  });

  it('[PLN-97] a lost key: the visit moves behind the day on which it is back, or stays out with a reason', () => {
    const round = plan.rounds.find((r) => r.day === problem.days[0] && r.stops.some((s) => s.visitId.endsWith('#collect')))
      ?? plan.rounds.find((r) => r.stops.some((s) => s.visitId.endsWith('#collect')));
    const visitId = round?.stops.find((s) => s.visitId.endsWith('#collect'))?.visitId.replace('#collect', '') ?? '';
    const gone = repairClosed(problem, plan, visitId, null);
    expect(checkPlan(gone.problem, gone.plan)).toEqual([]);
    expect(gone.plan.unplaced.find((u) => u.visitId === visitId)?.reason.rule).toBe('no-window');
    expect(gone.plan.rounds.flatMap((r) => r.stops).some((s) => s.visitId.startsWith(`${visitId}#`))).toBe(false);
    const back = repairClosed(problem, plan, visitId, problem.days[3]);
    expect(checkPlan(back.problem, back.plan)).toEqual([]);
    for (const r of back.plan.rounds) if (r.stops.some((s) => s.visitId === visitId)) expect(r.day >= problem.days[3]).toBe(true);
    expect(() => repairClosed(problem, plan, 'nothing', null)).toThrow(RangeError);
  });
});

describe('slack and squeeze of a week', () => {
  it('[PLN-98] slack for the forecast is kept in whole blocks, and no plan uses it', () => {
    const minutesByDay = Object.fromEntries(problem.days.map((d, i) => [d, 100 + 60 * i]));
    const { problem: kept, kept: blocks, short } = keepSlack(problem, { minutesByDay, blockMin: 90, skills: ['intrusion'] });
    expect(short).toEqual([]);
    const p = solve(kept, { seed: 1, stop: { iterations: 200 } });
    expect(checkPlan(kept, p)).toEqual([]);
    for (const day of problem.days) {
      const sum = blocks.filter((b) => b.day === day).reduce((x, b) => x + b.minutes, 0);
      expect(sum).toBeGreaterThanOrEqual(minutesByDay[day]);
      expect(sum).toBeLessThan(minutesByDay[day] + 90);
    }
    for (const b of blocks) {
      const end = problem.technicians.find((t) => t.id === b.technicianId)?.shifts.find((s) => s.day === b.day)?.endMin ?? 0;
      const round = p.rounds.find((r) => r.technicianId === b.technicianId && r.day === b.day);
      if (round !== undefined) expect(round.endMin).toBeLessThanOrEqual(end - b.minutes);
    }
    expect(keepSlack(problem, { minutesByDay: { [problem.days[0]]: 100_000 } }).short[0].day).toBe(problem.days[0]);
    expect(checkPlan(kept, plan).some((v) => v.words.includes('kept free for breakdowns'))).toBe(true);
  });

  it('[PLN-43] where the squeeze of a week finds an excess, no plan keeps every duty alive', () => {
    let [proofs, quiet] = [0, 0];
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const random = new Random(seed);
      const week = exampleWeek({ technicians: 2, visits: 18 + random.below(24), seed });
      const tight = { ...week, visits: week.visits.map((v): Visit => ({ ...v, lapseDay: week.days[random.below(5)] })) };
      const { excesses } = squeezeWeek(tight);
      const lapses = termValue(solve(tight, { seed: 1, stop: { iterations: 400 } }).cost, 'lapses');
      if (excesses.length > 0) expect(lapses).toBeGreaterThan(0);
      if (excesses.length > 0) proofs++;
      else quiet++;
    }), { seed: 20270307, numRuns: 60 });
    expect(proofs).toBeGreaterThan(5);
    expect(quiet).toBeGreaterThan(5);
  });

  it('[PLN-40] every interval by brute force, on random tasks: the same excesses', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 1_000_000 }), (seed) => {
      const random = new Random(seed);
      const day = (i: number): string => `2027-03-${String(1 + i).padStart(2, '0')}`;
      const tasks = Array.from({ length: 8 }, (_, i) => {
        const opens = random.below(8);
        return { id: `j${i}`, opens: day(opens), closes: day(opens + random.below(5)), minutes: 60 * (1 + random.below(8)), skills: random.unit() < 0.5 ? ['fire'] : [] };
      });
      const capacity = Array.from({ length: 12 }, (_, i) => ({ technicianId: i % 2 === 0 ? 'a' : 'b', day: day(i), minutes: 300, skills: i % 2 === 0 ? ['fire'] : [] }));
      const worst = new Map<string, number>();
      for (const skills of [[], ['fire']]) {
        for (let from = 0; from < 12; from++) {
          for (let to = from; to < 13; to++) {
            const inside = tasks.filter((t) => skills.every((s) => t.skills.includes(s)) && day(from) <= t.opens && t.closes <= day(to));
            const short = inside.reduce((x, t) => x + t.minutes, 0) - capacity.filter((c) => skills.every((s) => c.skills.includes(s)) && day(from) <= c.day && c.day <= day(to)).reduce((x, c) => x + c.minutes, 0);
            const key = inside.map((t) => t.id).sort().join(' ');
            if (inside.length > 0 && short > 0) worst.set(key, Math.max(short, worst.get(key) ?? 0));
          }
        }
      }
      const found = new Map(squeeze({ tasks, capacity }).excesses.map((e) => [[...e.taskIds].sort().join(' '), e.shortMin]));
      expect([...found].sort()).toEqual([...worst].sort());
    }), { seed: 20270308, numRuns: 200 });
  });

  it('[PLN-44] the largest excess of a real week comes with at least two ways out, and hours that a break takes are not offered', () => {
    const full = exampleWeek({ technicians: 4, visits: 120, seed: 3 });
    const { excesses, waysOut } = squeezeWeek({ ...full, visits: full.visits.map((v): Visit => ({ ...v, lapseDay: full.days[2] })) });
    expect(excesses[0].shortMin).toBeGreaterThan(0);
    expect(waysOut.length).toBeGreaterThanOrEqual(2);
    for (const w of waysOut) expect(squeeze(w.problem).excesses).toEqual(w.left);
    const day = squeezeOf(problem).capacity[0];
    const shift = problem.technicians[0].shifts[0];
    expect(day.minutes).toBe(shift.endMin + (shift.maxOvertimeMin ?? 0) - shift.startMin - (shift.breakMin ?? 0));
  });
});
