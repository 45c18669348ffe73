import { language } from './language/index.js';
const words = new Intl.Collator(language(), { numeric: true, sensitivity: 'base' });

/** A sorted copy; equal rows keep their order, and null (can't tell) comes last both ways. */
export function sortRows<Row>(rows: readonly Row[], by: (row: Row) => string | number | null, down: boolean): Row[] {
  return rows.toSorted((a, b) => {
    const [left, right] = [by(a), by(b)];
    if (left === null || right === null) return left === right ? 0 : left === null ? 1 : -1;
    const order = typeof left === 'number' && typeof right === 'number' ? left - right : words.compare(String(left), String(right));
    return down ? -order : order;
  });
}
