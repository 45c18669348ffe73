import type { CheckDefinition, EvidenceGrade } from './definition.js';

export type OpenDuty = {
  readonly id: string;
  readonly subjectId: string;
  /** Any one of these kinds of check on the subject meets the duty. */
  readonly checkKinds: readonly string[];
  /** Evidence that the duty accepts; grade D meets nothing mandated. */
  readonly leastEvidence?: EvidenceGrade;
};

export type Picked = { readonly checkKey: string; readonly subjectId: string; readonly meets: readonly string[]; readonly minutes: number };
export type MinimumPick = {
  readonly picks: readonly Picked[];
  readonly minutes: number;
  /** Duties that no check of the catalogue can meet. */
  readonly unmet: readonly { readonly duty: string; readonly words: string }[];
  /** True when the total is proven least; false when a subject had too many duties for the exact search. */
  readonly exact: boolean;
};

// Branches looked at for one subject before the answer stands as 'good, not proven least'.
const searchLimit = 200_000;

type Option = { readonly key: string; readonly minutes: number; readonly meets: readonly number[] };

/**
 * [ACC-51] The set of checks with the least minutes that meets every open duty that can be met. A check on a subject meets each
 * duty of that subject which names its kind and accepts its evidence, so subjects are solved apart: exact by branch and bound.
 */
export function minimumPick(duties: readonly OpenDuty[], definitions: readonly CheckDefinition[]): MinimumPick {
  const subjects = [...new Set(duties.map((d) => d.subjectId))];
  const parts = subjects.map((subjectId) => pickForSubject(subjectId, duties.filter((d) => d.subjectId === subjectId), definitions));
  return {
    picks: parts.flatMap((p) => p.picks),
    minutes: parts.reduce((sum, p) => sum + p.minutes, 0),
    unmet: parts.flatMap((p) => p.unmet),
    exact: parts.every((p) => p.exact),
  };
}

/** [ACC-52] What stays owed for any pick: the duties that none of the picked checks meets. */
export function stillOwed(duties: readonly OpenDuty[], picks: readonly { checkKey: string; subjectId: string }[], definitions: readonly CheckDefinition[]): string[] {
  const byKey = new Map(definitions.map((d) => [d.key, d]));
  return duties.filter((duty) => !picks.some((pick) => {
    const definition = byKey.get(pick.checkKey);
    return definition !== undefined && pick.subjectId === duty.subjectId && meets(duty, definition);
  })).map((duty) => duty.id);
}

function meets(duty: OpenDuty, definition: CheckDefinition): boolean {
  return duty.checkKinds.includes(definition.key) && definition.evidence <= (duty.leastEvidence ?? 'C');
}

function pickForSubject(subjectId: string, duties: readonly OpenDuty[], definitions: readonly CheckDefinition[]): MinimumPick {
  const options: Option[] = definitions
    .map((d) => ({ key: d.key, minutes: d.minutes, meets: duties.flatMap((duty, i) => (meets(duty, d) ? [i] : [])) }))
    .filter((option) => option.meets.length > 0);
  const possible = new Set(options.flatMap((o) => o.meets));
  const unmet = duties.flatMap((duty, i) => (possible.has(i) ? [] : [{
    duty: duty.id, words: `No check of the catalogue meets it: asks ${duty.checkKinds.join(' or ')}${duty.leastEvidence ? ` with evidence ${duty.leastEvidence} or better` : ''}.`,
  }]));
  const found = cheapestCover(options, [...possible].toSorted((a, b) => a - b));
  const picks = found.chosen.map((option) => ({ checkKey: option.key, subjectId, minutes: option.minutes, meets: option.meets.map((i) => duties[i]!.id) }));
  return { picks, minutes: picks.reduce((sum, p) => sum + p.minutes, 0), unmet, exact: found.exact };
}

/** Least minutes, then fewest checks, then catalogue order: the same pick for the same input. */
function cheapestCover(options: readonly Option[], needed: readonly number[]): { chosen: readonly Option[]; exact: boolean } {
  let best: readonly Option[] = [];
  let bestCost = Infinity;
  let looked = 0;
  // Fewer checks break a tie of minutes: each costs a little on top, less in all than one minute.
  const cost = (option: Option) => option.minutes + 1 / (options.length + 1);
  const search = (open: ReadonlySet<number>, chosen: readonly Option[], spent: number): void => {
    looked += 1;
    if (spent >= bestCost || (looked > searchLimit && bestCost < Infinity)) return;
    if (open.size === 0) {
      [best, bestCost] = [chosen, spent];
      return;
    }
    // Branch on the duty with the fewest ways to be met: forced choices come first.
    const ways = [...open].map((i) => options.filter((o) => o.meets.includes(i)));
    const fewest = ways.reduce((a, b) => (b.length < a.length ? b : a));
    for (const option of fewest.toSorted((a, b) => cost(a) - cost(b))) {
      search(new Set([...open].filter((i) => !option.meets.includes(i))), [...chosen, option], spent + cost(option));
    }
  };
  search(new Set(needed), [], 0);
  return { chosen: best, exact: looked <= searchLimit };
}
