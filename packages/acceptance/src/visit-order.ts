import type { CheckDefinition } from './definition.js';

export type Wanted = {
  /** Identity of this piece of work in the visit, e.g. check key and subject. */
  readonly id: string;
  readonly definition: CheckDefinition;
  readonly subjectId: string;
  /** Room or unit: excluded checks disturb each other there too, not only on one device. Absent: only on one subject. */
  readonly unit?: string;
};

export type OrderedStep = {
  readonly id: string;
  readonly phase: 'open' | 'hold' | 'hold-sounding' | 'sounding' | 'restore';
};

export type VisitOrder = {
  readonly steps: readonly OrderedStep[];
  /** How often a hold must be opened: 0 or 1, as all that needs one is grouped. */
  readonly holds: number;
  readonly minutes: number;
  /** Pairs that cannot be on the same subject at the same time: the second is deferred and says why. */
  readonly apart: readonly { readonly first: string; readonly second: string; readonly words: string }[];
};

const phases = ['open', 'hold', 'hold-sounding', 'sounding', 'restore'] as const;

export class OrderRefused extends Error {
  override readonly name = 'OrderRefused';
}

/**
 * [ACC-50] The shortest legal order of the chosen checks: what needs no hold first, then everything that needs one inside one
 * hold, sounding last, restoring at the very end. What must come after something else waits for it, and drags no later group
 * before an earlier one: a quiet check that must follow one in the hold is done in the hold. Stable for equal rank, so that the
 * technician's walking order is kept. Throws OrderRefused for the same id twice or checks that each wait for the other.
 */
export function visitOrder(wanted: readonly Wanted[]): VisitOrder {
  const ids = new Set(wanted.map((w) => w.id));
  if (ids.size !== wanted.length) throw new OrderRefused('The same piece of work is chosen twice.');
  const rank = ranks(wanted);
  const done = new Set<string>();
  const steps: OrderedStep[] = [];
  while (steps.length < wanted.length) {
    const ready = wanted.filter((w) => !done.has(w.id) && before(w, wanted).every((id) => done.has(id)));
    const next = ready.reduce<Wanted | null>((best, w) => (best === null || rank.get(w.id)! < rank.get(best.id)! ? w : best), null);
    if (next === null) {
      const stuck = wanted.filter((w) => !done.has(w.id)).map((w) => w.id).join(', ');
      throw new OrderRefused(`These checks wait for each other: ${stuck}.`);
    }
    done.add(next.id);
    steps.push({ id: next.id, phase: phases[rank.get(next.id)!]! });
  }
  return {
    steps,
    holds: steps.some((s) => s.phase === 'hold' || s.phase === 'hold-sounding') ? 1 : 0,
    minutes: wanted.reduce((sum, w) => sum + w.definition.minutes, 0),
    apart: apart(wanted, steps),
  };
}

export type Done = {
  readonly id: string;
  readonly verdict: 'pass' | 'marginal' | 'fail' | 'excused' | 'not-done';
  /** The subject was replaced or repaired in this visit: what failed must be proven again. */
  readonly mended?: boolean;
  /** The excuse says: owed again before the visit closes. */
  readonly owedThisVisit?: boolean;
};

/**
 * [ACC-53] The order of what is left, re-planned as results come in. A check that failed on a subject since mended, and one excused
 * for this visit only, come back under the id 'ID again'. Restoring waits for those too. Throws as visitOrder does.
 */
export function remainingOrder(wanted: readonly Wanted[], done: readonly Done[]): VisitOrder {
  const latest = new Map(done.map((d) => [d.id, d]));
  const left = wanted.filter((w) => !latest.has(w.id));
  const again = wanted.flatMap((w) => {
    const result = latest.get(w.id);
    const owed = (result?.verdict === 'fail' && result.mended === true) || (result?.verdict === 'excused' && result.owedThisVisit === true);
    return owed && !latest.has(`${w.id} again`) ? [{ ...w, id: `${w.id} again` }] : [];
  });
  return visitOrder([...left, ...again]);
}

/** Ids that must be done before this one. */
function before(it: Wanted, wanted: readonly Wanted[]): string[] {
  if (it.definition.restores) return wanted.filter((w) => !w.definition.restores).map((w) => w.id);
  return wanted.filter((w) => w.id !== it.id && it.definition.after.includes(w.definition.key) && related(it, w)).map((w) => w.id);
}

// Checks of one and the same device wait for each other; anything on system, battery or path waits for the whole visit's.
function related(a: Wanted, b: Wanted): boolean {
  return a.definition.subject !== 'device' || b.definition.subject !== 'device' || a.subjectId === b.subjectId;
}

/** The phase of each: its own, or that of what it waits for when that is later. */
function ranks(wanted: readonly Wanted[]): Map<string, number> {
  const rank = new Map(wanted.map((w) => [w.id, ownPhase(w.definition)]));
  // As many rounds as there are checks settle the longest chain; a cycle is found by visitOrder itself.
  for (let round = 0, moved = true; moved && round <= wanted.length; round += 1) {
    moved = false;
    for (const w of wanted) {
      const least = Math.max(rank.get(w.id)!, ...before(w, wanted).map((id) => rank.get(id)!));
      if (least > rank.get(w.id)!) {
        rank.set(w.id, least);
        moved = true;
      }
    }
  }
  return rank;
}

function ownPhase(definition: CheckDefinition): number {
  if (definition.restores) return 4;
  if (definition.needsHold) return definition.sounds ? 2 : 1;
  return definition.sounds ? 3 : 0;
}

function apart(wanted: readonly Wanted[], steps: readonly OrderedStep[]): VisitOrder['apart'] {
  const at = new Map(steps.map((s, i) => [s.id, i]));
  return wanted.flatMap((a, i) => wanted.slice(i + 1).flatMap((b) => {
    const clash = a.definition.excludes.includes(b.definition.key) || b.definition.excludes.includes(a.definition.key);
    const isNear = a.subjectId === b.subjectId || (a.unit !== undefined && a.unit === b.unit);
    if (!clash || !isNear) return [];
    const [first, second] = at.get(a.id)! < at.get(b.id)! ? [a, b] : [b, a];
    return [{
      first: first.id, second: second.id,
      words: `'${second.definition.title}' cannot be done while '${first.definition.title}' is: finish and put back the first, or defer the second.`,
    }];
  }));
}
