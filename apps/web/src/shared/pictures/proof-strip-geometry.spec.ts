import { describe, expect, it } from 'vitest';
import { type StripLane, type StripWindow, kindOf, stripGeometry } from './proof-strip-geometry.js';
import { columnWords, laneWords, windowWords } from './proof-strip-words.js';

const TODAY = '2027-03-01';
const window = (opens: string, due: string, lapses: string, more: Partial<StripWindow> = {}): StripWindow => ({
  opens, due, lapses, metOn: null, outcome: null, lateDays: 0, carried: 'proven', governsFrom: opens, governsTo: null, ...more,
});
const lane = (title: string, ...windows: StripWindow[]): StripLane => ({ title, windows });
const geometry = (...lanes: StripLane[]) => stripGeometry({ lanes, from: '2027-01-01', to: '2027-12-31', today: TODAY });

const onTime = window('2027-01-05', '2027-01-20', '2027-01-31', { metOn: '2027-01-10', outcome: 'on-time', governsTo: '2027-01-09' });
const late = window('2027-01-05', '2027-01-20', '2027-01-31', { metOn: '2027-02-10', outcome: 'late', lateDays: 10, governsTo: '2027-02-09' });

describe('proof strip geometry', () => {
  it('a basin ends the morning after its last day, and a day is one wide', () => {
    const [basin] = geometry(lane('a', onTime)).lanes[0]!.basins;
    expect(basin).toMatchObject({ x1: 4, x2: 31, due: 19, kind: 'on-time' });
    expect(geometry().days).toBe(365);
    expect(geometry().today).toBe(59.5);
  });

  it('a proof in time stands in its basin without a tail', () => {
    expect(geometry(lane('a', onTime)).lanes[0]!.pegs).toEqual([{ x: 9.5, isLate: false, tailFrom: null }]);
  });

  it('a late proof has a tail as long as its lateness', () => {
    const [peg] = geometry(lane('a', late)).lanes[0]!.pegs;
    expect(peg).toEqual({ x: 40.5, isLate: true, tailFrom: 31 });
    expect(Math.floor(peg!.x) + 1 - peg!.tailFrom!).toBe(late.lateDays);
  });

  it('a missed basin stays empty; what is past its last day and unmet goes on growing to today', () => {
    const missed = window('2027-01-05', '2027-01-20', '2027-01-31', { outcome: 'missed', governsTo: '2027-02-10' });
    const overdue = window('2027-01-05', '2027-01-20', '2027-01-31');
    expect(geometry(lane('a', missed)).lanes[0]).toMatchObject({ pegs: [], growing: [], basins: [{ kind: 'missed' }] });
    expect(geometry(lane('a', overdue)).lanes[0]).toMatchObject({ pegs: [], growing: [{ x1: 31, x2: 60 }], broken: [{ x1: 31, x2: 60 }], basins: [{ kind: 'overdue' }] });
  });

  it('what cannot be told is hatched up to today, never into the future, and never counted as proven', () => {
    const inherited = window('2027-02-01', '2027-02-01', '2027-08-01', { carried: 'cant-tell' });
    expect(geometry(lane('a', inherited)).lanes[0]).toMatchObject({ hatched: [{ x1: 31, x2: 60 }], pegs: [], broken: [] });
  });

  it('a proof after today is not drawn: the strip shows what was known', () => {
    const future = window('2027-02-01', '2027-03-10', '2027-04-01', { metOn: '2027-03-05', outcome: 'on-time' });
    expect(geometry(lane('a', future)).lanes[0]).toMatchObject({ pegs: [], basins: [{ kind: 'open' }] });
  });

  it('nothing is drawn outside the days shown', () => {
    const strip = stripGeometry({ lanes: [lane('a', onTime, window('2028-02-01', '2028-02-10', '2028-03-01'))], from: '2027-06-01', to: '2027-12-31', today: TODAY });
    expect(strip.lanes[0]).toMatchObject({ basins: [], pegs: [] });
    expect(strip.today).toBeNull();
  });

  it('refuses a strip that ends before it begins', () => {
    expect(() => stripGeometry({ lanes: [], from: '2027-02-01', to: '2027-01-01', today: TODAY })).toThrow('from 2027-02-01 to 2027-01-01');
  });

  it.each([
    ['2027-01-04', 'ahead'], ['2027-01-05', 'open'], ['2027-01-31', 'open'], ['2027-02-01', 'overdue'],
  ])('an unmet window on %s is %s', (day, kind) => {
    expect(kindOf(window('2027-01-05', '2027-01-20', '2027-01-31'), day)).toBe(kind);
  });
});

describe('the light column', () => {
  it('is the stretch on which one visit fits all lanes (scenario 3: 20 Mar to 10 Apr)', () => {
    const { column } = geometry(
      lane('fire', window('2027-01-10', '2027-04-10', '2027-04-10')),
      lane('certification', window('2027-02-01', '2027-04-30', '2027-04-30')),
      lane('insurer', window('2027-03-20', '2027-06-30', '2027-06-30')),
    );
    expect(column).toMatchObject({ from: '2027-03-20', to: '2027-04-10', lanes: 3, of: 3 });
    expect(columnWords(column!)).toBe('One visit fits all 3: 20 Mar 2027 to 10 Apr 2027');
  });

  it('falls back to the most lanes that fit, and begins today at the earliest', () => {
    const { column } = geometry(
      lane('a', window('2027-02-01', '2027-03-10', '2027-03-31')),
      lane('b', window('2027-02-01', '2027-03-20', '2027-04-30')),
      lane('c', window('2027-06-01', '2027-06-10', '2027-06-30')),
    );
    expect(column).toMatchObject({ from: '2027-03-01', to: '2027-03-31', lanes: 2, of: 3 });
  });

  it('is absent when no two lanes overlap', () => {
    expect(geometry(lane('a', window('2027-03-01', '2027-03-02', '2027-03-03')), lane('b', window('2027-04-01', '2027-04-02', '2027-04-03'))).column).toBeNull();
    expect(geometry(lane('a', onTime), lane('b', onTime)).column).toBeNull();
  });
});

describe('the strip in words', () => {
  it('tells each window by what became of it', () => {
    expect(windowWords(onTime, TODAY)).toBe('Proven 10 Jan 2027, in time (window 5 Jan 2027 to 31 Jan 2027)');
    expect(windowWords(late, TODAY)).toBe('Proven 10 Feb 2027, 10 days late (window 5 Jan 2027 to 31 Jan 2027)');
    expect(windowWords(window('2027-01-05', '2027-01-20', '2027-01-31'), TODAY)).toBe('Lapsed 29 days ago, still without proof (window 5 Jan 2027 to 31 Jan 2027)');
    expect(windowWords(window('2027-02-05', '2027-02-20', '2027-03-31'), TODAY)).toBe('Late now: was due 20 Feb 2027, lapses 31 Mar 2027');
  });

  it('names what can’t be told and who allowed a pause', () => {
    const words = laneWords({ ...lane('Fire', window('2027-02-01', '2027-02-01', '2027-08-01', { carried: 'cant-tell' })), pauses: [{ from: '2026-11-01', to: '2027-01-31', by: 'M. Arden' }] }, TODAY);
    expect(words).toContain('can’t be told');
    expect(words).toContain('Not owed 1 Nov 2026 to 31 Jan 2027, allowed by M. Arden.');
  });
});
