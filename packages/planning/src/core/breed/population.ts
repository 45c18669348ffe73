import type { Random } from '../../random.js';
import { distance, feasible, type Individual } from './individual.js';

/** Individuals that survive a cull, and children until the next one. */
const SURVIVORS = 25;
const CHILDREN = 40;
const ELITE = 4;
/** Nearest others whose mean distance counts as diversity. */
const CLOSE = 5;

interface Member {
  readonly it: Individual;
  readonly others: { readonly member: Member; readonly far: number }[];
  cost: number;
  fitness: number;
}

/** Feasible and infeasible solutions, judged by cost and by how much they differ from the others. */
export class Population {
  private readonly kept: readonly [Member[], Member[]] = [[], []];

  constructor(private readonly random: Random, private readonly costOf: (x: Individual) => number) {}

  get size(): number {
    return this.kept[0].length + this.kept[1].length;
  }

  clear(): void {
    this.kept[0].length = 0;
    this.kept[1].length = 0;
  }

  /** False where it is there already. */
  add(it: Individual): boolean {
    const members = this.kept[feasible(it) ? 0 : 1];
    const cost = this.costOf(it);
    if (members.some((x) => x.it.travel === it.travel && distance(x.it, it) === 0)) return false;
    const member: Member = { it, others: [], cost, fitness: 0 };
    for (const other of members) {
      const far = distance(it, other.it);
      place(member, other, far);
      place(other, member, far);
    }
    members.push(member);
    if (members.length > SURVIVORS + CHILDREN) while (members.length > SURVIVORS) this.drop(members);
    this.judge(members);
    return true;
  }

  /** Two different parents, each the better of two drawn by lot. */
  parents(): [Individual, Individual] {
    const a = this.draw();
    let b = this.draw();
    for (let again = 0; again < 10 && (a === b || distance(a, b) === 0); again++) b = this.draw();
    return [a, b];
  }

  /** Prices of excess have changed. */
  reprice(): void {
    for (const members of this.kept) {
      for (const x of members) x.cost = this.costOf(x.it);
      this.judge(members);
    }
  }

  private draw(): Individual {
    const one = (): Member => {
      const k = this.random.below(this.size);
      const n = this.kept[0].length;
      return k < n ? this.kept[0][k] : this.kept[1][k - n];
    };
    const [a, b] = [one(), one()];
    return (a.fitness <= b.fitness ? a : b).it;
  }

  /** Rank by cost plus rank by diversity, which weighs less for the best. */
  private judge(members: Member[]): void {
    members.sort((a, b) => a.cost - b.cost);
    const n = members.length;
    const diverse = members.map((x, rank) => ({ x, rank, far: mean(x) })).sort((a, b) => b.far - a.far);
    const weight = 1 - Math.min(1, ELITE / n);
    diverse.forEach((d, k) => { d.x.fitness = d.rank / n + (weight * k) / n; });
  }

  private drop(members: Member[]): void {
    this.judge(members);
    let worst = 1;
    for (let i = 2; i < members.length; i++) if (members[i].fitness > members[worst].fitness) worst = i;
    const [gone] = members.splice(worst, 1);
    for (const other of members) {
      const at = other.others.findIndex((o) => o.member === gone);
      other.others.splice(at, 1);
    }
  }
}

function place(x: Member, member: Member, far: number): void {
  let i = x.others.length;
  while (i > 0 && x.others[i - 1].far > far) i--;
  x.others.splice(i, 0, { member, far });
}

function mean(x: Member): number {
  const k = Math.min(CLOSE, x.others.length);
  let sum = 0;
  for (let i = 0; i < k; i++) sum += x.others[i].far;
  return k === 0 ? 1 : sum / k;
}
