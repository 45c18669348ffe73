import type { Tx } from '../scoped.js';

/**
 * The company's frontier, locked until the transaction ends: appends of one company stand in one order.
 * The row is made at the first append.
 */
export async function lockFrontier(tx: Pick<Tx, 'sql'>): Promise<{ size: number; nodes: string[] }> {
  await tx.sql(`insert into ledger_frontier (company_id, size, frontier) values (current_company(), 0, '[]') on conflict do nothing`);
  const [row] = await tx.sql<{ size: bigint | number; frontier: string[] }>('select size, frontier from ledger_frontier where company_id = current_company() for update');
  return { size: Number(row!.size), nodes: row!.frontier };
}

/** Every leaf's hash in order, up to `size`. */
export async function leafHashes(tx: Pick<Tx, 'sql'>, size: number): Promise<string[]> {
  const rows = await tx.sql<{ hash: string }>('select leaf_hash as hash from ledger_leaf where company_id = current_company() and index < $1 order by index', [size]);
  return rows.map((row) => row.hash);
}
