import { csvLine, type CsvRecord } from './csv.js';
import { importKind, readCell, type ImportColumn, type ImportKind, type RowFault } from './import-kinds.js';
import { Refusal, type FieldFault } from './problems.js';

/** A header as it is compared: `Time Zone`, `time-zone` and `TIME_ZONE` are one. */
const asName = (header: string): string => header.trim().toLowerCase().replace(/[\s-]+/g, '_');

/**
 * The columns of a file by its header, in the file's order.
 * @throws Refusal ImportRefused naming each unknown column with the nearest known one, each repeated one and each that is missing.
 */
export function readHeader(kind: ImportKind, cells: readonly string[]): ImportColumn[] {
  const { columns, title } = importKind(kind);
  const names = cells.map(asName);
  const errors: FieldFault[] = [];
  names.forEach((name, at) => {
    if (!columns.some((one) => one.name === name)) {
      const nearest = nearestOf(name, columns.map((one) => one.name));
      errors.push({ path: `column ${at + 1}`, message: `"${cells[at]!.slice(0, 60)}" is no column of ${title}${nearest ? `; did you mean "${nearest}"?` : ''}` });
    } else if (names.indexOf(name) !== at) errors.push({ path: `column ${at + 1}`, message: `"${name}" stands twice in the header` });
  });
  for (const one of columns) if (one.required && !names.includes(one.name)) errors.push({ path: one.name, message: `the column "${one.name}" is missing: ${one.means}` });
  if (errors.length > 0) {
    throw new Refusal('ImportRefused', `The header is not that of ${title}: ${errors.map((one) => one.message).join('; ')}. Accepted: ${columns.map((one) => one.name).join(', ')}.`,
      { errors, data: { columns: columns.map((one) => one.name) } });
  }
  return names.map((name) => columns.find((one) => one.name === name)!);
}

/** The known name that differs from `name` by the fewest letters, when that is few enough to be a slip. */
export function nearestOf(name: string, known: readonly string[]): string | null {
  const scored = known.map((one) => ({ one, far: one.includes(name) || name.includes(one) ? Math.min(distance(name, one), 3) : distance(name, one) }))
    .sort((a, b) => a.far - b.far);
  const best = scored[0];
  return best && name.length > 1 && best.far <= Math.max(2, Math.floor(best.one.length / 2)) ? best.one : null;
}

/** Levenshtein distance: letters put in, left out or changed. */
function distance(a: string, b: string): number {
  let before = Array.from({ length: b.length + 1 }, (_, at) => at);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) row.push(Math.min(row[j - 1]! + 1, before[j]! + 1, before[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)));
    before = row;
  }
  return before[b.length]!;
}

/** Staged values of one record, or everything that is wrong with it. */
export function readRow(kind: ImportKind, columns: readonly ImportColumn[], record: CsvRecord, today: string): { values: (string | null)[] } | { faults: RowFault[] } {
  if (record.fault !== null) return { faults: [{ column: '(row)', value: record.cells.join(',').slice(0, 200), problem: record.fault, accepted: 'cells by RFC 4180' }] };
  if (record.cells.length !== columns.length) {
    return { faults: [{ column: '(row)', value: record.cells.join(',').slice(0, 200), problem: `has ${record.cells.length} cells while the header has ${columns.length}`, accepted: `${columns.length} cells; put text with commas in quotation marks` }] };
  }
  const faults: RowFault[] = [];
  const values: (string | null)[] = [];
  const staged = new Map<string, string | null>();
  columns.forEach((column, at) => {
    const read = readCell(column, record.cells[at]!, today);
    if ('problem' in read) { faults.push(read); return; }
    read.values.forEach((value, stage) => staged.set(`${column.name}${column.cell.stages[stage]!.suffix}`, value));
    values.push(...read.values);
  });
  if (faults.length === 0) faults.push(...(importKind(kind).against?.((stage) => staged.get(stage) ?? null) ?? []));
  return faults.length > 0 ? { faults } : { values };
}

/** A file with the header and one row, that imports as it is once the kinds before it are imported. */
export function sampleCsv(kind: ImportKind): string {
  const { columns } = importKind(kind);
  return csvLine(columns.map((one) => one.name)) + csvLine(columns.map((one) => one.example));
}
