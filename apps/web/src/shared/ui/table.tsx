import { type ReactNode, useMemo, useState } from 'react';
import { sortRows } from '../sort-rows.js';
import { numberWords } from '../format.js';
import { Button } from './button.js';
import { phrase } from '../language/index.js';

export interface Column<Row> {
  key: string;
  title: string;
  cell: (row: Row) => ReactNode;
  /** makes the head a button; null sorts last in both directions */
  sortBy?: (row: Row) => string | number | null;
  align?: 'end';
  width?: string;
}

export interface Sorting { key: string; down: boolean }

export interface TableProps<Row> {
  /** what the table lists, for screen readers */
  caption: string;
  columns: readonly Column<Row>[];
  rows: readonly Row[];
  rowKey: (row: Row) => string;
  /** sorting from outside (asked of the server); without it the table sorts what it has */
  sorting?: Sorting | null;
  onSort?: (sorting: Sorting) => void;
  startSorted?: Sorting;
  /** a whole row opens; the first cell should hold a link or button that does the same for the keyboard */
  onOpen?: (row: Row) => void;
  chosen?: string | null;
}

/** A ruled list. On narrow screens each row becomes a card, its first column the card's title. */
export function Table<Row>({ caption, columns, rows, rowKey, sorting, onSort, startSorted, onOpen, chosen }: TableProps<Row>) {
  const [own, setOwn] = useState<Sorting | null>(startSorted ?? null);
  const current = sorting === undefined ? own : sorting;
  const sorted = useMemo(() => {
    const by = columns.find((column) => column.key === own?.key)?.sortBy;
    return sorting !== undefined || !own || !by ? rows : sortRows(rows, by, own.down);
  }, [rows, columns, own, sorting]);
  const sort = (key: string) => {
    const next = { key, down: current?.key === key ? !current.down : false };
    if (onSort) onSort(next);
    if (sorting === undefined) setOwn(next);
  };
  return (
    <div className="table-box">
      <table className="table cards">
        <caption className="unseen">{caption}</caption>
        <thead><tr>{columns.map((column) => <Head key={column.key} column={column} current={current} onSort={sort} />)}</tr></thead>
        <tbody>
          {sorted.map((row) => {
            const key = rowKey(row);
            return (
              <tr key={key} className={[onOpen ? 'opens' : '', chosen === key ? 'chosen' : ''].filter(Boolean).join(' ') || undefined}
                onClick={onOpen ? (event) => { if (!(event.target as HTMLElement).closest('a,button,input,label,select')) onOpen(row); } : undefined}>
                {columns.map((column, i) => <td key={column.key} data-label={column.title} className={[i === 0 ? 'lead-cell' : '', column.align === 'end' ? 'num' : ''].filter(Boolean).join(' ') || undefined}><div className="cell">{column.cell(row)}</div></td>)}
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

function Head<Row>({ column, current, onSort }: { column: Column<Row>; current: Sorting | null; onSort: (key: string) => void }) {
  const direction = current?.key === column.key ? (current.down ? 'descending' : 'ascending') : undefined;
  const style = column.width ? { width: column.width } : undefined;
  const className = column.align === 'end' ? 'num' : undefined;
  if (!column.sortBy) return <th scope="col" className={className} style={style}>{column.title === '' ? <span className="unseen">{phrase('app.what-can-be-done')}</span> : column.title}</th>;
  return (
    <th scope="col" className={className} style={style} aria-sort={direction}>
      <button type="button" onClick={() => onSort(column.key)}>{column.title}<span aria-hidden="true">{direction === 'ascending' ? '▴' : direction === 'descending' ? '▾' : '·'}</span></button>
    </th>
  );
}

/** Pages of a long list, with where one is. */
export function Pager({ offset, limit, total, onMove, what = phrase('app.rows') }: { offset: number; limit: number; total: number; onMove: (offset: number) => void; what?: string }) {
  if (total === 0) return null;
  const last = Math.min(total, offset + limit);
  return (
    <nav className="pager" aria-label={phrase('app.pages-of-what', { what })}>
      <span role="status">{phrase('app.number-to-last-of-total-what', { number: numberWords(offset + 1), last: numberWords(last), total: numberWords(total), what })}</span>
      {total > limit ? (
        <span className="row">
          <Button size="small" disabled={offset === 0} onClick={() => onMove(Math.max(0, offset - limit))}>{phrase('app.earlier-what', { what })}</Button>
          <Button size="small" disabled={last >= total} onClick={() => onMove(offset + limit)}>{phrase('app.further-what', { what })}</Button>
        </span>
      ) : null}
    </nav>
  );
}
