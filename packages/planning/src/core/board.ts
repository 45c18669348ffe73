import type { RoutingModel } from './model.js';
import type { Routes } from './routes.js';
import { restore, snapshotOf, type Snapshot } from './snapshot.js';

const HEAD_INTS = 16;

/** Bytes that a board for problems of that many clients and routes takes. */
export function boardBytes(clients: number, routes: number): number {
  return 4 * (HEAD_INTS + routes + 2 * clients);
}

/**
 * The best plan that searches of one problem in several threads have found so far, in memory that they share. Each search
 * offers its best and goes on from a better one of another. What a search with a board finds depends on when the others got
 * how far: the same seed no longer gives the same plan.
 */
export class Board {
  private readonly ints: Int32Array;
  private readonly judged: Float64Array;

  /** `memory`: boardBytes long, zeroed. Throws RangeError where it is too small. */
  constructor(memory: SharedArrayBuffer, private readonly model: RoutingModel) {
    const bytes = boardBytes(model.clients, model.routes);
    if (memory.byteLength < bytes) throw new RangeError(`the board has ${memory.byteLength} bytes, accepted are at least ${bytes}`);
    this.ints = new Int32Array(memory);
    this.judged = new Float64Array(memory, 16, 5);
  }

  /** Leaves the plan there where it is better than what stands. */
  offer(snap: Snapshot): void {
    this.lock();
    if (this.ints[1] === 0 || better(this.model, judge(snap), [...this.judged])) {
      this.judged.set(judge(snap));
      let at = HEAD_INTS;
      for (const seq of snap.sequences) {
        this.ints[at++] = seq.length;
        for (const c of seq) {
          this.ints[at++] = c;
          this.ints[at++] = snap.starts.get(c) ?? -1;
        }
      }
      this.ints[1] = 1;
    }
    this.unlock();
  }

  /** Puts a plan better than `mine` into the routes and answers it; null where there is none. */
  take(mine: Snapshot, routes: Routes): Snapshot | null {
    if (this.ints[1] === 0) return null;
    this.lock();
    const found = better(this.model, [...this.judged], judge(mine)) ? this.read() : null;
    this.unlock();
    if (found === null) return null;
    restore(routes, { ...mine, ...found });
    return snapshotOf(routes);
  }

  private read(): Pick<Snapshot, 'sequences' | 'starts'> {
    const starts = new Map<number, number>();
    let at = HEAD_INTS;
    const sequences = Array.from({ length: this.model.routes }, () => {
      const size = this.ints[at++];
      return Array.from({ length: size }, () => {
        const c = this.ints[at++];
        const start = this.ints[at++];
        if (start >= 0) starts.set(c, start);
        return c;
      });
    });
    return { sequences, starts };
  }

  private lock(): void {
    while (Atomics.compareExchange(this.ints, 0, 0, 1) !== 0);
  }

  private unlock(): void {
    Atomics.store(this.ints, 0, 0);
  }
}

function judge(s: Snapshot): number[] {
  return [s.lapse, s.exposure, s.overtime, s.last, s.strict];
}

function better(model: RoutingModel, a: readonly number[], b: readonly number[]): boolean {
  if (!model.lexicographic) return a[4] < b[4] - 1e-6;
  for (const [i, least] of [[0, 1e-6], [1, 0.005], [2, 1e-6]] as const) if (Math.abs(a[i] - b[i]) > least) return a[i] < b[i];
  return a[3] < b[3] - 1e-6;
}
