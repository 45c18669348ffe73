import { FAR, type RoutingModel } from './model.js';

/**
 * Routes as linked lists of nodes with earliest and latest service starts, so that one insertion is judged in constant
 * time. State 1: the break is taken or not owed; state 0: still owed.
 */
export abstract class RouteTimes {
  readonly next: Int32Array;
  readonly prev: Int32Array;
  /** Route of each node, -1 for absent clients. */
  readonly routeOf: Int32Array;
  /** Earliest completion in either state. */
  readonly done0: Int32Array;
  readonly done1: Int32Array;
  /** Latest start of service that keeps the rest feasible, in either state. */
  readonly late0: Int32Array;
  readonly late1: Int32Array;
  /** Window in force (the day's, or the start that a two-person visit agreed on). */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** Agreed start of a routed two-person visit, else -1. */
  readonly fixed: Int32Array;
  readonly size: Int32Array;
  readonly start: number;
  readonly end: number;

  constructor(readonly model: RoutingModel) {
    const { clients, routes } = model;
    const nodes = clients + 2 * routes;
    this.start = clients;
    this.end = clients + routes;
    this.next = new Int32Array(nodes);
    this.prev = new Int32Array(nodes);
    this.routeOf = new Int32Array(nodes).fill(-1);
    this.done0 = new Int32Array(nodes);
    this.done1 = new Int32Array(nodes);
    this.late0 = new Int32Array(nodes);
    this.late1 = new Int32Array(nodes);
    this.from = new Int32Array(nodes);
    this.to = new Int32Array(nodes);
    this.fixed = new Int32Array(nodes).fill(-1);
    this.size = new Int32Array(routes);
  }

  /** Takes over travel, work and overtime of a route whose times were recomputed. */
  protected abstract account(r: number, travel: number, work: number, overtime: number): void;

  protected passesPlain(r: number): void {
    const m = this.model;
    const mat = m.mats[m.matOf[r]];
    const { places, place, service } = m;
    const { next, prev, from, to, done1, late1 } = this;
    const s = this.start + r;
    const e = this.end + r;
    let travel = 0;
    let work = 0;
    let n = s;
    let done = m.open[r];
    done1[s] = done;
    let at = place[s] * places;
    for (let c = next[s]; c !== e; c = next[c]) {
      const t = mat[at + place[c]];
      travel += t;
      work += service[c];
      const a = done + t;
      done = (a > from[c] ? a : from[c]) + service[c];
      done1[c] = done;
      at = place[c] * places;
      n = c;
    }
    if (n !== s) {
      const t = mat[at + place[e]];
      travel += t;
      done += t;
    }
    done1[e] = done;
    let late = m.limit[r];
    late1[e] = late;
    for (let c = prev[e]; c !== s; c = prev[c]) {
      const q = next[c];
      late = late - mat[place[c] * places + place[q]] - service[c];
      if (late > to[c]) late = to[c];
      late1[c] = late;
    }
    this.account(r, travel, work, n === s ? 0 : Math.max(0, done - m.close[r]));
  }

  /** The same after one insertion: only as far as times really change. */
  protected insertedPlain(r: number, c: number): void {
    const m = this.model;
    const mat = m.mats[m.matOf[r]];
    const { places, place, service } = m;
    const { next, prev, from, to, done1, late1 } = this;
    const s = this.start + r;
    const e = this.end + r;
    let done = done1[prev[c]];
    let at = place[prev[c]] * places;
    for (let n = c; n !== e; n = next[n]) {
      const a = done + mat[at + place[n]];
      done = (a > from[n] ? a : from[n]) + service[n];
      if (done === done1[n] && n !== c) break;
      done1[n] = done;
      at = place[n] * places;
      if (next[n] === e) done1[e] = done + mat[at + place[e]];
    }
    let late = late1[next[c]];
    let after = place[next[c]];
    for (let n = c; n !== s; n = prev[n]) {
      late = late - mat[place[n] * places + after] - service[n];
      if (late > to[n]) late = to[n];
      if (late === late1[n] && n !== c) break;
      late1[n] = late;
      after = place[n];
    }
  }

  protected passesRich(r: number): void {
    const m = this.model;
    const mat = m.mats[m.matOf[r]];
    const { places, place, service } = m;
    const { next, prev, done0, done1, late0, late1 } = this;
    const owed = m.breakLength[r] > 0;
    const s = this.start + r;
    const e = this.end + r;
    done1[s] = owed ? FAR : m.open[r];
    done0[s] = owed ? m.open[r] : FAR;
    let travel = 0;
    let work = 0;
    let p = s;
    for (let c = next[s]; c !== e; c = next[c]) {
      const t = mat[place[p] * places + place[c]];
      const svc = service[c] - this.setUpSaved(p, c);
      travel += t;
      work += svc;
      const via1 = this.earliest(c, done1[p] + t);
      if (owed) {
        const viaBreak = this.earliest(c, this.afterBreak(r, done0[p], t));
        const via0 = this.earliest(c, done0[p] + t);
        done0[c] = via0 >= FAR ? FAR : via0 + svc;
        const best = via1 < viaBreak ? via1 : viaBreak;
        done1[c] = best >= FAR ? FAR : best + svc;
      } else {
        done0[c] = FAR;
        done1[c] = via1 >= FAR ? FAR : via1 + svc;
      }
      p = c;
    }
    let end = m.open[r];
    if (p !== s) {
      const t = mat[place[p] * places + place[e]];
      travel += t;
      end = this.homeBy(r, done0[p], done1[p], t);
    }
    done1[e] = end;
    late1[e] = m.limit[r];
    late0[e] = owed ? Math.min(m.breakTo[r], m.limit[r]) : m.limit[r];
    for (let c = prev[e]; c !== s; c = prev[c]) {
      const q = next[c];
      const t = mat[place[c] * places + place[q]];
      const svc = service[c] - this.setUpSaved(prev[c], c);
      late1[c] = this.latest(c, late1[q] - t - svc);
      late0[c] = owed ? this.latest(c, Math.max(late0[q] - t, this.beforeBreak(r, late1[q], t)) - svc) : -FAR;
    }
    this.account(r, travel, work, p === s ? 0 : Math.max(0, end - m.close[r]));
  }

  /** Minutes of set-up that c saves right after p. */
  setUpSaved(p: number, c: number): number {
    const m = this.model;
    if (!m.shares || p >= this.start || c >= this.start) return 0;
    const a = m.address[c];
    return a >= 0 && a === m.address[p] ? m.setUp[c] : 0;
  }

  /** Would c between p and q change what anybody saves? */
  touchesSetUp(p: number, c: number, q: number): boolean {
    return this.setUpSaved(p, c) > 0 || this.setUpSaved(c, q) > 0 || this.setUpSaved(p, q) > 0;
  }

  /** Starts of service on the route into out[client], the break where the whole day ends earliest (as the timing of rounds does). */
  startsOf(r: number, out: Int32Array): void {
    const m = this.model;
    const mat = m.mats[m.matOf[r]];
    const s = this.start + r;
    let c = this.prev[this.end + r];
    if (c === s) return;
    const home = mat[m.place[c] * m.places + m.place[this.end + r]];
    let rested = m.breakLength[r] === 0 || this.done1[c] + home <= this.homeBy(r, this.done0[c], FAR, home);
    for (; c !== s; c = this.prev[c]) {
      const p = this.prev[c];
      const svc = m.service[c] - this.setUpSaved(p, c);
      out[c] = (rested ? this.done1[c] : this.done0[c]) - svc;
      if (!rested || m.breakLength[r] === 0) continue;
      const t = mat[m.place[p] * m.places + m.place[c]];
      rested = this.earliest(c, this.done1[p] + t) <= this.earliest(c, this.afterBreak(r, this.done0[p], t));
    }
  }

  /** Earliest end of the route when the last client is done at done0 / done1 and home is t away. */
  homeBy(r: number, done0: number, done1: number, t: number): number {
    const m = this.model;
    let end = done1 + t;
    if (m.breakLength[r] > 0) {
      if (done0 + t <= m.breakTo[r]) end = Math.min(end, done0 + t);
      end = Math.min(end, this.afterBreak(r, done0, t));
    }
    return end;
  }

  /** Earliest moment at the next place when the break is taken between here (done) and there (t away); FAR if it cannot be. */
  afterBreak(r: number, done: number, t: number): number {
    const m = this.model;
    const from = m.breakFrom[r];
    const arrive = done + t;
    if (arrive <= m.breakTo[r]) return (arrive > from ? arrive : from) + m.breakLength[r];
    if (done <= m.breakTo[r]) return (done > from ? done : from) + m.breakLength[r] + t;
    return FAR;
  }

  /** Latest completion here so that, with the break on the way, the next place is reached by `late`. */
  private beforeBreak(r: number, late: number, t: number): number {
    const m = this.model;
    const onArrival = late - m.breakLength[r];
    let best = -FAR;
    if (onArrival >= m.breakFrom[r]) best = Math.min(m.breakTo[r], onArrival) - t;
    const beforeLeaving = onArrival - t;
    if (beforeLeaving >= m.breakFrom[r]) best = Math.max(best, Math.min(m.breakTo[r], beforeLeaving));
    return best;
  }

  /** Earliest start of a routed client when reached at a; FAR if too late. */
  private earliest(c: number, a: number): number {
    if (a <= this.from[c]) return this.from[c];
    if (a <= this.to[c]) return a;
    if (this.fixed[c] >= 0) return FAR;
    return this.laterWindow(c, this.model.routeDay[this.routeOf[c]], a);
  }

  private laterWindow(c: number, day: number, a: number): number {
    const more = this.model.moreWindows.get(c * this.model.days + day);
    if (more === undefined) return FAR;
    for (let i = 0; i < more.length; i += 2) {
      if (a <= more[i + 1]) return a > more[i] ? a : more[i];
    }
    return FAR;
  }

  /** Latest in-window start not after x; -FAR if none. */
  private latest(c: number, x: number): number {
    const m = this.model;
    if (this.fixed[c] < 0) {
      const more = m.moreWindows.get(c * m.days + m.routeDay[this.routeOf[c]]);
      if (more !== undefined) {
        for (let i = more.length - 2; i >= 0; i -= 2) {
          if (x >= more[i]) return x < more[i + 1] ? x : more[i + 1];
        }
        return -FAR;
      }
    }
    if (x < this.from[c]) return -FAR;
    return x < this.to[c] ? x : this.to[c];
  }

  /** Earliest start of an absent client on a day when reached at a, or at exactly `fixedStart`. */
  earliestOn(c: number, day: number, a: number, fixedStart = -1): number {
    if (fixedStart >= 0) return a <= fixedStart ? fixedStart : FAR;
    const d = c * this.model.days + day;
    const from = this.model.winFrom[d];
    const to = this.model.winTo[d];
    if (to < from) return FAR;
    if (a <= from) return from;
    if (a <= to) return a;
    return this.model.moreWindows.size > 0 ? this.laterWindow(c, day, a) : FAR;
  }

  // ---- judging one insertion ------------------------------------------------------------------------------------

  /** Can the absent client c stand between p and its successor (windows, hard end, break)? Constant time. */
  fits(c: number, p: number, fixedStart = -1): boolean {
    const m = this.model;
    const r = this.routeOf[p];
    const q = this.next[p];
    const mat = m.mats[m.matOf[r]];
    const pc = m.place[c];
    const t1 = mat[m.place[p] * m.places + pc];
    const t2 = mat[pc * m.places + m.place[q]];
    const day = m.routeDay[r];
    const svc = m.service[c] - this.setUpSaved(p, c);
    let late1 = this.late1[q];
    let late0 = this.late0[q];
    const longer = m.shares ? this.setUpSaved(p, q) - this.setUpSaved(c, q) : 0;
    if (longer !== 0) {
      const after = mat[m.place[q] * m.places + m.place[this.next[q]]];
      const svcQ = m.service[q] - this.setUpSaved(c, q);
      late1 = this.latest(q, this.late1[this.next[q]] - after - svcQ);
      if (m.breakLength[r] > 0) late0 = this.latest(q, Math.max(this.late0[this.next[q]] - after, this.beforeBreak(r, this.late1[this.next[q]], after)) - svcQ);
    }
    const s1 = this.earliestOn(c, day, this.done1[p] + t1, fixedStart);
    if (s1 < FAR && s1 + svc + t2 <= late1) return true;
    if (m.breakLength[r] === 0) return false;
    const sb = this.earliestOn(c, day, this.afterBreak(r, this.done0[p], t1), fixedStart);
    if (sb < FAR && sb + svc + t2 <= late1) return true;
    const s0 = this.earliestOn(c, day, this.done0[p] + t1, fixedStart);
    if (s0 >= FAR) return false;
    return s0 + svc + t2 <= late0 || this.afterBreak(r, s0 + svc, t2) <= late1;
  }

  /** Earliest start that c could have between p and its successor; only meaningful when it fits. */
  earliestStart(c: number, p: number): number {
    const m = this.model;
    const r = this.routeOf[p];
    const t1 = m.mats[m.matOf[r]][m.place[p] * m.places + m.place[c]];
    let a = this.done1[p] + t1;
    if (m.breakLength[r] > 0) a = Math.min(a, this.done0[p] + t1);
    return this.earliestOn(c, m.routeDay[r], a);
  }

  /** Moment from which a routed client with an agreed start could start instead, the rest staying feasible. */
  earliestStay(c: number): number {
    const m = this.model;
    const r = this.routeOf[c];
    const p = this.prev[c];
    const t = m.mats[m.matOf[r]][m.place[p] * m.places + m.place[c]];
    const taken = this.done1[p] + t;
    if (m.breakLength[r] === 0) return taken;
    const onTheWay = Math.min(taken, this.afterBreak(r, this.done0[p], t));
    // without the break so far only where the rest can still take it
    return this.late0[c] >= this.fixed[c] ? Math.min(onTheWay, this.done0[p] + t) : onTheWay;
  }

  /** Latest start that an absent client could have between p and its successor (an estimate where a break is owed); -1: none. */
  latestStart(c: number, p: number): number {
    const m = this.model;
    const r = this.routeOf[p];
    const q = this.next[p];
    const t = m.mats[m.matOf[r]][m.place[c] * m.places + m.place[q]];
    const late = m.breakLength[r] > 0 ? Math.max(this.late1[q], this.late0[q]) : this.late1[q];
    return late - t - m.service[c];
  }

  /** End of the route of p with c after p; exact, walks the rest of the route. */
  endWith(c: number, p: number, fixedStart = -1): number {
    const m = this.model;
    const r = this.routeOf[p];
    const mat = m.mats[m.matOf[r]];
    const owed = m.breakLength[r] > 0;
    let d1 = this.done1[p];
    let d0 = this.done0[p];
    let at = p;
    for (let n = c; n < this.start; n = n === c ? this.next[p] : this.next[n]) {
      const t = mat[m.place[at] * m.places + m.place[n]];
      const svc = m.service[n] - this.setUpSaved(at, n);
      let s1 = n === c ? this.earliestOn(n, m.routeDay[r], d1 + t, fixedStart) : this.earliest(n, d1 + t);
      let s0 = FAR;
      if (owed) {
        const b = this.afterBreak(r, d0, t);
        s1 = Math.min(s1, n === c ? this.earliestOn(n, m.routeDay[r], b, fixedStart) : this.earliest(n, b));
        s0 = n === c ? this.earliestOn(n, m.routeDay[r], d0 + t, fixedStart) : this.earliest(n, d0 + t);
      }
      d1 = s1 >= FAR ? FAR : s1 + svc;
      d0 = s0 >= FAR ? FAR : s0 + svc;
      at = n;
    }
    const t = mat[m.place[at] * m.places + m.place[this.end + r]];
    return owed ? this.homeBy(r, d0, d1, t) : d1 + t;
  }

  /** Least duration of the route of p with c after p, the start being free (no break, one window per day). */
  durationWith(c: number, p: number): number {
    const m = this.model;
    const r = this.routeOf[p];
    const mat = m.mats[m.matOf[r]];
    let at = this.start + r;
    let duration = 0;
    let early = m.open[r];
    let late = m.limit[r];
    let n = at === p ? c : this.next[at];
    for (;;) {
      const t = n < this.start || n === this.end + r ? mat[m.place[at] * m.places + m.place[n]] : 0;
      const from = n === c ? m.winFrom[c * m.days + m.routeDay[r]] : n < this.start ? this.from[n] : m.open[r];
      const to = n === c ? m.winTo[c * m.days + m.routeDay[r]] : n < this.start ? this.to[n] : m.limit[r];
      // concatenation of two segments that together are feasible: waiting counts only if even the latest start waits
      const reach = duration + t;
      const wait = Math.max(0, from - reach - late);
      early = Math.max(from - reach, early) - wait;
      late = Math.min(to - reach, late);
      if (late < early) early = late;
      duration = reach + wait + (n < this.start ? m.service[n] : 0);
      if (n >= this.start) break;
      at = n;
      n = n === p ? c : n === c ? this.next[p] : this.next[n];
    }
    return duration;
  }
}
