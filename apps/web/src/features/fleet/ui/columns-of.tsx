import { type ImportColumn, type ImportKind, importKind } from '@bellround/contracts';
import { type Column, Mark, Table } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';

const COLUMNS: Column<ImportColumn>[] = [
  { key: 'name', title: phrase('fleet.column'), cell: (one) => <code>{one.name}</code> },
  { key: 'needed', title: phrase('fleet.needed'), cell: (one) => (one.required ? <Mark shape="whole">{phrase('fleet.needed-2')}</Mark> : <Mark shape="line">{phrase('fleet.may-be-empty')}</Mark>) },
  { key: 'means', title: phrase('fleet.meaning'), cell: (one) => one.means },
  { key: 'accepted', title: phrase('fleet.accepted'), cell: (one) => one.cell.accepted },
  { key: 'example', title: phrase('fleet.example'), cell: (one) => (one.example === '' ? <span className="quiet">{phrase('fleet.empty')}</span> : <code>{one.example}</code>) },
];

/** What a file of this kind may hold: the same declaration that checks the upload. */
export function ColumnsOf({ kind }: { kind: ImportKind }) {
  const { title, columns } = importKind(kind);
  return (
    <details>
      <summary>{phrase('fleet.the-columns-columns-of-tolowercase-with-what', { columns: columns.length, toLowerCase: title.toLowerCase() })}</summary>
      <Table caption={phrase('fleet.columns-of-title', { title })} columns={COLUMNS} rows={columns} rowKey={(one) => one.name} />
    </details>
  );
}
