import type { RoutingModel } from './model.js';
import { RouteTimes } from './route-times.js';

/** The current plan of the search: who is in, what it costs, and how to undo a step. */
export class Routes extends RouteTimes {
  readonly load: Int32Array;
  readonly travel: Float64Array;
  readonly overtime: Float64Array;
  readonly work: Float64Array;
  readonly techLoad: Float64Array;
  readonly absent: Int32Array;
  readonly absentAt: Int32Array;
  absentCount = 0;
  /** Routes without a stop, in no order. */
  readonly empty: Int32Array;
  private readonly emptyAt: Int32Array;
  emptyCount = 0;

  lapse = 0;
  exposure = 0;
  overtimeSum = 0;
  travelSum = 0;
  changeSum = 0;
  balanceSum = 0;
  promiseSum = 0;
  /** Prices of promises broken in each route. */
  readonly broken: Float64Array;
  /** Parts used in each route. */
  private readonly used: Int32Array;
  private readonly starts: Int32Array;

  /** Changes with each change of a route and comes back when the change is undone: what was learned of it then holds again. */
  readonly version: Int32Array;
  private lastVersion = 0;

  private readonly rich: boolean;
  private readonly priced: boolean;
  private readonly saved: Int32Array;
  private savedLength = 0;
  private readonly touched: Int32Array;
  private step = 0;
  private savedTotals = [0, 0, 0, 0, 0, 0, 0];

  constructor(model: RoutingModel) {
    super(model);
    const { clients, routes } = model;
    this.load = new Int32Array(routes);
    this.broken = new Float64Array(routes);
    this.used = new Int32Array(routes * model.parts);
    this.starts = new Int32Array(clients);
    this.travel = new Float64Array(routes);
    this.overtime = new Float64Array(routes);
    this.work = new Float64Array(routes);
    this.techLoad = new Float64Array(model.techs);
    this.absent = new Int32Array(clients);
    this.absentAt = new Int32Array(clients).fill(-1);
    this.empty = new Int32Array(routes);
    this.emptyAt = new Int32Array(routes);
    this.saved = new Int32Array(2 * clients + 3 * routes + 16);
    this.touched = new Int32Array(routes).fill(-1);
    this.version = new Int32Array(routes);
    this.rich = model.shares || model.promises.size > 0 || model.moreWindows.size > 0 || model.breakLength.some((b) => b > 0);
    this.priced = model.promises.size > 0 || model.weights.balance > 0 || model.weights.change > 0 || model.lapseOnDay.some((x) => x > 0) || model.prizeLostOnDay.some((x) => x > 0);
    for (let r = 0; r < routes; r++) {
      const s = this.start + r;
      const e = this.end + r;
      this.next[s] = e;
      this.prev[e] = s;
      this.routeOf[s] = r;
      this.routeOf[e] = r;
      this.addEmpty(r);
      this.refresh(r);
    }
    for (let c = 0; c < clients; c++) this.addAbsent(c);
  }

  // ---- totals -------------------------------------------------------------------------------------------------

  strict(): number {
    const w = this.model.weights;
    return w.lapse * this.lapse + w.exposure * this.exposure + w.overtime * this.overtimeSum + this.last();
  }

  /** Travel, promises, change and balance together. */
  last(): number {
    const w = this.model.weights;
    return w.travel * (this.travelSum + this.promiseSum) + w.change * this.changeSum + w.balance * this.balanceSum;
  }

  softCost(): number {
    const w = this.model.soft;
    return w.lapse * this.lapse + w.exposure * this.exposure + w.overtime * this.overtimeSum + w.travel * (this.travelSum + this.promiseSum)
      + w.change * this.changeSum + w.balance * this.balanceSum;
  }

  private addAbsent(c: number): void {
    const m = this.model;
    this.absentAt[c] = this.absentCount;
    this.absent[this.absentCount++] = c;
    this.routeOf[c] = -1;
    this.fixed[c] = -1;
    this.lapse += m.lapseAbsent[c];
    this.exposure += m.prizeAbsent[c];
    this.promiseSum += m.promiseAbsent[c];
    if (m.publishedTech[c] >= 0) this.changeSum += 1;
  }

  private dropAbsent(c: number, r: number): void {
    const m = this.model;
    const at = this.absentAt[c];
    const moved = this.absent[--this.absentCount];
    this.absent[at] = moved;
    this.absentAt[moved] = at;
    this.absentAt[c] = -1;
    this.routeOf[c] = r;
    this.lapse -= m.lapseAbsent[c];
    this.exposure -= m.prizeAbsent[c];
    this.promiseSum -= m.promiseAbsent[c];
    const d = c * m.days + m.routeDay[r];
    this.lapse += m.lapseOnDay[d];
    this.exposure += m.prizeLostOnDay[d];
    if (m.publishedTech[c] >= 0) this.changeSum += this.differs(c, r) - 1;
  }

  private addEmpty(r: number): void {
    this.emptyAt[r] = this.emptyCount;
    this.empty[this.emptyCount++] = r;
  }

  private dropEmpty(r: number): void {
    const moved = this.empty[--this.emptyCount];
    this.empty[this.emptyAt[r]] = moved;
    this.emptyAt[moved] = this.emptyAt[r];
  }

  private undoPresence(c: number, r: number): void {
    const m = this.model;
    const d = c * m.days + m.routeDay[r];
    this.lapse -= m.lapseOnDay[d];
    this.exposure -= m.prizeLostOnDay[d];
    if (m.publishedTech[c] >= 0) this.changeSum -= this.differs(c, r);
    this.addAbsent(c);
  }

  private differs(c: number, r: number): number {
    const m = this.model;
    return m.publishedTech[c] === m.routeTech[r] && m.publishedDay[c] === m.routeDay[r] ? 0 : 1;
  }

  // ---- change -------------------------------------------------------------------------------------------------

  /** Puts an absent client after node p. The caller refreshes the route once it is done with it. */
  link(c: number, p: number, fixedStart = -1): void {
    const m = this.model;
    const r = this.routeOf[p];
    this.touch(r);
    const q = this.next[p];
    this.next[p] = c;
    this.prev[c] = p;
    this.next[c] = q;
    this.prev[q] = c;
    this.dropAbsent(c, r);
    this.fixed[c] = fixedStart;
    const d = c * m.days + m.routeDay[r];
    this.from[c] = fixedStart >= 0 ? fixedStart : m.winFrom[d];
    this.to[c] = fixedStart >= 0 ? fixedStart : m.winTo[d];
    if (this.size[r]++ === 0) this.dropEmpty(r);
    this.load[r] += m.demand[c];
    for (let k = 0; k < m.parts; k++) this.used[r * m.parts + k] += m.needs[c * m.parts + k];
  }

  /** Gives a routed two-person visit another start. The caller does so for both and refreshes their routes. */
  refix(c: number, start: number): void {
    this.touch(this.routeOf[c]);
    this.fixed[c] = start;
    this.from[c] = start;
    this.to[c] = start;
  }

  /** Are there parts on the van for c as well? */
  stocked(c: number, r: number): boolean {
    const m = this.model;
    for (let k = 0; k < m.parts; k++) if (this.used[r * m.parts + k] + m.needs[c * m.parts + k] > m.stock[r * m.parts + k]) return false;
    return true;
  }

  /**
   * Takes a client out with all that cannot stay without it: the other person, the errands for its key, and the next
   * client where that would have to set up anew (its longer service might not fit). Adds them to `out`.
   */
  takeOut(c: number, out: number[]): void {
    const m = this.model;
    const of = m.errandFor[c] >= 0 ? m.errandFor[c] : c;
    this.takeOne(of, out);
    for (const other of [m.mate[of], m.collectOf[of], m.returnOf[of]]) if (other >= 0) this.takeOne(other, out);
  }

  private takeOne(c: number, out: number[]): void {
    if (this.routeOf[c] < 0) return;
    const p = this.prev[c];
    const q = this.next[c];
    this.unlink(c);
    out.push(c);
    if (this.setUpSaved(c, q) > this.setUpSaved(p, q)) this.takeOut(q, out);
  }

  /** Takes a client out. The caller refreshes the route once it is done with it. */
  unlink(c: number): void {
    const r = this.routeOf[c];
    this.touch(r);
    const p = this.prev[c];
    const q = this.next[c];
    this.next[p] = q;
    this.prev[q] = p;
    if (--this.size[r] === 0) this.addEmpty(r);
    this.load[r] -= this.model.demand[c];
    this.unuse(c, r);
    this.undoPresence(c, r);
  }

  private unuse(c: number, r: number): void {
    const m = this.model;
    for (let k = 0; k < m.parts; k++) this.used[r * m.parts + k] -= m.needs[c * m.parts + k];
  }

  /** Starts a step that can be undone. */
  begin(): void {
    this.savedLength = 0;
    this.step++;
    const s = this.savedTotals;
    s[0] = this.lapse;
    s[1] = this.exposure;
    s[2] = this.overtimeSum;
    s[3] = this.travelSum;
    s[4] = this.changeSum;
    s[5] = this.balanceSum;
    s[6] = this.promiseSum;
  }

  private touch(r: number): void {
    if (this.touched[r] === this.step) return;
    this.touched[r] = this.step;
    const saved = this.saved;
    let at = this.savedLength;
    saved[at++] = r;
    saved[at++] = this.size[r];
    saved[at++] = this.version[r];
    for (let c = this.next[this.start + r]; c < this.start; c = this.next[c]) {
      saved[at++] = c;
      saved[at++] = this.fixed[c];
    }
    this.savedLength = at;
  }

  /** Undoes everything since begin(). */
  rollback(): void {
    const saved = this.saved;
    for (let at = 0; at < this.savedLength; at += 3 + 2 * saved[at + 1]) {
      const r = saved[at];
      for (let c = this.next[this.start + r]; c < this.start; c = this.next[c]) {
        this.unuse(c, r);
        this.undoPresence(c, r);
      }
      this.next[this.start + r] = this.end + r;
      this.prev[this.end + r] = this.start + r;
      if (this.size[r] > 0) this.addEmpty(r);
      this.size[r] = 0;
      this.load[r] = 0;
    }
    for (let at = 0; at < this.savedLength; at += 3 + 2 * saved[at + 1]) {
      const r = saved[at];
      let p = this.start + r;
      for (let i = 0; i < saved[at + 1]; i++) {
        const c = saved[at + 3 + 2 * i];
        this.link(c, p, saved[at + 4 + 2 * i]);
        p = c;
      }
      this.refresh(r);
      this.version[r] = saved[at + 2];
    }
    const s = this.savedTotals;
    this.lapse = s[0];
    this.exposure = s[1];
    this.overtimeSum = s[2];
    this.travelSum = s[3];
    this.changeSum = s[4];
    this.balanceSum = s[5];
    this.promiseSum = s[6];
  }

  /** Recomputes times and cost of one route. */
  refresh(r: number): void {
    this.version[r] = ++this.lastVersion;
    if (this.rich) this.passesRich(r);
    else this.passesPlain(r);
    if (this.model.promises.size > 0) this.judgePromises(r);
  }

  /** The same after c alone was linked into an otherwise fresh route. */
  refreshInserted(c: number): void {
    const r = this.routeOf[c];
    if (this.rich || this.size[r] === 1) {
      this.refresh(r);
      return;
    }
    this.version[r] = ++this.lastVersion;
    const m = this.model;
    const mat = m.mats[m.matOf[r]];
    const p = m.place[this.prev[c]] * m.places;
    const q = m.place[this.next[c]];
    this.insertedPlain(r, c);
    const added = mat[p + m.place[c]] + mat[m.place[c] * m.places + q] - mat[p + q];
    this.account(r, this.travel[r] + added, this.work[r] + m.service[c], Math.max(0, this.done1[this.end + r] - m.close[r]));
  }

  private judgePromises(r: number): void {
    const m = this.model;
    let price = 0;
    let any = false;
    for (let c = this.next[this.start + r]; c < this.start && !any; c = this.next[c]) any = m.promises.has(c);
    if (any) {
      this.startsOf(r, this.starts);
      for (let c = this.next[this.start + r]; c < this.start; c = this.next[c]) price += this.promisePrice(c, r, this.starts[c]);
    }
    this.promiseSum += price - this.broken[r];
    this.broken[r] = price;
  }

  /** What the promises of c that a start on that route breaks count for. */
  promisePrice(c: number, r: number, start: number): number {
    const m = this.model;
    let price = 0;
    const list = m.promises.get(c);
    if (list === undefined) return 0;
    for (const p of list) {
      const kept = (p.day < 0 || p.day === m.routeDay[r]) && (p.tech < 0 || p.tech === m.routeTech[r]) && p.from <= start && start <= p.to;
      if (!kept) price += p.price;
    }
    return price;
  }

  protected override account(r: number, travel: number, work: number, overtime: number): void {
    const m = this.model;
    this.travelSum += travel - this.travel[r];
    this.overtimeSum += overtime - this.overtime[r];
    const t = m.routeTech[r];
    const before = this.techLoad[t];
    const after = before + travel + work - this.travel[r] - this.work[r];
    this.techLoad[t] = after;
    this.balanceSum += (after * after - before * before) / m.techCapacity[t];
    this.travel[r] = travel;
    this.overtime[r] = overtime;
    this.work[r] = work;
  }

  /** What the place on that route costs beside travel and overtime: lapse and exposure by day, change, balance. */
  extra(c: number, r: number, addedMin: number): number {
    if (!this.priced) return 0;
    const m = this.model;
    const w = m.weights;
    const d = c * m.days + m.routeDay[r];
    let x = w.lapse * m.lapseOnDay[d] + w.exposure * m.prizeLostOnDay[d];
    if (m.publishedTech[c] >= 0) x += w.change * this.differs(c, r);
    if (w.balance > 0) {
      const t = m.routeTech[r];
      x += (w.balance * addedMin * (2 * this.techLoad[t] + addedMin)) / m.techCapacity[t];
    }
    return x;
  }

  /** What leaving c out costs. */
  absentCost(c: number): number {
    const m = this.model;
    const w = m.weights;
    return w.lapse * m.lapseAbsent[c] + w.exposure * m.prizeAbsent[c] + w.travel * m.promiseAbsent[c] + (m.publishedTech[c] >= 0 ? w.change : 0);
  }

  sequence(r: number): number[] {
    const out: number[] = [];
    for (let c = this.next[this.start + r]; c < this.start; c = this.next[c]) out.push(c);
    return out;
  }
}
