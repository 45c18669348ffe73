import { Random } from '../../random.js';
import { type RoutingModel, shareRoute } from '../model.js';
import { Crossover } from './crossover.js';
import { Descent } from './descent.js';
import { feasible, individualOf, type Individual } from './individual.js';
import { Population } from './population.js';
import { Tours } from './tours.js';

/** Near clients that moves are tried between. */
const NEAR = 30;
/** Random solutions to begin with. */
const FOUNDERS = 25;
/** Share of the children that should be in time, not too full, not too long; prices follow it. */
const WANTED_LOW = 0.25;
const WANTED_HIGH = 0.45;
const PRICE_EVERY = 50;
/** Children without anything better before all begins anew. */
const PATIENCE = 5000;
/** Children in a row that were there already until a new founder is asked in. */
const MOST_DOUBLES = 10;

/**
 * A population of solutions that are crossed and improved; late and overfull routes are allowed at a price that follows how
 * many turn out feasible (hybrid genetic search: Vidal et al. 2013, from memory). For plain models in which everybody is served.
 */
export class Breed {
  best: Individual | null = null;
  private readonly random: Random;
  private readonly tours: Tours;
  private readonly descent: Descent;
  private readonly crossover: Crossover;
  private readonly population: Population;
  private readonly right = [0, 0, 0];
  private judged = 0;
  private barren = 0;
  private founders = 0;
  /** Children in a row that were there already. */
  private doubles = 0;

  constructor(private readonly model: RoutingModel, seed: number) {
    this.random = new Random(seed);
    this.tours = new Tours(model);
    const [at, near] = symmetric(model, NEAR);
    this.descent = new Descent(this.tours, this.random, at, near);
    this.crossover = new Crossover(this.tours, this.random, at, near);
    this.population = new Population(this.random, (x) => this.costOf(x));
    this.firstPrices();
  }

  /** Can this model be solved this way? */
  static suits(m: RoutingModel): boolean {
    const w = m.weights;
    const depot = m.place[m.clients];
    return !m.lexicographic && m.days === 1 && m.mats.length === 1 && !m.shares && m.parts === 0 && m.promises.size === 0 && m.moreWindows.size === 0
      && w.balance === 0 && w.change === 0 && w.overtime === 0 && m.breakLength.every((b) => b === 0) && m.mate.every((x) => x < 0) && m.errandFor.every((x) => x < 0)
      && m.lapseAbsent.every((x) => x > 0) && m.lapseOnDay.every((x) => x === 0) && m.prizeLostOnDay.every((x) => x === 0)
      && m.place.subarray(m.clients).every((p) => p === depot) && m.mats[0].every((t, i) => t === m.matsBack[0][i]);
  }

  private firstPrices(): void {
    const m = this.model;
    const far = m.mats[0].reduce((a, b) => Math.max(a, b), 0);
    this.tours.loadPrice = Math.max(0.1, Math.min(1000, far / Math.max(1, m.demand.reduce((a, b) => Math.max(a, b), 0))));
  }

  private costOf(x: Individual): number {
    const s = this.tours;
    return x.travel + s.loadPrice * x.load + s.warpPrice * x.warp + s.overPrice * x.over;
  }

  /** Takes in a solution found elsewhere: the sequence of each route. */
  admit(sequences: readonly (readonly number[])[]): void {
    const s = this.tours;
    sequences.forEach((seq, r) => {
      let p = s.start + r;
      for (const c of seq) {
        s.link(p, c);
        p = c;
      }
      s.link(p, s.end + r);
      s.refresh(r);
    });
    this.keep(individualOf(s));
  }

  /** One child more. */
  step(): void {
    if (this.founders < FOUNDERS || this.doubles > MOST_DOUBLES) {
      this.founders++;
      this.doubles = 0;
      this.crossover.fromScratch();
    } else {
      const [a, b] = this.population.parents();
      this.crossover.run(a, b);
    }
    this.descent.run();
    const child = individualOf(this.tours);
    this.keep(child);
    this.learn(child);
    if (!feasible(child) && this.random.unit() < 0.5) this.mend();
    if (++this.barren > PATIENCE) {
      this.barren = 0;
      this.founders = 0;
      this.population.clear();
    }
  }

  private keep(x: Individual): void {
    this.doubles = this.population.add(x) ? 0 : this.doubles + 1;
    if (!feasible(x) || (this.best !== null && x.travel >= this.best.travel)) return;
    this.best = x;
    this.barren = 0;
  }

  /** Improves the child once more at ten times the prices. */
  private mend(): void {
    const s = this.tours;
    this.prices(10);
    this.descent.run();
    this.prices(0.1);
    const x = individualOf(s);
    if (feasible(x)) this.keep(x);
  }

  private prices(factor: number): void {
    const s = this.tours;
    s.loadPrice *= factor;
    s.warpPrice *= factor;
    s.overPrice *= factor;
    s.reprice();
  }

  private learn(x: Individual): void {
    if (x.load === 0) this.right[0]++;
    if (x.warp === 0) this.right[1]++;
    if (x.over === 0) this.right[2]++;
    if (++this.judged < PRICE_EVERY) return;
    const follow = (price: number, right: number): number => {
      const share = right / PRICE_EVERY;
      const next = share < WANTED_LOW ? price * 1.2 : share > WANTED_HIGH ? price * 0.85 : price;
      return Math.max(0.1, Math.min(100_000, next));
    };
    const s = this.tours;
    s.loadPrice = follow(s.loadPrice, this.right[0]);
    s.warpPrice = follow(s.warpPrice, this.right[1]);
    s.overPrice = follow(s.overPrice, this.right[2]);
    this.right.fill(0);
    this.judged = 0;
    this.population.reprice();
  }
}

/** The near clients of each, both ways round, as one list and where each one's part begins. */
function symmetric(m: RoutingModel, count: number): [Int32Array, Int32Array] {
  const k = Math.min(count, m.neighbourCount);
  const sets = Array.from({ length: m.clients }, () => new Set<number>());
  for (let c = 0; c < m.clients; c++) {
    for (let x = 0; x < k; x++) {
      const v = m.neighbours[c * m.neighbourCount + x];
      if (!shareRoute(m, c, v)) continue;
      sets[c].add(v);
      sets[v].add(c);
    }
  }
  const at = new Int32Array(m.clients + 1);
  sets.forEach((set, c) => { at[c + 1] = at[c] + set.size; });
  const near = new Int32Array(at[m.clients]);
  sets.forEach((set, c) => { near.set([...set], at[c]); });
  return [at, near];
}
