import type { StandingList, StandingRow } from '@bellround/contracts';
import { useQueries } from '@tanstack/react-query';
import { useWindowVirtualizer } from '@tanstack/react-virtual';
import { useEffect, useMemo, useRef, useState } from 'react';
import { dayShort, dayWords } from '../../../shared/format.js';
import { ProblemBox } from '../../../shared/ui/index.js';
import { ROWS_AT_ONCE, rowsOptions, STRIPS_AT_ONCE, stripsOptions } from '../api/standing.js';
import type { StandingAddress } from './standing-filters.js';
import { StandingRowView, type Strips } from './standing-row.js';
import './standing-list.css';
import { phrase } from '../../../shared/language/index.js';

/** Strips are asked for once scrolling rests this long: what only flies past is never fetched. */
const REST_MS = 120;
const OVERSCAN = 6;

/**
 * Every matching site, however many, in one list that scrolls with the page: only rows near the window exist, light rows
 * come by the five hundred, strips by the forty as they come into sight.
 */
export function StandingRows({ first, address }: { first: StandingList; address: StandingAddress }) {
  const box = useRef<HTMLDivElement>(null);
  const height = useRowHeight(box);
  const top = useTopOf(box);
  const rows = useWindowVirtualizer({ count: first.total, estimateSize: () => height, overscan: OVERSCAN, scrollMargin: top });
  useEffect(() => { rows.measure(); }, [rows, height]);
  const items = rows.getVirtualItems();
  const seen = { from: items[0]?.index ?? 0, to: items.at(-1)?.index ?? 0 };
  const rested = useRested(seen.from, seen.to);
  const { rowAt, problem, retry } = useRows(first, address, seen);
  const stripsOf = useStrips(rowAt, first.total, rested, address.filters.asOf);
  const { go } = address;
  const onClient = useMemo(() => (clientId: string) => go({ clientId }), [go]);
  const isToday = first.asOf === first.today;
  return (
    <div className="standing-rows">
      <p className="print-only note">{phrase('standing.only-the-sites-in-sight-are-on', { total: first.total })}</p>
      {problem ? <ProblemBox problem={problem} onRetry={retry} /> : null}
      <div role="table" aria-label={phrase('standing.sites-as-of-asof-missing-proof-first', { asOf: dayWords(first.asOf) })} aria-rowcount={first.total + 1} className="standing-table">
        <div role="row" className="standing-row standing-head" aria-rowindex={1}>
          <div role="columnheader">{phrase('standing.site')}</div><div role="columnheader">{phrase('standing.standing')}</div><div role="columnheader">{phrase('standing.proof-strip-stripfrom-to-stripto', { stripFrom: dayShort(first.stripFrom), stripTo: dayShort(first.stripTo) })}</div><div role="columnheader">{phrase('standing.next-lapse')}</div>
        </div>
        <div ref={box} role="rowgroup" className="standing-body" style={{ height: rows.getTotalSize() }}>
          {items.map((item) => {
            const row = rowAt(item.index);
            return (
              <div key={item.key} role="row" aria-rowindex={item.index + 2} className="standing-row" style={{ height, transform: `translateY(${item.start - top}px)` }}>
                {row ? <StandingRowView row={row} strips={stripsOf(item.index)} isToday={isToday} asOf={first.asOf} place={item.index} onClient={onClient} /> : <div role="cell" className="quiet">{phrase('standing.site-value', { value: item.index + 1 })}</div>}
              </div>
            );
          })}
        </div>
      </div>
    </div>
  );
}

/** A row's height in pixels, set by the style sheet in rem, so that larger letters get taller rows. */
function useRowHeight(box: React.RefObject<HTMLDivElement | null>): number {
  const [height, setHeight] = useState(84);
  useEffect(() => {
    const measure = () => { const set = box.current ? parseFloat(getComputedStyle(box.current).getPropertyValue('--row-height')) * parseFloat(getComputedStyle(document.documentElement).fontSize) : 0; if (set > 0) setHeight(Math.round(set)); };
    measure();
    window.addEventListener('resize', measure);
    return () => window.removeEventListener('resize', measure);
  }, [box]);
  return height;
}

/** Where the list begins on the page. */
function useTopOf(box: React.RefObject<HTMLDivElement | null>): number {
  const [top, setTop] = useState(0);
  useEffect(() => {
    const measure = () => { if (box.current) setTop(Math.round(box.current.getBoundingClientRect().top + window.scrollY)); };
    measure();
    const watcher = new ResizeObserver(measure);
    watcher.observe(document.body);
    return () => watcher.disconnect();
  }, [box]);
  return top;
}

/** The stretch in sight once it has not changed for a moment. */
function useRested(from: number, to: number): { from: number; to: number } {
  const [rested, setRested] = useState({ from, to });
  useEffect(() => {
    const timer = setTimeout(() => setRested({ from, to }), REST_MS);
    return () => clearTimeout(timer);
  }, [from, to]);
  return rested;
}

function useRows(first: StandingList, { filters }: StandingAddress, seen: { from: number; to: number }) {
  const blocks: number[] = [];
  for (let block = Math.floor(seen.from / ROWS_AT_ONCE); block <= Math.floor(seen.to / ROWS_AT_ONCE); block += 1) blocks.push(block);
  const found = useQueries({ queries: blocks.map((block) => rowsOptions(filters, block)) });
  const rowAt = (index: number): StandingRow | null => {
    const block = Math.floor(index / ROWS_AT_ONCE);
    const rows = found[blocks.indexOf(block)]?.data?.rows ?? (block === 0 ? first.rows : undefined);
    return rows?.[index % ROWS_AT_ONCE] ?? null;
  };
  const failed = found.find((one) => one.error && one.data === undefined);
  return { rowAt, problem: failed?.error ?? null, retry: () => void failed?.refetch() };
}

function useStrips(rowAt: (index: number) => StandingRow | null, total: number, rested: { from: number; to: number }, asOf: string | undefined) {
  const chunks: { at: number; siteIds: string[] }[] = [];
  for (let at = Math.floor(rested.from / STRIPS_AT_ONCE); at <= Math.floor(rested.to / STRIPS_AT_ONCE) && at * STRIPS_AT_ONCE < total; at += 1) {
    const siteIds = Array.from({ length: Math.min(STRIPS_AT_ONCE, total - at * STRIPS_AT_ONCE) }, (_, i) => rowAt(at * STRIPS_AT_ONCE + i)?.siteId);
    if (siteIds.every((id) => id !== undefined)) chunks.push({ at, siteIds: siteIds as string[] });
  }
  const found = useQueries({ queries: chunks.map((chunk) => stripsOptions(chunk.siteIds, asOf)) });
  const answers = found.map((one) => one.data);
  const bySite = useMemo(() => {
    const map = new Map<string, Strips>();
    for (const answer of answers) for (const site of answer?.sites ?? []) map.set(site.siteId, { asOf: answer!.asOf, stripFrom: answer!.stripFrom, stripTo: answer!.stripTo, lanes: site.lanes, pauses: site.pauses });
    return map;
    // The answers themselves are compared, not the list that holds them.
  }, answers.concat(Array.from({ length: Math.max(0, 8 - answers.length) }, () => undefined)).slice(0, 8));
  return (index: number): Strips | null => { const row = rowAt(index); return row ? bySite.get(row.siteId) ?? null : null; };
}
