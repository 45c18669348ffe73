import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Cadence, type DutyHistory, type DutyWindow, type LocalDate, addDays, doTogether, governing, standingOfDuty, standingOn, timeline } from './index.js';

/*
 * A second implementation that walks day by day, with the platform's UTC calendar and no shared code, and properties on top.
 * Seeds are fixed; each block counts what it saw, so that an empty run fails.
 */
const DAY = 86_400_000;
const d = (text: string): LocalDate => text as LocalDate;
const ms = (text: string): number => Date.parse(`${text}T00:00:00Z`);
const text = (at: number): string => new Date(at).toISOString().slice(0, 10);
const START = ms('2024-01-15');

function plusMonths(at: number, months: number): number {
  const date = new Date(at);
  const moved = Date.UTC(date.getUTCFullYear(), date.getUTCMonth() + months, 1);
  const last = new Date(Date.UTC(new Date(moved).getUTCFullYear(), new Date(moved).getUTCMonth() + 1, 0)).getUTCDate();
  return moved + (Math.min(date.getUTCDate(), last) - 1) * DAY;
}

/** Standing on each day of a since-last duty, walked day by day. */
function walkSinceLast(min: number, nominal: number, max: number, from: number, basis: number | null, proofs: ReadonlySet<number>, until: number): string[] {
  const out: string[] = [];
  let last = basis;
  let known = basis !== null;
  for (let day = from; day <= until; day += DAY) {
    const opens = known ? plusMonths(last as number, min) : from;
    if (proofs.has(day) && day >= opens && (last === null || day > last)) {
      last = day;
      known = true;
    }
    if (!known) out.push(day <= plusMonths(from, nominal) ? 'cant-tell' : 'lapsed');
    else {
      const at = last as number;
      out.push(day < plusMonths(at, min) ? 'proven' : day <= plusMonths(at, nominal) ? 'open' : day <= plusMonths(at, max) ? 'late' : 'lapsed');
    }
  }
  return out;
}

/** Standing on each day of an annual duty due in a month, whole calendar months of tolerance, walked day by day. */
function walkFixed(dueMonth: number, early: number, late: number, from: number, basis: number, proofs: ReadonlySet<number>, until: number): string[] {
  const opensIn = (year: number): number => Date.UTC(year, dueMonth - 1 - early, 1);
  const lapsesIn = (year: number): number => Date.UTC(year, dueMonth + late, 0);
  const dueIn = (year: number): number => Date.UTC(year, dueMonth, 0);
  const years = Array.from({ length: 14 }, (_, i) => 2018 + i);
  const met = new Set<number>();
  const openOn = (day: number): number => years.findLast((year) => opensIn(year) <= day) as number;
  const out: string[] = [];
  met.add(openOn(basis));
  for (let day = basis; day <= until; day += DAY) {
    const year = openOn(day);
    if (day >= from && proofs.has(day)) met.add(year);
    if (day < from) continue;
    // The window to look at: this year's while it is not met, otherwise next year's, which is not open yet.
    if (met.has(year)) out.push('proven');
    else if (!met.has(year - 1)) out.push('lapsed');
    else out.push(day <= dueIn(year) ? 'open' : day <= lapsesIn(year) ? 'late' : 'lapsed');
  }
  return out;
}

const offsets = fc.array(fc.integer({ min: 0, max: 1400 }), { maxLength: 8 });
const standings = (h: DutyHistory, from: number, until: number): string[] => {
  const windows = timeline(h, d(text(until)));
  const out: string[] = [];
  for (let day = from; day <= until; day += DAY) out.push(standingOn(governing(windows, d(text(day))) as DutyWindow, d(text(day))));
  return out;
};

describe('a day-by-day walk agrees', () => {
  it('[REC-23] [REC-40] [REC-41] since-last, 1,500 random histories, every day of four years', () => {
    const seen = new Set<string>();
    fc.assert(fc.property(fc.integer({ min: 0, max: 11 }), fc.integer({ min: 0, max: 3 }), fc.integer({ min: 0, max: 3 }), fc.option(fc.integer({ min: 0, max: 700 })), offsets, (min, a, b, ago, days) => {
      fc.pre(min + a + b > 0);
      const basis = ago === null ? null : START - ago * DAY;
      const cadence: Cadence = { kind: 'since-last', min: { months: min }, nominal: { months: min + a }, max: { months: min + a + b } };
      const h: DutyHistory = { cadence, from: d(text(START)), basisOn: basis === null ? null : d(text(basis)), proofs: days.map((n) => ({ on: d(text(START + n * DAY)), ref: `${n}` })) };
      const until = START + 1460 * DAY;
      const walked = walkSinceLast(min, min + a, min + a + b, START, basis, new Set(days.map((n) => START + n * DAY)), until);
      for (const each of walked) seen.add(each);
      expect(standings(h, START, until)).toEqual(walked);
    }), { seed: 20270301, numRuns: 1500 });
    expect([...seen].sort()).toEqual(['cant-tell', 'lapsed', 'late', 'open', 'proven']);
  }, 120_000);
  it('[REC-20] [REC-21] [REC-22] fixed-month, 1,500 random histories, every day of four years', () => {
    const seen = new Set<string>();
    fc.assert(fc.property(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 0, max: 3 }), fc.integer({ min: 0, max: 3 }), fc.integer({ min: 0, max: 700 }), offsets, (dueMonth, early, late, ago, days) => {
      const cadence: Cadence = { kind: 'fixed-month', everyMonths: 12, dueMonth, dueDay: 'month-end', early: { months: early }, late: { months: late } };
      const basis = START - ago * DAY;
      const h: DutyHistory = { cadence, from: d(text(START)), basisOn: d(text(basis)), proofs: days.map((n) => ({ on: d(text(START + n * DAY)), ref: `${n}` })) };
      const until = START + 1460 * DAY;
      const walked = walkFixed(dueMonth, early, late, START, basis, new Set(days.map((n) => START + n * DAY)), until);
      for (const each of walked) seen.add(each);
      expect(standings(h, START, until)).toEqual(walked);
    }), { seed: 20270302, numRuns: 1500 });
    expect([...seen].sort()).toEqual(['lapsed', 'late', 'open', 'proven']);
  }, 120_000);
});

const span = fc.oneof(fc.record({ months: fc.integer({ min: 0, max: 5 }) }), fc.record({ days: fc.integer({ min: 0, max: 120 }) }));
const cadences: fc.Arbitrary<Cadence> = fc.oneof(
  fc.record({ kind: fc.constant('fixed-month' as const), everyMonths: fc.constantFrom(1, 2, 3, 6, 12, 24), dueMonth: fc.integer({ min: 1, max: 12 }), dueDay: fc.oneof(fc.integer({ min: 1, max: 31 }), fc.constant('month-end' as const)), early: span, late: span }),
  fc.record({ kind: fc.constant('once-per' as const), period: fc.constantFrom('month' as const, 'quarter' as const, 'half-year' as const, 'year' as const), minGapDays: fc.integer({ min: 0, max: 27 }) }),
  fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 4 }), fc.integer({ min: 1, max: 4 })).map(([a, b, c]) => ({ kind: 'since-last' as const, min: { months: a }, nominal: { months: a + b }, max: { months: a + b + c } })),
  fc.record({ kind: fc.constant('extending' as const), first: fc.constant({ months: 12 }), base: fc.constant({ months: 6 }), extended: fc.constant({ months: 18 }), afterClean: fc.integer({ min: 1, max: 3 }), early: span, late: span }),
  fc.record({ kind: fc.constant('age' as const), years: fc.integer({ min: 1, max: 4 }), early: span, late: span }),
  fc.constantFrom<Cadence>(
    { kind: 'calendar-rule', dtstart: '2020-01-06', timeZone: 'Europe/Madrid', rrule: 'FREQ=MONTHLY;BYDAY=1MO', earlyDays: 6, lateDays: 40 },
    { kind: 'calendar-rule', dtstart: '2020-03-02', timeZone: 'Europe/Madrid', rrule: 'FREQ=YEARLY;BYMONTH=3,9;BYDAY=1MO', earlyDays: 20, lateDays: 20 }),
);
const histories: fc.Arbitrary<DutyHistory> = fc.record({
  cadence: cadences,
  ago: fc.option(fc.integer({ min: 0, max: 900 })),
  days: offsets,
  clean: fc.boolean(),
  pause: fc.option(fc.tuple(fc.integer({ min: 0, max: 900 }), fc.integer({ min: 0, max: 300 }), fc.constantFrom('continue' as const, 'check' as const))),
}).map(({ cadence, ago, days, clean, pause }) => ({
  cadence,
  from: d(text(START)),
  basisOn: ago === null ? null : d(text(START - ago * DAY)),
  proofs: days.map((n) => ({ on: d(text(START + n * DAY)), ref: `c${n}`, clean })),
  ...(pause === null ? {} : { pauses: [{ from: d(text(START + pause[0] * DAY)), to: d(text(START + (pause[0] + pause[1]) * DAY)), by: 'owner', onReturn: pause[2] }] }),
}));
const HORIZON = d(text(START + 1400 * DAY));

describe('properties of every history', () => {
  it('[REC-30] windows follow each other without gap or overlap from the first day on, edges in order', () => {
    let windows = 0;
    fc.assert(fc.property(histories, (h) => {
      const list = timeline(h, HORIZON);
      windows += list.length;
      expect(list[0]!.governsFrom).toBe(h.from);
      expect(list.at(-1)!.governsTo).toBeNull();
      list.forEach((w, at) => {
        expect(w.n).toBe(at);
        expect([w.opens, w.due, w.lapses]).toEqual([w.opens, w.due, w.lapses].sort());
        if (at > 0) expect(w.governsFrom).toBe(addDays(list[at - 1]!.governsTo!, 1));
        if (w.metOn !== null) {
          expect(w.metOn >= w.governsFrom).toBe(true);
          expect(w.governsTo).toBe(addDays(w.metOn, -1));
          expect(w.outcome).toBe(w.metOn <= w.lapses ? 'on-time' : 'late');
          expect(w.lateDays > 0).toBe(w.outcome === 'late');
        }
        if (at > 0) expect(list[at - 1]!.outcome === 'missed' ? w.carried : 'lapsed').toBe('lapsed');
      });
    }), { seed: 31, numRuns: 3000 });
    expect(windows).toBeGreaterThan(10_000);
  });
  it('[REC-31] windows of a fixed duty never overlap', () => {
    fc.assert(fc.property(histories.filter((h) => ['fixed-month', 'once-per', 'calendar-rule'].includes(h.cadence.kind) && h.basisOn !== null && !h.pauses), (h) => {
      const list = timeline(h, HORIZON);
      list.slice(1).forEach((w, at) => expect(w.opens > list[at]!.lapses).toBe(true));
    }), { seed: 32, numRuns: 1000 });
  });
  it('[REC-32] the order in which proofs are told changes nothing', () => {
    fc.assert(fc.property(histories, (h) => {
      expect(timeline({ ...h, proofs: [...h.proofs].reverse() }, HORIZON)).toEqual(timeline(h, HORIZON));
    }), { seed: 33, numRuns: 1000 });
  });
  it('[REC-33] told day by day or at once, every day stands the same: later facts change no earlier standing', () => {
    fc.assert(fc.property(histories, fc.integer({ min: 0, max: 1400 }), (h, n) => {
      const day = addDays(h.from, n);
      const known = { ...h, proofs: h.proofs.filter((proof) => proof.on <= day) };
      const now = governing(timeline(known, day), day) as DutyWindow;
      const later = governing(timeline(h, HORIZON), day) as DutyWindow;
      expect(standingOn(later, day)).toBe(standingOn(now, day));
    }), { seed: 34, numRuns: 3000 });
  });
  it('[REC-32] a proof inside an open window never leaves the duty late or lapsed on that day', () => {
    let tried = 0;
    fc.assert(fc.property(histories.filter((h) => h.cadence.kind !== 'age' && !h.pauses), fc.integer({ min: 1, max: 1400 }), (h, n) => {
      const day = addDays(h.from, n);
      const before = timeline({ ...h, proofs: h.proofs.filter((proof) => proof.on < day) }, day);
      const window = governing(before, day) as DutyWindow;
      fc.pre(day >= window.opens && day <= window.lapses && window.metOn === null);
      tried += 1;
      const standing = standingOfDuty({ ...h, proofs: [...h.proofs.filter((proof) => proof.on < day), { on: day, ref: 'now', clean: true }] }, day);
      expect(['proven', 'open']).toContain(standing);
    }), { seed: 35, numRuns: 2000 });
    expect(tried).toBeGreaterThan(500);
  });
  it('[REC-23] an earlier proof never gives a later lapse', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 24 }), fc.integer({ min: 0, max: 800 }), fc.integer({ min: 0, max: 200 }), (max, n, more) => {
      const cadence: Cadence = { kind: 'since-last', min: { months: 0 }, nominal: { months: max }, max: { months: max } };
      const lapse = (on: number): string => timeline({ cadence, from: d(text(START)), basisOn: d(text(START + on * DAY)), proofs: [] }, d(text(START + 2000 * DAY))).at(-1)!.lapses;
      expect(lapse(n) <= lapse(n + more)).toBe(true);
    }), { seed: 36, numRuns: 1000 });
  });
  it('[REC-41] without a known date nothing is proven, open or late before the first proof', () => {
    fc.assert(fc.property(histories.filter((h) => h.basisOn === null), (h) => {
      const bare = { ...h, proofs: [], pauses: [] };
      for (let n = 0; n < 1400; n += 37) expect(['cant-tell', 'lapsed']).toContain(standingOfDuty(bare, addDays(h.from, n)));
    }), { seed: 37, numRuns: 500 });
  });
});

describe('do together, against brute force', () => {
  it('[REC-70] is the fewest days, each inside every window named for it, on 600 random sites of up to 8 duties', () => {
    const windows = fc.array(fc.tuple(fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 20 }), fc.boolean()), { minLength: 1, maxLength: 8 });
    let several = 0;
    fc.assert(fc.property(windows, fc.uniqueArray(fc.integer({ min: 1, max: 7 }), { minLength: 2, maxLength: 6 }), fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 10 }), (list, open, quietFrom, quietLength) => {
      const at = (n: number): LocalDate => d(text(START + n * DAY));
      const named = list.map(([from, length, noisy], i) => ({ name: `w${i}`, opens: at(from), lapses: at(from + length), noisy }));
      const calendar = { openWeekdays: open, quiet: [{ from: at(quietFrom), to: at(quietFrom + quietLength), reason: 'exams' }] };
      const isUsable = (n: number, noisy: boolean): boolean =>
        open.includes(((new Date(START + n * DAY).getUTCDay() + 6) % 7) + 1) && !(noisy && n >= quietFrom && n <= quietFrom + quietLength);
      const masks = [...new Set(Array.from({ length: 62 }, (_, n) => list.reduce((mask, [from, length, noisy], i) => (n >= from && n <= from + length && isUsable(n, noisy) ? mask | (1 << i) : mask), 0)))];
      const whole = masks.reduce((a, b) => a | b, 0);
      let best = 0;
      for (let reached = new Set([0]); !reached.has(whole); best += 1) reached = new Set([...reached].flatMap((r) => masks.map((m) => r | m)));
      const answer = doTogether(named, calendar);
      expect(answer.visits).toHaveLength(best);
      expect(answer.cannotBeMet.map((c) => c.name)).toEqual(named.filter((_, i) => !(whole & (1 << i))).map((w) => w.name));
      expect(answer.visits.flatMap((v) => v.names).sort()).toEqual(named.filter((_, i) => whole & (1 << i)).map((w) => w.name).sort());
      for (const visit of answer.visits) {
        for (const day of visit.days) for (const name of visit.names) {
          const i = Number(name.slice(1));
          expect(day >= named[i]!.opens && day <= named[i]!.lapses && isUsable((ms(day) - START) / DAY, named[i]!.noisy)).toBe(true);
        }
        expect(visit.notBefore.rule).not.toBe('');
        expect(visit.notAfter.rule).not.toBe('');
      }
      if (best > 1) several += 1;
    }), { seed: 70, numRuns: 600 });
    expect(several).toBeGreaterThan(100);
  }, 120_000);
});
