/**
 * RFC 6962 reference tree: the eight entries, all roots and the proofs that the reference implementations of certificate transparency
 * publish as test data; seen in several public repositories, all equal. The empty root is the SHA-256 of nothing (FIPS 180-4 example).
 */
import { describe, expect, it } from 'vitest';
import {
  consistencyProof,
  EMPTY_FRONTIER,
  EMPTY_ROOT,
  frontierAppend,
  frontierRoot,
  inclusionProof,
  leafHash,
  merkleRoot,
  verifyConsistency,
  verifyInclusion,
} from '../src/index.js';

const ENTRIES = ['', '00', '10', '2021', '3031', '40414243', '5051525354555657', '606162636465666768696a6b6c6d6e6f'];
const ROOTS = [
  'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855',
  '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d',
  'fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125',
  'aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77',
  'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
  '4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4',
  '76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef',
  'ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c',
  '5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328',
];
// Names of the published nodes: level and index.
const N = {
  l0: '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d',
  l1: '96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7',
  l4: 'bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b',
  l6: 'b08693ec2e721597130641e8211e7eedccb4c26413963eee6c1e2ed16ffb1a5f',
  n01: 'fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125',
  n23: '5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e',
  n45: '0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a',
  n67: 'ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0',
  n03: 'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
  n47: '6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4',
};
const leaves = ENTRIES.map((entry) => leafHash(Uint8Array.from(Buffer.from(entry, 'hex'))));
const root = (size: number) => ROOTS[size] as string;

describe('RFC 6962 reference tree', () => {
  it.each([0, 1, 2, 3, 4, 5, 6, 7, 8])('[TREE-1] [TREE-3] [TREE-4] root of the first %i entries', (size) => {
    expect(merkleRoot(leaves.slice(0, size))).toBe(root(size));
    expect(frontierRoot(leaves.slice(0, size).reduce(frontierAppend, EMPTY_FRONTIER))).toBe(root(size));
    expect(root(0)).toBe(EMPTY_ROOT);
  });

  it('[TREE-4] the stored frontier of seven entries', () => {
    expect(leaves.slice(0, 7).reduce(frontierAppend, EMPTY_FRONTIER).nodes).toEqual([N.n03, N.n45, N.l6]);
  });

  it.each([
    [0, 1, []],
    [0, 8, [N.l1, N.n23, N.n47]],
    [5, 8, [N.l4, N.n67, N.n03]],
    [2, 3, [N.n01]],
    [1, 5, [N.l0, N.n23, N.l4]],
  ] as [number, number, string[]][])('[TREE-7] path of entry %i in the first %i', (index, size, path) => {
    expect(inclusionProof(leaves.slice(0, size), index)).toEqual(path);
    expect(verifyInclusion(leaves[index] as string, index, { size, root: root(size) }, path)).toBe(true);
  });

  it.each([
    [1, 1, []],
    [1, 8, [N.l1, N.n23, N.n47]],
    [2, 5, [N.n23, N.l4]],
    [6, 7, [N.n45, N.l6, N.n03]],
    [6, 8, [N.n45, N.n67, N.n03]],
  ] as [number, number, string[]][])('[TREE-9] the first %i are a prefix of the first %i', (first, size, proof) => {
    expect(consistencyProof(leaves.slice(0, size), first)).toEqual(proof);
    expect(verifyConsistency({ size: first, root: root(first) }, { size, root: root(size) }, proof)).toBe(true);
  });
});
