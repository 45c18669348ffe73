import type { CostValues } from '../plan.js';
import { Random } from '../random.js';
import { Insertion } from './insertion.js';
import type { RoutingModel } from './model.js';
import type { Board } from './board.js';
import { bestChain, hasErrands, placeChain } from './chain.js';
import { PairStarts } from './pairs.js';
import { Routes } from './routes.js';
import { restore, snapshotOf, type Snapshot } from './snapshot.js';
import { orderForInsertion } from './order.js';
import { typicalHop } from './yardstick.js';

export interface SearchOptions {
  readonly seed: number;
  readonly iterations?: number;
  /** Asked now and then; true stops the search. */
  readonly until?: () => boolean;
  /** Share of the budget that is used, 0..1, for the cooling; without it cycles of growing length are run. */
  readonly fraction?: () => number;
  readonly cancelled?: () => boolean;
  readonly onProgress?: (p: SearchProgress) => void;
  readonly warm?: Routes;
  /** Shared with searches of the same problem in other threads. */
  readonly board?: Board;
  /** Clients around which most of the search goes on. */
  readonly focus?: readonly number[];
}

export interface SearchProgress {
  readonly iterations: number;
  readonly strict: number;
  readonly absent: number;
  readonly terms: CostValues;
}

const ASK_EVERY = 64;

/** Short descents from scratch, and the share of the budget that they take together. */
const STARTS = 3;
const START_SHARE = 0.6;
/** Larger problems have no time for several. */
const MOST_FOR_STARTS = 400;
/** How often searches in several threads look at each other's best. */
const EXCHANGES = 16;

/**
 * Ruin and recreate with strings of neighbouring routes removed and greedy insertion that sometimes blinks, under
 * annealing (slack induction by string removals: Christiaens and Vanden Berghe 2020, from memory), extended here by
 * optional clients, several days, breaks and two-person visits.
 */
export function search(model: RoutingModel, options: SearchOptions): { best: Snapshot; iterations: number } {
  return new Search(model, options).run();
}

class Search {
  private readonly random: Random;
  private readonly routes: Routes;
  private readonly insertion: Insertion;
  private readonly pairs: PairStarts;
  private readonly removed: number[] = [];
  private readonly key: Float64Array;
  private readonly ruined: Int32Array;
  private stamp = 0;
  private best: Snapshot;
  private readonly buffer: Int32Array;
  private readonly dirty: Uint8Array;
  private readonly dirtyRoutes: Int32Array;
  private dirtyCount = 0;
  private readonly averageRemoved = 10;
  private readonly longest = 10;
  private readonly scale: number;
  private markStamp = 0;
  private readonly wasIn: Int32Array;
  private step = 0;
  private readonly mark: Int32Array;
  /** Do clients differ in what leaving them out costs? */
  private readonly worth: boolean;
  private readonly lapsing: boolean;

  constructor(private readonly model: RoutingModel, private readonly options: SearchOptions) {
    this.random = new Random(options.seed);
    this.routes = options.warm ?? new Routes(model);
    this.insertion = new Insertion(model, this.routes, this.random, model.clients > 300 ? 40 : 50);
    this.insertion.wavers = true;
    this.pairs = new PairStarts(this.routes);
    this.key = new Float64Array(model.clients);
    this.ruined = new Int32Array(model.routes).fill(-1);
    this.buffer = new Int32Array(model.clients + 1);
    this.dirty = new Uint8Array(model.routes);
    this.dirtyRoutes = new Int32Array(model.routes);
    this.scale = typicalHop(model);
    this.mark = new Int32Array(model.clients);
    this.wasIn = new Int32Array(model.clients).fill(-1);
    this.worth = model.prizeAbsent.some((x) => x > 0) && new Set(model.prizeAbsent).size > 1;
    this.lapsing = model.lapseAbsent.some((x) => x > 0);
    this.begin();
    this.best = snapshotOf(this.routes);
  }

  /** Fills the first plan greedily. */
  private begin(): void {
    this.routes.begin();
    for (let i = 0; i < this.routes.absentCount; i++) this.removed.push(this.routes.absent[i]);
    this.order(0);
    this.recreate(0, true, this.model.lexicographic ? 1 : 30);
  }

  run(): { best: Snapshot; iterations: number } {
    const { options, model } = this;
    const short = model.clients <= MOST_FOR_STARTS;
    const hot = (model.lexicographic ? 1.5 : short ? 2.5 : 4) * this.scale;
    const cold = (model.lexicographic ? 0.05 : short ? 0.03 : 0.1) * this.scale;
    let temperature = hot;
    let cycleStart = 0;
    let cycle = Math.max(2000, 40 * model.clients);
    // places are passed over with 1 % (the paper's value); a handful of clients needs more to escape
    const blink = model.clients > 40 ? 42_949_672 : 429_496_729;
    let iteration = 0;
    let current = this.routes.softCost();
    if (model.clients === 0) return { best: this.best, iterations: 0 };
    const starts = this.starts();
    let phase = 0;
    let exchanged = 0;
    for (; options.iterations === undefined || iteration < options.iterations; iteration++) {
      if (iteration % ASK_EVERY === 0) {
        if (options.cancelled?.() === true || options.until?.() === true) break;
        let fraction: number;
        if (options.fraction !== undefined) fraction = options.fraction();
        else if (options.iterations !== undefined) fraction = iteration / options.iterations;
        else {
          fraction = (iteration - cycleStart) / cycle;
          if (fraction >= 1) {
            cycleStart = iteration;
            cycle *= 2;
            fraction = 0.3;
            restore(this.routes, this.best);
            current = this.routes.softCost();
          }
        }
        fraction = Math.min(1, Math.max(0, fraction));
        if (options.board !== undefined && Math.floor(fraction * EXCHANGES) > exchanged) {
          exchanged = Math.floor(fraction * EXCHANGES);
          if (this.exchange(options.board, starts === 1 || fraction >= START_SHARE)) current = this.routes.softCost();
        }
        let from = hot;
        if (starts > 1) {
          const here = Math.min(starts, Math.floor((fraction / START_SHARE) * starts));
          if (here > phase) {
            phase = here;
            if (phase < starts) this.startAnew();
            else restore(this.routes, this.best);
            current = this.routes.softCost();
          }
          if (phase < starts) fraction = (fraction * starts) / START_SHARE - phase;
          else {
            from = Math.sqrt(hot * cold);
            fraction = (fraction - START_SHARE) / (1 - START_SHARE);
          }
        }
        temperature = from * Math.pow(cold / from, fraction);
        if (iteration % 4096 === 0) options.onProgress?.(this.progress(iteration));
      }
      this.routes.begin();
      this.ruin();
      this.addAbsents();
      this.order(1);
      this.recreate(blink, false, this.greed());
      const cost = this.routes.softCost();
      const accept = cost < current - temperature * Math.log(this.random.unit() + 1e-300);
      if (this.betterThanBest()) {
        this.best = snapshotOf(this.routes);
        current = cost;
      } else if (accept) current = cost;
      else this.routes.rollback();
    }
    if (options.board !== undefined) this.exchange(options.board, true);
    restore(this.routes, this.best);
    options.onProgress?.(this.progress(iteration));
    return { best: this.best, iterations: iteration };
  }

  /**
   * One descent ends in one valley, and with long routes valleys differ by several per cent, whatever the time spent in
   * one: where there is no plan to keep, and the budget is known, several short ones first, then on from the best of them.
   */
  private starts(): number {
    const { options, model } = this;
    if (model.lexicographic || options.warm !== undefined || model.clients < 60 || model.clients > MOST_FOR_STARTS) return 1;
    return options.fraction === undefined && options.iterations === undefined ? 1 : STARTS;
  }

  /** Offers the best plan and takes over a better one, if there is any; true when it did. */
  private exchange(board: Board, takes: boolean): boolean {
    board.offer(this.best);
    const found = takes ? board.take(this.best, this.routes) : null;
    if (found !== null) this.best = found;
    return found !== null;
  }

  /** Empties all routes and fills them in another order. */
  private startAnew(): void {
    const s = this.routes;
    s.begin();
    this.removed.length = 0;
    for (let r = 0; r < this.model.routes; r++) for (const c of s.sequence(r)) if (s.routeOf[c] >= 0) this.takeOut(c);
    this.refreshDirty();
    this.addAbsents();
    for (let i = 0; i < s.absentCount; i++) if (!this.removed.includes(s.absent[i])) this.removed.push(s.absent[i]);
    this.order(1);
    this.recreate(0, true, 30);
  }

  /** Where prizes are weighed against travel, half of the steps also try clients that do not pay alone: two may pay together. */
  private greed(): number {
    if (this.model.lexicographic || !this.worth || this.random.unit() < 0.5) return 1;
    const u = this.random.unit();
    return 1 + 4 * u * u;
  }

  private progress(iterations: number): SearchProgress {
    return { iterations, strict: this.best.strict, terms: this.best.terms, absent: this.missing() };
  }

  /** Visits that the best plan leaves out. */
  private missing(): number {
    const m = this.model;
    let visits = 0;
    for (let c = 0; c < m.clients; c++) if (m.isSecond[c] === 0 && m.errandFor[c] < 0) visits++;
    for (const seq of this.best.sequences) for (const c of seq) if (m.isSecond[c] === 0 && m.errandFor[c] < 0) visits--;
    return visits;
  }

  private betterThanBest(): boolean {
    const s = this.routes;
    const b = this.best;
    const { lexicographic, levels } = this.model;
    if (!lexicographic) return s.strict() < b.strict - 1e-6;
    if (Math.abs(s.lapse - b.lapse) > 1e-6) return s.lapse < b.lapse;
    if (levels === 2) return s.softCost() < b.soft - 1e-6;
    if (Math.abs(s.exposure - b.exposure) > 0.005) return s.exposure < b.exposure;
    if (Math.abs(s.overtimeSum - b.overtime) > 1e-6) return s.overtimeSum < b.overtime;
    return s.last() < b.last - 1e-6;
  }

  /** Marks a route for one refresh after the ruin. */
  private soil(r: number): void {
    if (this.dirty[r] === 1) return;
    this.dirty[r] = 1;
    this.dirtyRoutes[this.dirtyCount++] = r;
  }

  private takeOut(c: number): void {
    const mate = this.model.mate[c];
    this.soil(this.routes.routeOf[c]);
    if (mate >= 0 && this.routes.routeOf[mate] >= 0) this.soil(this.routes.routeOf[mate]);
    this.routes.takeOut(c, this.removed);
  }

  private ruin(): void {
    const m = this.model;
    const s = this.routes;
    const random = this.random;
    this.removed.length = 0;
    const routed = m.clients - s.absentCount;
    if (routed === 0) return;
    const used = m.routes - s.emptyCount;
    const focus = this.options.focus ?? [];
    const seed = focus.length > 0 && random.unit() < 0.8 ? focus[random.below(focus.length)] : random.below(m.clients);
    if (routed <= 12 && random.unit() < 0.3) {
      for (let c = 0; c < m.clients; c++) if (s.routeOf[c] >= 0) this.takeOut(c);
      this.refreshDirty();
      return;
    }
    const whole = s.routeOf[seed];
    if (whole >= 0 && s.size[whole] <= 2 * this.longest && random.unit() < 0.03) {
      for (const c of s.sequence(whole)) if (s.routeOf[c] >= 0) this.takeOut(c);
      this.refreshDirty();
      return;
    }
    const longest = Math.min(this.longest, Math.max(1, routed / used));
    const most = (4 * this.averageRemoved) / (1 + longest) - 1;
    const strings = Math.floor(random.unit() * most + 1);
    this.stamp++;
    let done = 0;
    const k = m.neighbourCount;
    for (let x = -1; x < k && done < strings; x++) {
      const c = x < 0 ? seed : m.neighbours[seed * k + x];
      const r = s.routeOf[c];
      if (r < 0 || this.ruined[r] === this.stamp) continue;
      this.ruined[r] = this.stamp;
      this.cutString(c, r, 1 + random.below(Math.min(s.size[r], Math.floor(longest + 0.9999))));
      done++;
    }
    this.refreshDirty();
  }

  private refreshDirty(): void {
    for (let i = 0; i < this.dirtyCount; i++) {
      const r = this.dirtyRoutes[i];
      this.dirty[r] = 0;
      this.routes.refresh(r);
    }
    this.dirtyCount = 0;
  }

  /** Removes `length` clients of route r around c; half of the time leaves a stretch inside untouched. */
  private cutString(c: number, r: number, length: number): void {
    const s = this.routes;
    const random = this.random;
    let kept = 0;
    if (length > 1 && random.unit() < 0.5) {
      while (length + kept < s.size[r] && random.unit() > 0.01) {
        kept++;
        if (random.unit() > 0.5) break;
      }
    }
    const total = length + kept;
    let before = random.below(total);
    let n = c;
    while (before > 0 && s.prev[n] < s.start) {
      n = s.prev[n];
      before--;
    }
    let count = 0;
    for (let q = n; q < s.start && count < total; q = s.next[q]) this.buffer[count++] = q;
    // near the end of the route the string would be short: reach back
    while (count < total && s.prev[n] < s.start) {
      n = s.prev[n];
      this.buffer[count++] = n;
    }
    const keepFrom = kept > 0 ? 1 + random.below(Math.max(1, count - kept)) : -1;
    for (let i = 0; i < count; i++) {
      if (kept > 0 && i >= keepFrom && i < keepFrom + kept) continue;
      const q = this.buffer[i];
      if (s.routeOf[q] >= 0) this.takeOut(q);
    }
  }

  /** Lets some of the clients that are left out compete: near the ruin, and anywhere. */
  private addAbsents(): void {
    this.step++;
    for (const c of this.removed) this.wasIn[c] = this.step;
    const m = this.model;
    const s = this.routes;
    const outside = s.absentCount - this.removed.length;
    if (outside <= 0) return;
    this.markStamp++;
    for (const c of this.removed) this.mark[c] = this.markStamp;
    const add = (any: number): void => {
      const c = m.errandFor[any] >= 0 ? m.errandFor[any] : any;
      if (s.routeOf[c] >= 0 || this.mark[c] === this.markStamp) return;
      const mate = m.mate[c];
      this.mark[c] = this.markStamp;
      this.removed.push(c);
      if (mate >= 0 && this.mark[mate] !== this.markStamp) {
        this.mark[mate] = this.markStamp;
        this.removed.push(mate);
      }
    };
    if (outside <= 6) {
      for (let i = 0; i < s.absentCount; i++) add(s.absent[i]);
      return;
    }
    const seed = this.removed.length > 0 ? this.removed[this.random.below(this.removed.length)] : s.absent[this.random.below(s.absentCount)];
    const k = m.neighbourCount;
    let added = 0;
    for (let x = 0; x < k && added < 5; x++) {
      const c = m.neighbours[seed * k + x];
      if (s.routeOf[c] < 0 && this.mark[c] !== this.markStamp && this.random.unit() < 0.7) {
        add(c);
        added++;
      }
    }
    for (let i = 0; i < 1; i++) add(s.absent[this.random.below(s.absentCount)]);
  }

  private order(how: number): void {
    orderForInsertion({ model: this.model, routes: this.routes, random: this.random, key: this.key, removed: this.removed, scale: this.scale, worth: this.worth, lapsing: this.lapsing }, how);
  }

  /** Inserts what was taken out; places that cost more than leaving out are taken only under `greed`, for the annealing to judge. */
  private recreate(blink: number, thorough: boolean, greed = 1): void {
    const m = this.model;
    const s = this.routes;
    const insertion = this.insertion;
    for (const c of this.removed) {
      if (m.isSecond[c] === 1 || m.errandFor[c] >= 0) continue;
      const mate = m.mate[c];
      const absentCost = greed * s.absentCost(c);
      if (hasErrands(s, c)) {
        const at = bestChain(s, c, thorough || m.clients < 60);
        if (at !== null && at.cost < absentCost) placeChain(s, c, at);
        continue;
      }
      if (mate >= 0) {
        insertion.findPair(c, mate, thorough || this.random.unit() < 0.1);
        if (insertion.bestAfter < 0 || insertion.bestCost >= absentCost) continue;
        s.link(c, insertion.bestAfter, insertion.bestStart);
        s.refresh(s.routeOf[c]);
        s.link(mate, insertion.bestMateAfter, insertion.bestStart);
        s.refresh(s.routeOf[mate]);
        continue;
      }
      insertion.find(c, blink, thorough || m.clients < 60 || this.wasIn[c] === this.step || this.random.unit() < 0.1);
      if (insertion.bestAfter < 0 || insertion.bestCost >= absentCost) continue;
      s.link(c, insertion.bestAfter);
      s.refreshInserted(c);
    }
    this.pairs.settle();
  }
}
