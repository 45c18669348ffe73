import type { Random } from '../../random.js';
import type { Tours } from './tours.js';

const LEAST = 1e-6;

/**
 * Goes down from where the tours stand until no move between near clients helps: one or two clients to another place, one
 * or two against one or two, tails of two routes exchanged, a stretch turned round.
 */
export class Descent {
  private readonly order: Int32Array;
  private readonly changedAt: Int32Array;
  private readonly triedAt: Int32Array;
  private moves = 0;
  private readonly types: number;
  private readonly emptyOf: Int32Array;

  constructor(private readonly tours: Tours, private readonly random: Random, private readonly nearAt: Int32Array, private readonly near: Int32Array) {
    const m = tours.model;
    this.order = Int32Array.from({ length: m.clients }, (_, c) => c);
    this.changedAt = new Int32Array(m.routes);
    this.triedAt = new Int32Array(m.clients);
    this.types = 1 + m.routeType.reduce((a, b) => Math.max(a, b), 0);
    this.emptyOf = new Int32Array(this.types);
  }

  run(): void {
    const { tours: s, order, random, nearAt, near, changedAt, triedAt } = this;
    const { routeOf, prev, start } = s;
    for (let i = order.length - 1; i > 0; i--) {
      const j = random.below(i + 1);
      const c = order[i];
      order[i] = order[j];
      order[j] = c;
    }
    changedAt.fill(0);
    triedAt.fill(-1);
    this.moves = 0;
    for (let round = 0, again = true; again || round < 2; round++) {
      again = false;
      for (let i = 0; i < order.length; i++) {
        const u = order[i];
        const tried = triedAt[u];
        triedAt[u] = this.moves;
        for (let x = nearAt[u]; x < nearAt[u + 1]; x++) {
          const v = near[x];
          if (tried >= 0 && changedAt[routeOf[u]] <= tried && changedAt[routeOf[v]] <= tried) continue;
          if (this.pair(u, v) || (prev[v] >= start && this.first(u, prev[v]))) {
            again = true;
            x = nearAt[u] - 1;
          }
        }
        if (round > 0 && (tried < 0 || changedAt[routeOf[u]] > tried || round === 1) && this.empties(u)) again = true;
      }
    }
  }

  private changed(r: number, q: number): true {
    const { tours, changedAt } = this;
    this.moves++;
    changedAt[r] = this.moves;
    tours.refresh(r);
    if (q !== r) {
      changedAt[q] = this.moves;
      tours.refresh(q);
    }
    return true;
  }

  /** An empty route of each type. */
  private empties(u: number): boolean {
    const { tours: s, emptyOf } = this;
    const m = s.model;
    emptyOf.fill(-1);
    for (let r = 0; r < m.routes; r++) if (s.size[r] === 0 && emptyOf[m.routeType[r]] < 0) emptyOf[m.routeType[r]] = r;
    for (let t = 0; t < this.types; t++) if (emptyOf[t] >= 0 && this.first(u, s.start + emptyOf[t])) return true;
    return false;
  }

  /** Moves of u to right after the start of a route. */
  private first(u: number, v: number): boolean {
    return this.move(u, v) || this.moveTwo(u, v) || this.tails(this.tours.prev[u], v);
  }

  private pair(u: number, v: number): boolean {
    if (this.move(u, v) || this.moveTwo(u, v) || this.swap(u, v) || this.swapTwo(u, v)) return true;
    return this.tours.routeOf[u] === this.tours.routeOf[v] ? this.turn(u, v) : this.tails(u, this.tours.prev[v]);
  }

  private may(c: number, r: number): boolean {
    const m = this.tours.model;
    return c >= m.clients || m.allowed[c * m.routes + r] === 1;
  }

  /** Writes the nodes from a to b into the list at `k`; the new length. */
  private write(k: number, a: number, b: number): number {
    const { list, next } = this.tours;
    for (let n = a; ; n = next[n]) {
      list[k++] = n;
      if (n === b) return k;
    }
  }

  /** u to right after v. */
  private move(u: number, v: number): boolean {
    const { mat, row, col, next, prev, hop, routeOf, load, demand, penalty, list, position } = this.tours;
    const y = next[v];
    if (u === y || u === v) return false;
    const p = prev[u];
    const x = next[u];
    const r = routeOf[u];
    const q = routeOf[v];
    const d = mat[row[p] + col[x]] - hop[p] - hop[u] + mat[row[v] + col[u]] + mat[row[u] + col[y]] - hop[v];
    if (r === q) {
      if (d >= penalty[r]) return false;
      let cost: number;
      if (position[v] > position[u]) {
        const k = this.write(0, x, v);
        list[k] = u;
        cost = this.tours.priceOf(r, p, k + 1, y, load[r]);
      } else {
        list[0] = u;
        cost = this.tours.priceOf(r, v, this.write(1, y, p), x, load[r]);
      }
      if (d + cost - penalty[r] > -LEAST) return false;
    } else {
      if (d >= penalty[r] + penalty[q] || !this.may(u, q)) return false;
      list[0] = u;
      const cost = this.tours.priceOf(q, v, 1, y, load[q] + demand[u]);
      if (d + cost >= penalty[r] + penalty[q]) return false;
      if (d + cost + this.tours.priceOf(r, p, 0, x, load[r] - demand[u]) - penalty[r] - penalty[q] > -LEAST) return false;
    }
    this.tours.link(p, x);
    this.tours.link(v, u);
    this.tours.link(u, y);
    return this.changed(r, q);
  }

  /** u and the next to right after v, as they are or turned round. */
  private moveTwo(u: number, v: number): boolean {
    const { mat, row, col, next, prev, hop, routeOf, load, demand, penalty, list, position, start } = this.tours;
    const y = next[v];
    const x = next[u];
    if (u === y || u === v || x === v || x >= start) return false;
    const p = prev[u];
    const z = next[x];
    const r = routeOf[u];
    const q = routeOf[v];
    const out = mat[row[p] + col[z]] - hop[p] - hop[x] - hop[v];
    const plain = out + mat[row[v] + col[u]] + mat[row[x] + col[y]];
    const turned = out + mat[row[v] + col[x]] + mat[row[u] + col[y]] + mat[row[x] + col[u]] - hop[u];
    const now = penalty[r] + (r === q ? 0 : penalty[q]);
    if ((plain >= now && turned >= now) || (r !== q && (!this.may(u, q) || !this.may(x, q)))) return false;
    const moved = demand[u] + demand[x];
    for (let way = 0; way < 2; way++) {
      const d = way === 0 ? plain : turned;
      if (d >= now) continue;
      const a = way === 0 ? u : x;
      const b = way === 0 ? x : u;
      let cost: number;
      if (r === q) {
        if (position[v] > position[u]) {
          const k = this.write(0, z, v);
          list[k] = a;
          list[k + 1] = b;
          cost = this.tours.priceOf(r, p, k + 2, y, load[r]);
        } else {
          list[0] = a;
          list[1] = b;
          cost = this.tours.priceOf(r, v, this.write(2, y, p), z, load[r]);
        }
      } else {
        list[0] = a;
        list[1] = b;
        cost = this.tours.priceOf(q, v, 2, y, load[q] + moved);
        if (d + cost < now) cost += this.tours.priceOf(r, p, 0, z, load[r] - moved);
      }
      if (d + cost - now > -LEAST) continue;
      this.tours.link(p, z);
      this.tours.link(v, a);
      this.tours.link(a, b);
      this.tours.link(b, y);
      return this.changed(r, q);
    }
    return false;
  }

  /** u against v. */
  private swap(u: number, v: number): boolean {
    const { mat, row, col, next, prev, hop, routeOf, load, demand, penalty, list, position } = this.tours;
    const p = prev[u];
    const x = next[u];
    const o = prev[v];
    const y = next[v];
    const r = routeOf[u];
    const q = routeOf[v];
    if (u > v || x === v || y === u) return false;
    const d = mat[row[p] + col[v]] + mat[row[v] + col[x]] - hop[p] - hop[u] + mat[row[o] + col[u]] + mat[row[u] + col[y]] - hop[o] - hop[v];
    if (r === q) {
      if (d >= penalty[r]) return false;
      const ahead = position[u] < position[v];
      const a = ahead ? u : v;
      const b = ahead ? v : u;
      list[0] = b;
      const k = this.write(1, next[a], prev[b]);
      list[k] = a;
      if (d + this.tours.priceOf(r, prev[a], k + 1, next[b], load[r]) - penalty[r] > -LEAST) return false;
    } else {
      const now = penalty[r] + penalty[q];
      if (d >= now || !this.may(u, q) || !this.may(v, r)) return false;
      const diff = demand[u] - demand[v];
      list[0] = v;
      const cost = d + this.tours.priceOf(r, p, 1, x, load[r] - diff);
      if (cost >= now) return false;
      list[0] = u;
      if (cost + this.tours.priceOf(q, o, 1, y, load[q] + diff) - now > -LEAST) return false;
    }
    this.tours.link(p, v);
    this.tours.link(v, x);
    this.tours.link(o, u);
    this.tours.link(u, y);
    return this.changed(r, q);
  }

  /** u and the next against v, or against v and the next; between routes only. */
  private swapTwo(u: number, v: number): boolean {
    const { mat, row, col, next, prev, hop, routeOf, load, demand, penalty, list, start } = this.tours;
    const x = next[u];
    const r = routeOf[u];
    const q = routeOf[v];
    if (r === q || x >= start) return false;
    const p = prev[u];
    const z = next[x];
    const o = prev[v];
    const y = next[v];
    const now = penalty[r] + penalty[q];
    const side = mat[row[o] + col[u]] - hop[p] - hop[x] - hop[o] + mat[row[p] + col[v]];
    const one = side + mat[row[x] + col[y]] + mat[row[v] + col[z]] - hop[v];
    if (one < now && this.may(u, q) && this.may(x, q) && this.may(v, r)) {
      const diff = demand[u] + demand[x] - demand[v];
      list[0] = v;
      let cost = one + this.tours.priceOf(r, p, 1, z, load[r] - diff);
      if (cost < now) {
        list[0] = u;
        list[1] = x;
        cost += this.tours.priceOf(q, o, 2, y, load[q] + diff);
        if (cost - now <= -LEAST) {
          this.tours.link(p, v);
          this.tours.link(v, z);
          this.tours.link(o, u);
          this.tours.link(x, y);
          return this.changed(r, q);
        }
      }
    }
    if (u > v || y >= start) return false;
    const w = next[y];
    const two = side + mat[row[x] + col[w]] + mat[row[y] + col[z]] - hop[y];
    if (two >= now || !this.may(u, q) || !this.may(x, q) || !this.may(v, r) || !this.may(y, r)) return false;
    const diff = demand[u] + demand[x] - demand[v] - demand[y];
    list[0] = v;
    list[1] = y;
    let cost = two + this.tours.priceOf(r, p, 2, z, load[r] - diff);
    if (cost >= now) return false;
    list[0] = u;
    list[1] = x;
    cost += this.tours.priceOf(q, o, 2, w, load[q] + diff);
    if (cost - now > -LEAST) return false;
    this.tours.link(p, v);
    this.tours.link(y, z);
    this.tours.link(o, u);
    this.tours.link(x, w);
    return this.changed(r, q);
  }

  /** The stretch after u up to v turned round. */
  private turn(u: number, v: number): boolean {
    const { mat, row, col, next, prev, hop, routeOf, load, penalty, list, position } = this.tours;
    const x = next[u];
    const y = next[v];
    const r = routeOf[u];
    if (position[u] >= position[v] || x === v) return false;
    const d = mat[row[u] + col[v]] + mat[row[x] + col[y]] - hop[u] - hop[v];
    if (d >= penalty[r]) return false;
    let k = 0;
    for (let n = v; n !== u; n = prev[n]) list[k++] = n;
    if (d + this.tours.priceOf(r, u, k, y, load[r]) - penalty[r] > -LEAST) return false;
    let at = u;
    for (let i = 0; i < k; i++) {
      this.tours.link(at, list[i]);
      at = list[i];
    }
    this.tours.link(at, y);
    return this.changed(r, r);
  }

  /** What follows a and what follows b (in another route) change places. */
  private tails(a: number, b: number): boolean {
    const s = this.tours;
    const { mat, row, col, next, prev, hop, routeOf, load, cum, penalty } = s;
    const r = routeOf[a];
    const q = routeOf[b];
    const x = next[a];
    const y = next[b];
    if (r === q) return false;
    const now = penalty[r] + penalty[q];
    const d = mat[row[a] + col[y]] + mat[row[b] + col[x]] - hop[a] - hop[b];
    if (d >= now) return false;
    const headA = a >= s.start ? 0 : cum[a];
    const headB = b >= s.start ? 0 : cum[b];
    const cost = d + s.priceOf(r, a, 0, y, headA + load[q] - headB);
    if (cost >= now) return false;
    if (cost + s.priceOf(q, b, 0, x, headB + load[r] - headA) - now > -LEAST) return false;
    const endR = s.end + r;
    const endQ = s.end + q;
    const types = s.model.routeType;
    if (types[r] !== types[q]) {
      for (let n = x; n !== endR; n = next[n]) if (!this.may(n, q)) return false;
      for (let n = y; n !== endQ; n = next[n]) if (!this.may(n, r)) return false;
    }
    const lastR = prev[endR];
    const lastQ = prev[endQ];
    if (y === endQ) s.link(a, endR);
    else {
      s.link(a, y);
      s.link(lastQ, endR);
    }
    if (x === endR) s.link(b, endQ);
    else {
      s.link(b, x);
      s.link(lastR, endQ);
    }
    return this.changed(r, q);
  }
}
