import { Random } from './random.js';
import { greatCircleTravel, type Point } from './travel.js';
import type { Licence, Technician, Visit, VisitWindow, WeekProblem } from './problem.js';

export interface ExampleWeek {
  readonly technicians: number;
  readonly visits: number;
  readonly seed: number;
  /** Working days, five to a week. Default 5. */
  readonly days?: number;
  /** Also shared set-up, parts, notice, promises, sounding parts and keys; the rest is the same week. Expand before solving. Default false. */
  readonly extras?: boolean;
}

const FIRST = Date.UTC(2027, 2, 1);

function dayAt(i: number): string {
  return new Date(FIRST + i * 86_400_000).toISOString().slice(0, 10);
}

/**
 * An invented rich week: clustered sites, skills and licences that end, access hours, appointments, two-person visits,
 * breaks, overtime, equipment, lapses and exposure. Same numbers, same week.
 */
export function exampleWeek(spec: ExampleWeek): WeekProblem {
  const random = new Random(spec.seed);
  const days = Array.from({ length: spec.days ?? 5 }, (_, i) => dayAt(i + Math.floor(i / 5) * 2));
  const towns = Array.from({ length: Math.max(3, Math.round(spec.visits / 40)) }, () => ({ x: random.unit() * 90, y: random.unit() * 70, spread: 1 + random.unit() * 5 }));
  const near = (): Point => {
    const town = towns[random.below(towns.length)];
    const bell = (): number => random.unit() + random.unit() + random.unit() - 1.5;
    return { x: town.x + bell() * town.spread, y: town.y + bell() * town.spread };
  };
  const places: Point[] = Array.from({ length: spec.technicians }, near);
  const technicians = Array.from({ length: spec.technicians }, (_, i) => technician(random, i, days));
  const visits: Visit[] = [];
  for (let i = 0; i < spec.visits; i++) {
    if (i === 0 || random.unit() > 0.12) places.push(near());
    visits.push(visit(random, i, places.length - 1, days, technicians));
  }
  const { minutes, kind } = greatCircleTravel(places);
  const week: WeekProblem = { days, technicians, visits, travel: { kind, minutes } };
  return spec.extras === true ? withExtras(week, new Random(spec.seed + 1_000_003)) : week;
}

function withExtras(week: WeekProblem, random: Random): WeekProblem {
  const some = (p: number): boolean => random.unit() < p;
  const technicians = week.technicians.map((t) => ({ ...t, stock: { cell: 2 + random.below(4) }, shifts: t.shifts.map((s) => (some(0.1) ? { ...s, keepFreeMin: 60 } : s)) }));
  const visits = week.visits.map((v): Visit => {
    const alone = v.persons !== 2;
    const sounds = some(0.15);
    const noise = week.days.flatMap((day) => (some(0.4) ? [{ day, startMin: 960, endMin: 1020, closeMin: 1080 }] : [{ day, startMin: 480, endMin: 1020 }]));
    return {
      ...v,
      ...(sounds ? { sounding: { minutes: Math.min(10, v.serviceMin), windows: noise, setUpMin: 5, maySplit: alone && some(0.6) } } : alone ? { sharesSetUp: { address: `place ${v.place}`, minutes: Math.min(10, v.serviceMin) } } : {}),
      ...(some(0.15) ? { uses: { cell: 1 + random.below(2) } } : {}),
      ...(some(0.05) ? { notice: { leadDays: random.below(4), on: week.days[0], given: false } } : {}),
      ...(some(0.1) ? { promises: [{ day: week.days[random.below(week.days.length)], ...(some(0.5) ? { fromMin: 480, toMin: 720 } : {}), priceMin: 30 + random.below(60) }] } : {}),
      ...(alone && some(0.03) ? { key: { collectPlace: random.below(week.travel.minutes.length), handMin: 5 } } : {}),
    };
  });
  return { ...week, technicians, visits };
}

function technician(random: Random, i: number, days: readonly string[]): Technician {
  const skills = ['intrusion', ...(i % 3 !== 0 ? ['fire'] : []), ...(i % 4 === 1 ? ['access'] : [])];
  const ends = random.unit() < 0.1 ? days[random.below(days.length)] : '2027-12-31';
  const licences: Licence[] = [{ kind: 'alarm', from: '2025-01-01', to: '2028-01-01' }, ...(skills.includes('fire') ? [{ kind: 'fire', from: '2025-01-01', to: ends }] : [])];
  const off = random.unit() < 0.15 ? random.below(days.length) : -1;
  const startMin = 420 + 30 * random.below(3);
  const shifts = days.flatMap((day, d) => (d === off ? [] : [{ day, startMin, endMin: startMin + 510, maxOvertimeMin: 45, breakMin: 30 }]));
  return { id: `t${i + 1}`, name: `Technician ${i + 1}`, skills, licences, home: i, shifts, carries: random.unit() < 0.3 ? ['ladder', 'meter'] : ['meter'], pairOnly: i > 5 && i % 11 === 0 };
}

function visit(random: Random, i: number, place: number, days: readonly string[], technicians: readonly Technician[]): Visit {
  const kind = random.unit();
  const skill = kind < 0.55 ? 'intrusion' : kind < 0.92 ? 'fire' : 'access';
  const serviceMin = 20 + 5 * random.below(skill === 'fire' ? 20 : 14);
  const windows: VisitWindow[] = [];
  const appointment = random.unit() < 0.08;
  const chosen = appointment ? [days[random.below(days.length)]] : days.filter(() => random.unit() < 0.7);
  const shape = random.unit();
  for (const day of chosen.length === 0 ? [days[0]] : chosen) {
    if (appointment) {
      const startMin = 480 + 60 * random.below(8);
      windows.push({ day, startMin, endMin: startMin + 60 });
    } else if (shape < 0.15) windows.push({ day, startMin: 480, endMin: 660 }, { day, startMin: 840, endMin: 960 });
    else if (shape < 0.3) windows.push({ day, startMin: 480, endMin: 720 });
    else if (shape < 0.4) windows.push({ day, startMin: 780, endMin: 1020, closeMin: 1050 });
    else windows.push({ day, startMin: 480, endMin: 1020 });
  }
  const lapses = random.unit() < 0.2;
  return {
    id: `v${i + 1}`, siteId: `s${place}`, place, serviceMin, windows, skills: [skill], licences: [skill === 'fire' ? 'fire' : 'alarm'],
    persons: random.unit() < 0.03 ? 2 : 1, prize: Math.round(100 * (0.5 + 20 * random.unit() ** 3)) / 100,
    lapseDay: lapses ? days[Math.min(days.length - 1, 1 + random.below(days.length))] : null, lapsePenalty: 1,
    ...(random.unit() < 0.05 ? { equipment: ['ladder'] } : {}), ...(random.unit() < 0.03 ? { forbidden: [technicians[random.below(technicians.length)].id] } : {}),
  };
}
