/**
 * Minimum-cost assignment of rows to columns; Infinity forbids a pair. A row may stay alone at `unmatched`.
 * Shortest augmenting paths with potentials, O(rows² x (rows + columns)). Returns the column of each row, or null.
 */
export function assign(table: readonly (readonly number[])[], unmatched: number): (number | null)[] {
  const rows = table.length;
  const real = table[0]?.length ?? 0;
  // Each row gets a column of its own for staying alone, so that a full assignment always exists.
  const columns = real + rows;
  const price = (row: number, column: number) => (column < real ? table[row]![column]! : column - real === row ? unmatched : Infinity);
  const [rowPotential, columnPotential] = [new Float64Array(rows + 1), new Float64Array(columns + 1)];
  const rowOf = new Int32Array(columns + 1).fill(-1);
  for (let row = 0; row < rows; row += 1) augment(row, { price, columns, rowPotential, columnPotential, rowOf });
  const answer: (number | null)[] = Array.from({ length: rows }, () => null);
  for (let column = 0; column < real; column += 1) if (rowOf[column]! >= 0) answer[rowOf[column]!] = column;
  return answer;
}

type State = {
  readonly price: (row: number, column: number) => number;
  readonly columns: number;
  readonly rowPotential: Float64Array;
  readonly columnPotential: Float64Array;
  readonly rowOf: Int32Array;
};

function augment(start: number, { price, columns, rowPotential, columnPotential, rowOf }: State): void {
  const least = new Float64Array(columns).fill(Infinity);
  const from = new Int32Array(columns).fill(-1);
  const visited = new Uint8Array(columns);
  let [row, column] = [start, -1];
  for (;;) {
    let [delta, next] = [Infinity, -1];
    for (let j = 0; j < columns; j += 1) {
      if (visited[j]) continue;
      const reduced = price(row, j) - rowPotential[row]! - columnPotential[j]!;
      if (reduced < least[j]!) {
        least[j] = reduced;
        from[j] = column;
      }
      if (least[j]! < delta) [delta, next] = [least[j]!, j];
    }
    rowPotential[start] = rowPotential[start]! + delta;
    for (let j = 0; j < columns; j += 1) {
      if (visited[j]) {
        rowPotential[rowOf[j]!] = rowPotential[rowOf[j]!]! + delta;
        columnPotential[j] = columnPotential[j]! - delta;
      } else least[j] = least[j]! - delta;
    }
    visited[next] = 1;
    column = next;
    if (rowOf[next]! < 0) break;
    row = rowOf[next]!;
  }
  for (let j = column; j >= 0; j = from[j]!) rowOf[j] = from[j]! >= 0 ? rowOf[from[j]!]! : start;
}
