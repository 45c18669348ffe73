import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { EMPTY_FRONTIER, frontierAppend, frontierAppendAll, frontierRoot } from './frontier.js';
import { EMPTY_ROOT, leafHash, nodeHash } from './merkle-hash.js';
import {
  consistencyNodes,
  consistencyProof,
  consistencyProofFrom,
  inclusionNodes,
  inclusionProof,
  inclusionProofFrom,
  merkleRoot,
  type NodePosition,
  verifyConsistency,
  verifyInclusion,
} from './merkle-proof.js';

const leaves = Array.from({ length: 130 }, (_, i) => leafHash(`entry ${i}`));
const roots = leaves.map((_, i) => byDefinition(leaves.slice(0, i + 1)));
roots.unshift(EMPTY_ROOT);

/** MTH of RFC 6962 section 2.1, written as it stands there. */
function byDefinition(d: string[]): string {
  if (d.length === 1) return d[0] as string;
  let k = 1;
  while (k * 2 < d.length) k *= 2;
  return nodeHash(byDefinition(d.slice(0, k)), byDefinition(d.slice(k)));
}

describe('the log', () => {
  it('[TREE-3] [TREE-4] root of every size by definition, by all leaves and by frontier', () => {
    let frontier = EMPTY_FRONTIER;
    leaves.forEach((leaf, i) => {
      frontier = frontierAppend(frontier, leaf);
      expect(frontierRoot(frontier)).toBe(roots[i + 1]);
      expect(merkleRoot(leaves.slice(0, i + 1))).toBe(roots[i + 1]);
    });
  });

  it('[TREE-6] [TREE-8] proofs from stored nodes are the same and read only the named nodes', () => {
    const { made } = frontierAppendAll(EMPTY_FRONTIER, leaves);
    const key = ({ level, index }: NodePosition) => `${level}/${index}`;
    const stored = new Map(made.map((node) => [key(node), node.hash]));
    expect(stored.size).toBe(made.length);
    let checked = 0;
    for (let size = 1; size <= leaves.length; size += 3) {
      for (let at = 0; at < size; at += 2) {
        const wanted = new Map(inclusionNodes(at, size).map((node) => [key(node), stored.get(key(node)) as string]));
        expect(inclusionProofFrom((node) => wanted.get(key(node)) as string, at, size)).toEqual(inclusionProof(leaves.slice(0, size), at));
        const before = new Map(consistencyNodes(at, size).map((node) => [key(node), stored.get(key(node)) as string]));
        expect(consistencyProofFrom((node) => before.get(key(node)) as string, at, size)).toEqual(consistencyProof(leaves.slice(0, size), at));
        checked += 1;
      }
    }
    expect(checked).toBeGreaterThan(1000);
  });

  it('[TREE-10] true proofs verify, any change is refused', () => {
    let verified = 0;
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 130 }), fc.nat(), fc.nat(), fc.nat(), (size, a, b, c) => {
        const index = a % size;
        const tree = { size, root: roots[size] as string };
        const leaf = leaves[index] as string;
        const proof = inclusionProof(leaves.slice(0, size), index);
        expect(verifyInclusion(leaf, index, tree, proof)).toBe(true);
        expect(verifyInclusion(leafHash('other'), index, tree, proof)).toBe(false);
        expect(verifyInclusion(leaf, index, tree, [...proof, leaf])).toBe(false);
        if (proof.length > 0) {
          expect(verifyInclusion(leaf, index, tree, proof.slice(1))).toBe(false);
          expect(verifyInclusion(leaf, index, tree, proof.with(b % proof.length, leafHash('other')))).toBe(false);
          expect(verifyInclusion(leaf, (index + 1 + (c % (size - 1))) % size, tree, proof)).toBe(false);
        }
        const first = b % (size + 1);
        const before = { size: first, root: roots[first] as string };
        const prefix = consistencyProof(leaves.slice(0, size), first);
        expect(verifyConsistency(before, tree, prefix)).toBe(true);
        expect(verifyConsistency(before, tree, [...prefix, leaf])).toBe(false);
        expect(verifyConsistency({ ...before, root: leafHash('other') }, tree, prefix)).toBe(false);
        if (first > 0) expect(verifyConsistency(before, { ...tree, root: leafHash('other') }, prefix)).toBe(false);
        if (prefix.length > 0) expect(verifyConsistency(before, tree, prefix.with(c % prefix.length, leafHash('other')))).toBe(false);
        verified += 1;
      }),
      { numRuns: 300 },
    );
    expect(verified).toBeGreaterThanOrEqual(300);
  });

  it('[TREE-2] [TREE-11] a second spelling of a hash or a malformed state is false', () => {
    const proof = inclusionProof(leaves.slice(0, 4), 1);
    const tree = { size: 4, root: roots[4] as string };
    expect(verifyInclusion((leaves[1] as string).toUpperCase(), 1, tree, proof)).toBe(false);
    expect(verifyInclusion(leaves[1] as string, 1, { size: 4, root: tree.root.toUpperCase() }, proof)).toBe(false);
    expect(verifyInclusion(leaves[1] as string, 1.5, tree, proof)).toBe(false);
    expect(verifyInclusion(leaves[1] as string, 4, tree, proof)).toBe(false);
    expect(verifyInclusion(leaves[1] as string, 1, tree, [null as unknown as string])).toBe(false);
    expect(verifyConsistency(tree, { size: 3, root: roots[3] as string }, [])).toBe(false);
  });

  it('[TREE-5] [TREE-12] malformed frontier, leaf or position is refused with what is accepted', () => {
    expect(() => frontierAppend({ size: 3, nodes: [leaves[0] as string] }, leaves[1] as string)).toThrow('a frontier of 3 entries holds 2 hashes, this one holds 1');
    expect(() => frontierAppend(EMPTY_FRONTIER, 'XY')).toThrow(/no leaf hash/);
    expect(() => inclusionProof(leaves.slice(0, 3), 3)).toThrow('entry index is 3; a whole number from 0 to 2 is accepted');
    expect(() => consistencyProof(leaves.slice(0, 3), 4)).toThrow(/from 0 to 3/);
  });

  it('[TREE-5] a log near the largest size still appends: one hash per bit', () => {
    const size = 2 ** 40 - 1;
    const next = frontierAppend({ size, nodes: leaves.slice(0, 40) }, leaves[40] as string);
    expect(next).toMatchObject({ size: 2 ** 40 });
    expect(next.nodes).toHaveLength(1);
    expect(inclusionNodes(2 ** 39 + 7, size).length).toBeLessThan(900);
  });
});
