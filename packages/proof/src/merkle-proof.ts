/** Inclusion and consistency proofs of RFC 6962 sections 2.1.1 and 2.1.2, made and checked. Rules TREE-7..12 in SPEC.md. */
import { foldRight } from './frontier.js';
import { EMPTY_ROOT, type HashHex, isHash, nodeHash, requireWhole, TreeInputError } from './merkle-hash.js';

/** Where a complete node stands; see CompleteNode. */
export interface NodePosition {
  readonly level: number;
  readonly index: number;
}

/** Reads a complete node's hash, from a table or from memory. */
export type ReadNode = (position: NodePosition) => HashHex;

/** A log's state: its size and root. */
export interface TreeState {
  readonly size: number;
  readonly root: HashHex;
}

/** Root over leaf hashes: O(n) time. For a log that grows use a frontier. */
export function merkleRoot(leaves: readonly HashHex[]): HashHex {
  return leaves.length === 0 ? EMPTY_ROOT : rangeRoot(memoryReader(leaves), 0, leaves.length);
}

/** The audit path of entry `index` in the log of exactly these leaf hashes, lowest sibling first (RFC 6962 section 2.1.1). */
export function inclusionProof(leaves: readonly HashHex[], index: number): HashHex[] {
  return inclusionProofFrom(memoryReader(leaves), index, leaves.length);
}

/** As inclusionProof, from stored complete nodes: reads O(log² n) of them, those of inclusionNodes. */
export function inclusionProofFrom(read: ReadNode, index: number, size: number): HashHex[] {
  return inclusionRanges(index, size).map(([start, end]) => rangeRoot(read, start, end));
}

/** Positions that inclusionProofFrom will read, so that they can be fetched in one query. */
export function inclusionNodes(index: number, size: number): NodePosition[] {
  return inclusionRanges(index, size).flatMap(([start, end]) => completeNodes(start, end));
}

/** The proof that the log of the first `firstSize` of these leaf hashes is a prefix of the whole (RFC 6962 section 2.1.2). */
export function consistencyProof(leaves: readonly HashHex[], firstSize: number): HashHex[] {
  return consistencyProofFrom(memoryReader(leaves), firstSize, leaves.length);
}

/** As consistencyProof, from stored complete nodes: those of consistencyNodes. */
export function consistencyProofFrom(read: ReadNode, firstSize: number, size: number): HashHex[] {
  return consistencyRanges(firstSize, size).map(([start, end]) => rangeRoot(read, start, end));
}

/** Positions that consistencyProofFrom will read. */
export function consistencyNodes(firstSize: number, size: number): NodePosition[] {
  return consistencyRanges(firstSize, size).flatMap(([start, end]) => completeNodes(start, end));
}

/** Whether `proof` shows that `leaf` is entry `index` of the log in state `tree`. Never throws: malformed is false. */
export function verifyInclusion(leaf: HashHex, index: number, tree: TreeState, proof: readonly HashHex[]): boolean {
  if (!whole(index) || !whole(tree.size) || index >= tree.size || ![leaf, tree.root, ...proof].every(isHash)) return false;
  let at = index;
  let last = tree.size - 1;
  let root = leaf;
  for (const sibling of proof) {
    if (last === 0) return false;
    if (at % 2 === 1 || at === last) {
      root = nodeHash(sibling, root);
      // A right-most node without a sibling rises until it has one; those levels add nothing to the path.
      while (at % 2 === 0 && at > 0) [at, last] = [at / 2, half(last)];
    } else {
      root = nodeHash(root, sibling);
    }
    [at, last] = [half(at), half(last)];
  }
  return last === 0 && root === tree.root;
}

/** Whether `proof` shows that the log in state `first` is a prefix of the log in state `second`. Never throws: malformed is false. */
export function verifyConsistency(first: TreeState, second: TreeState, proof: readonly HashHex[]): boolean {
  if (!whole(first.size) || !whole(second.size) || first.size > second.size) return false;
  if (![first.root, second.root, ...proof].every(isHash)) return false;
  // Nothing is a prefix of everything; but an empty log has only one root.
  if (first.size === 0) return proof.length === 0 && first.root === EMPTY_ROOT && (second.size > 0 || second.root === EMPTY_ROOT);
  if (first.size === second.size) return proof.length === 0 && first.root === second.root;
  let at = first.size - 1;
  let last = second.size - 1;
  while (at % 2 === 1) [at, last] = [half(at), half(last)];
  // When the first log is one complete subtree its own root starts the path and is not repeated in the proof.
  const path = at === 0 ? [first.root, ...proof] : [...proof];
  const start = path.shift();
  if (start === undefined) return false;
  let firstRoot = start;
  let secondRoot = start;
  for (const sibling of path) {
    if (last === 0) return false;
    if (at % 2 === 1 || at === last) {
      firstRoot = nodeHash(sibling, firstRoot);
      secondRoot = nodeHash(sibling, secondRoot);
      while (at % 2 === 0 && at > 0) [at, last] = [at / 2, half(last)];
    } else {
      secondRoot = nodeHash(secondRoot, sibling);
    }
    [at, last] = [half(at), half(last)];
  }
  return last === 0 && firstRoot === first.root && secondRoot === second.root;
}

type Range = readonly [start: number, end: number];

// PATH of RFC 6962 section 2.1.1, as the ranges of entries whose roots it lists.
function inclusionRanges(index: number, size: number): Range[] {
  requireWhole('log size', size, 1, Number.MAX_SAFE_INTEGER);
  requireWhole('entry index', index, 0, size - 1);
  const ranges: Range[] = [];
  let [start, end] = [0, size];
  while (end - start > 1) {
    const middle = start + split(end - start);
    if (index < middle) {
      ranges.push([middle, end]);
      end = middle;
    } else {
      ranges.push([start, middle]);
      start = middle;
    }
  }
  return ranges.reverse();
}

// SUBPROOF of RFC 6962 section 2.1.2, likewise.
function consistencyRanges(firstSize: number, size: number): Range[] {
  requireWhole('log size', size, 0, Number.MAX_SAFE_INTEGER);
  requireWhole('first size', firstSize, 0, size);
  if (firstSize === 0 || firstSize === size) return [];
  const ranges: Range[] = [];
  let [start, end] = [0, size];
  while (end !== firstSize) {
    const middle = start + split(end - start);
    if (firstSize <= middle) {
      ranges.push([middle, end]);
      end = middle;
    } else {
      ranges.push([start, middle]);
      start = middle;
    }
  }
  if (start > 0) ranges.push([start, end]);
  return ranges.reverse();
}

/** Largest power of two below `count` (count > 1). */
function split(count: number): number {
  let power = 1;
  while (power * 2 < count) power *= 2;
  return power;
}

// The complete subtrees that cover start…end, largest first. Every range asked for starts at a multiple of its largest subtree.
function completeNodes(start: number, end: number): NodePosition[] {
  const nodes: NodePosition[] = [];
  for (let from = start; from < end; ) {
    let level = 0;
    let width = 1;
    while (from % (width * 2) === 0 && from + width * 2 <= end) [level, width] = [level + 1, width * 2];
    nodes.push({ level, index: from / width });
    from += width;
  }
  return nodes;
}

function rangeRoot(read: ReadNode, start: number, end: number): HashHex {
  return foldRight(completeNodes(start, end).map(read));
}

function memoryReader(leaves: readonly HashHex[]): ReadNode {
  const read: ReadNode = ({ level, index }) => {
    if (level > 0) return nodeHash(read({ level: level - 1, index: index * 2 }), read({ level: level - 1, index: index * 2 + 1 }));
    const leaf = leaves[index];
    if (!isHash(leaf)) throw new TreeInputError(`entry ${index} is no leaf hash; 64 lower-case hexadecimal characters are accepted`);
    return leaf;
  };
  return read;
}

const half = (value: number): number => Math.floor(value / 2);
const whole = (value: unknown): value is number => typeof value === 'number' && Number.isSafeInteger(value) && value >= 0;
