import { type ImportColumn, type ImportKind, importKind } from '@bellround/contracts';
import { type Column, Mark, Table } from '../../../shared/ui/index.js';

const COLUMNS: Column<ImportColumn>[] = [
  { key: 'name', title: 'Column', cell: (one) => <code>{one.name}</code> },
  { key: 'needed', title: 'Needed', cell: (one) => (one.required ? <Mark shape="whole">needed</Mark> : <Mark shape="line">may be empty</Mark>) },
  { key: 'means', title: 'Meaning', cell: (one) => one.means },
  { key: 'accepted', title: 'Accepted', cell: (one) => one.cell.accepted },
  { key: 'example', title: 'Example', cell: (one) => (one.example === '' ? <span className="quiet">empty</span> : <code>{one.example}</code>) },
];

/** What a file of this kind may hold: the same declaration that checks the upload. */
export function ColumnsOf({ kind }: { kind: ImportKind }) {
  const { title, columns } = importKind(kind);
  return (
    <details>
      <summary>The {columns.length} columns of {title.toLowerCase()}, with what is accepted</summary>
      <Table caption={`Columns of ${title}`} columns={COLUMNS} rows={columns} rowKey={(one) => one.name} />
    </details>
  );
}
