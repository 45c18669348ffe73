/**
 * The growing edge of a log: the roots of its complete subtrees, largest first. It is all that must be stored to append and to know the
 * root, at most one hash per bit of the size: 53 for the largest log a number can count. Rules TREE-4..6 in SPEC.md.
 */
import { EMPTY_ROOT, type HashHex, nodeHash, requireWhole, isHash, TreeInputError } from './merkle-hash.js';

/** `size` entries; `nodes` one hash per set bit of `size`, from the highest bit (the oldest entries) to the lowest. JSON-able. */
export interface Frontier {
  readonly size: number;
  readonly nodes: readonly HashHex[];
}

/** A node that never changes again: the subtree of entries index·2^level … (index+1)·2^level − 1. Level 0 are the entries. */
export interface CompleteNode {
  readonly level: number;
  readonly index: number;
  readonly hash: HashHex;
}

/** The log without entries. */
export const EMPTY_FRONTIER: Frontier = { size: 0, nodes: [] };

/** `frontier` with one more entry: O(log n) time, O(log n) stored. @throws TreeInputError when the frontier or leaf is malformed. */
export function frontierAppend(frontier: Frontier, leaf: HashHex): Frontier {
  return frontierAppendAll(frontier, [leaf]).frontier;
}

/**
 * `frontier` with `leaves` appended in order, and every node that became complete by it. Storing `made` (by level and index) lets proofs
 * be read later from O(log n) nodes instead of from all entries.
 */
export function frontierAppendAll(frontier: Frontier, leaves: Iterable<HashHex>): { frontier: Frontier; made: CompleteNode[] } {
  requireFrontier(frontier);
  const nodes = [...frontier.nodes];
  const made: CompleteNode[] = [];
  let size = frontier.size;
  for (const leaf of leaves) {
    if (!isHash(leaf)) throw new TreeInputError(`entry ${size} is no leaf hash; 64 lower-case hexadecimal characters are accepted`);
    let node = leaf;
    let level = 0;
    let index = size;
    made.push({ level, index, hash: node });
    // Each trailing one bit of the size is a complete subtree of the same height waiting for its right sibling.
    while (index % 2 === 1) {
      node = nodeHash(nodes.pop() as HashHex, node);
      level += 1;
      index = (index - 1) / 2;
      made.push({ level, index, hash: node });
    }
    nodes.push(node);
    size += 1;
  }
  return { frontier: { size, nodes }, made };
}

/** The log's root: MTH of RFC 6962 section 2.1. */
export function frontierRoot(frontier: Frontier): HashHex {
  requireFrontier(frontier);
  return foldRight(frontier.nodes);
}

/** Joins complete subtrees, largest first, into the root above them. */
export function foldRight(nodes: readonly HashHex[]): HashHex {
  let root = nodes.at(-1);
  if (root === undefined) return EMPTY_ROOT;
  for (let at = nodes.length - 2; at >= 0; at--) root = nodeHash(nodes[at] as HashHex, root);
  return root;
}

function requireFrontier(frontier: Frontier): void {
  requireWhole('frontier size', frontier.size, 0, Number.MAX_SAFE_INTEGER);
  let ones = 0;
  for (let rest = frontier.size; rest > 0; rest = Math.floor(rest / 2)) ones += rest % 2;
  if (frontier.nodes.length !== ones) {
    throw new TreeInputError(`a frontier of ${frontier.size} entries holds ${ones} hashes, this one holds ${frontier.nodes.length}`);
  }
  for (const node of frontier.nodes) if (!isHash(node)) throw new TreeInputError('a frontier node is not a hash');
}
