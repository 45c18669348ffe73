import { createReadStream } from 'node:fs';
import { decodeText, readCsv, Refusal } from '@bellround/contracts';
import { fileAt } from './act.js';

/** The rows of a CSV file by the names of its header, lower case; refuses a file that lacks one of `needed`. */
export async function csvRows(path: string, needed: readonly string[] = [], keepCase = false): Promise<Record<string, string>[]> {
  fileAt(path);
  let header: string[] | null = null;
  const rows: Record<string, string>[] = [];
  for await (const batch of readCsv(decodeText(createReadStream(path)))) {
    for (const record of batch) {
      if (header === null) {
        header = record.cells.map((cell) => (keepCase ? cell.trim() : cell.trim().toLowerCase()));
        const lacks = needed.filter((name) => !header!.includes(name));
        if (lacks.length > 0) throw new Refusal('BadInput', `${path} lacks the column ${lacks.join(', ')}; it has ${header.join(', ')}`);
        continue;
      }
      if (record.fault !== null) throw new Refusal('BadInput', `${path}, row ${record.row}: ${record.fault}`);
      rows.push(Object.fromEntries(header.map((name, i) => [name, (record.cells[i] ?? '').trim()])));
    }
  }
  return rows;
}

/** A cell that must hold an instant with Z or an offset. */
export function instant(path: string, row: number, field: string, value: string | undefined): string {
  if (value === undefined || !/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:\d{2})$/.test(value) || Number.isNaN(Date.parse(value))) {
    throw new Refusal('BadInput', `${path}, row ${row}, ${field}: '${value ?? ''}' is no instant; accepted is 2027-03-01T09:00:00Z, or with an offset`);
  }
  return new Date(value).toISOString();
}

/** A cell that may hold a number, or undefined when empty. */
export function numberCell(path: string, row: number, field: string, value: string | undefined): number | undefined {
  if (value === undefined || value === '') return undefined;
  const given = Number(value);
  if (!Number.isFinite(given)) throw new Refusal('BadInput', `${path}, row ${row}, ${field}: '${value}' is not a number`);
  return given;
}
