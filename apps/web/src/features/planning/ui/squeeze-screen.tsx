import type { SqueezeView } from '@bellround/contracts';
import { type KeyboardEvent, useMemo, useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { dayShort, dayWords, listWords, minutesWords, shareWords } from '../../../shared/format.js';
import { Choices, Empty, LinkButton, Loaded, Mark, Page, Section, Select, Table } from '../../../shared/ui/index.js';
import { useSqueeze } from '../api/ahead.js';
import { plainWords } from './plain-words.js';
import { triangleOf, type TriangleCell } from './squeeze-geometry.js';
import './ahead.css';
import { phrase } from '../../../shared/language/index.js';

const HORIZONS = [14, 28, 42, 84, 120];
const ROOM = { width: 900, left: 84, top: 26 };
const skillWords = (skills: readonly string[]): string => (skills.length === 0 ? phrase('planning.anybody') : phrase('planning.people-with-join', { join: listWords(skills) }));
type Cell = SqueezeView['groups'][number]['cells'][number];

/** Where more must be done than can be, with the proof: opening by closing day, hours needed over hours available. */
export function SqueezeScreen() {
  const [params, setParams] = useSearchParams();
  const days = HORIZONS.find((one) => String(one) === params.get('days')) ?? 84;
  const counting = params.get('counting') === 'checks' ? 'checks' : 'visit';
  const go = (change: Record<string, string>) => setParams((before) => { const next = new URLSearchParams(before); for (const [key, value] of Object.entries(change)) next.set(key, value); return next; }, { replace: true });
  const squeeze = useSqueeze(days, counting);
  return (
    <Page title={phrase('planning.squeeze')} lead={phrase('planning.whether-the-mandated-work-of-the-coming')}>
      <div className="row">
        <Select label={phrase('planning.look-ahead')} value={String(days)} onChange={(value) => go({ days: value })} options={HORIZONS.map((one) => ({ value: String(one), label: phrase('planning.one-days', { one }) }))} />
        <Choices label={phrase('planning.count')} value={counting} onChange={(value) => go({ counting: value })} options={[{ value: 'visit', label: phrase('planning.checks-set-up-travel') }, { value: 'checks', label: phrase('planning.checks-alone') }]} />
      </div>
      <Loaded query={squeeze} what={phrase('planning.the-squeeze')}>{(view) => <Squeezed view={view} />}</Loaded>
    </Page>
  );
}

function Squeezed({ view }: { view: SqueezeView }) {
  const worst = view.excesses[0];
  const first = view.groups.findIndex((group) => group.skills.join() === (worst?.skills.join() ?? ''));
  const [groupAt, setGroup] = useState<number | null>(null);
  const [cell, setCell] = useState<Cell | null>(null);
  const at = Math.min(groupAt ?? Math.max(0, first), Math.max(0, view.groups.length - 1));
  const group = view.groups[at];
  if (!group || group.cells.length === 0) return <Empty title={phrase('planning.no-mandated-window-closes-in-these-days')} action={<LinkButton to="/standing">{phrase('planning.look-at-the-standing')}</LinkButton>}>{phrase('planning.nothing-can-be-squeezed-look-further-ahead')}</Empty>;
  return (
    <>
      <p role="status">{worst ? <><Mark shape="bracketed" tone="bad">{phrase('planning.short-shortmin', { shortMin: minutesWords(worst.shortMin) })}</Mark> {phrase('planning.from-to-to-skills-neededmin-must-fit', { from: dayWords(worst.from), to: dayWords(worst.to), skills: skillWords(worst.skills), neededMin: minutesWords(worst.neededMin), availableMin: minutesWords(worst.availableMin) })}</> : <><Mark shape="standing" tone="good">{phrase('planning.nothing-is-short')}</Mark> {phrase('planning.no-pair-of-days-needs-more-hours')}</>}</p>
      {view.overdue > 0 ? <p className="note">{phrase('planning.overdue-with-duties-that-have-lapsed-already', { overdue: phrase('count.site', { n: view.overdue }) })} <Link to="/overdue">{phrase('planning.overdue-2')}</Link>.</p> : null}
      <Section title={phrase('planning.squeeze-triangle')} actions={view.groups.length > 1 ? <Select label={phrase('planning.who-may-do-it')} value={String(at)} onChange={(value) => { setGroup(Number(value)); setCell(null); }} options={view.groups.map((one, index) => ({ value: String(index), label: skillWords(one.skills) }))} /> : null}>
        <Triangle cells={group.cells} words={skillWords(group.skills)} chosen={cell} onChoose={setCell} />
        <CellWords cell={cell ?? triangleOf(group.cells, ROOM).worst} view={view} />
      </Section>
      {view.excesses.length > 0 ? <WaysOut view={view} /> : null}
      {view.excesses.length > 0 ? <Excesses view={view} /> : null}
      <p className="small quiet">{phrase('planning.a-cell-counts-the-windows-that-lie')}</p>
    </>
  );
}

function Triangle({ cells, words, chosen, onChoose }: { cells: readonly Cell[]; words: string; chosen: Cell | null; onChoose: (cell: Cell) => void }) {
  const triangle = useMemo(() => triangleOf(cells, ROOM), [cells]);
  const stop = chosen ?? triangle.worst;
  const every = Math.ceil(74 / triangle.size);
  const walk = (event: KeyboardEvent<SVGSVGElement>) => {
    const now = (event.target as Element).closest<SVGRectElement>('[data-cell]')?.dataset['cell'];
    const from = triangle.cells.find((cell) => keyOf(cell) === now);
    if (!from) return;
    if (event.key === 'Enter' || event.key === ' ') { event.preventDefault(); onChoose(from); return; }
    const next = nextCell(triangle.cells, from, event.key);
    if (next) { event.preventDefault(); onChoose(next); event.currentTarget.querySelector<SVGRectElement>(`[data-cell="${keyOf(next)}"]`)?.focus(); }
  };
  return (
    <div className="ahead-frame">
      <svg className="triangle" width={triangle.width} height={triangle.height} viewBox={`0 0 ${triangle.width} ${triangle.height}`} role="group" aria-label={phrase('planning.opening-by-closing-day-for-words-darker', { words })} onKeyDown={walk}>
        <defs><pattern id="over-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line x1="0" x2="0" y1="0" y2="5" stroke="var(--leaf)" strokeWidth="2" /></pattern></defs>
        {triangle.closes.map(({ day, x }, index) => (index % every === 0 ? <text key={day} x={x} y={14}>{dayShort(day).replace(/ \d{4}$/, '')}</text> : null))}
        {triangle.opens.map(({ day, y }, index) => (triangle.size >= 13 || index % Math.ceil(14 / triangle.size) === 0 ? <text key={day} x={0} y={y + triangle.size / 2 + 4}>{dayShort(day).replace(/ \d{4}$/, '')}</text> : null))}
        {triangle.cells.map((cell) => <CellRect key={keyOf(cell)} cell={cell} isChosen={chosen !== null && keyOf(cell) === keyOf(chosen)} isTabStop={stop !== null && keyOf(cell) === keyOf(stop)} isWorst={cell === triangle.worst} onChoose={onChoose} />)}
      </svg>
      <p className="small quiet">{phrase('planning.down-the-day-from-which-it-can', { value: triangle.worst && triangle.worst.load > 1 ? phrase('planning.proof') : phrase('planning.fullest-pair') })}</p>
    </div>
  );
}

const keyOf = (cell: { from: string; to: string }): string => `${cell.from} ${cell.to}`;

function nextCell(cells: readonly TriangleCell[], from: TriangleCell, key: string): TriangleCell | undefined {
  const along = key === 'ArrowLeft' || key === 'ArrowRight' ? cells.filter((cell) => cell.from === from.from) : cells.filter((cell) => cell.to === from.to);
  const ahead = key === 'ArrowRight' ? along.filter((cell) => cell.x > from.x) : key === 'ArrowLeft' ? along.filter((cell) => cell.x < from.x) : key === 'ArrowDown' ? along.filter((cell) => cell.y > from.y) : key === 'ArrowUp' ? along.filter((cell) => cell.y < from.y) : [];
  return ahead.toSorted((a, b) => Math.abs(a.x - from.x) + Math.abs(a.y - from.y) - Math.abs(b.x - from.x) - Math.abs(b.y - from.y))[0];
}

function CellRect({ cell, isChosen, isTabStop, isWorst, onChoose }: { cell: TriangleCell; isChosen: boolean; isTabStop: boolean; isWorst: boolean; onChoose: (cell: Cell) => void }) {
  const label = cellWords(cell);
  return (
    <g>
      <rect data-cell={keyOf(cell)} className={`triangle-cell${isChosen ? ' chosen' : ''}`} x={cell.x} y={cell.y} width={cell.size - 1} height={cell.size - 1} fillOpacity={0.08 + 0.92 * cell.shade} role="button" tabIndex={isTabStop ? 0 : -1} aria-label={label} aria-pressed={isChosen} onClick={() => onChoose(cell)}><title>{label}</title></rect>
      {cell.load > 1 ? <rect x={cell.x} y={cell.y} width={cell.size - 1} height={cell.size - 1} fill="url(#over-hatch)" pointerEvents="none" /> : null}
      {isWorst ? <circle cx={cell.x + cell.size / 2 - 0.5} cy={cell.y + cell.size / 2 - 0.5} r={Math.max(3, cell.size / 2 - 2)} className="triangle-worst" pointerEvents="none" /> : null}
    </g>
  );
}

const cellWords = (cell: Cell): string => phrase('planning.from-to-to-neededmin-needed-availablemin-there', { from: dayWords(cell.from), to: dayWords(cell.to), neededMin: minutesWords(cell.neededMin), availableMin: minutesWords(cell.availableMin), value: cell.availableMin === 0 ? phrase('planning.nobody') : shareWords(cell.neededMin, cell.availableMin) });

function CellWords({ cell, view }: { cell: Cell | null; view: SqueezeView }) {
  if (!cell) return <p className="quiet">{phrase('planning.choose-a-cell-to-read-it')}</p>;
  const known = view.excesses.find((one) => one.from === cell.from && one.to === cell.to);
  return <div role="status"><p><strong>{cellWords(cell)}</strong>, {phrase('count.window', { n: cell.tasks })}.{cell.neededMin > cell.availableMin ? phrase('planning.short-minutes', { minutes: minutesWords(cell.neededMin - cell.availableMin) }) : ''}</p>{known ? <SitesOf sites={known.sites} /> : null}</div>;
}

function SitesOf({ sites }: { sites: SqueezeView['excesses'][number]['sites'] }) {
  return <Table caption={phrase('planning.windows-inside')} rows={sites} rowKey={(one) => `${one.siteId} ${one.opens} ${one.closes}`} columns={[
    { key: 'site', title: phrase('planning.site'), sortBy: (one) => one.siteName, cell: (one) => <LinkButton kind="bare" size="small" to={`/sites/${one.siteId}`}>{one.siteName}</LinkButton> },
    { key: 'from', title: phrase('planning.can-be-done-from'), cell: (one) => dayWords(one.opens) }, { key: 'to', title: phrase('planning.lapses'), sortBy: (one) => one.closes, cell: (one) => dayWords(one.closes) },
    { key: 'min', title: phrase('planning.takes-at-least'), align: 'end', sortBy: (one) => one.minutes, cell: (one) => minutesWords(one.minutes) },
  ]} />;
}

function WaysOut({ view }: { view: SqueezeView }) {
  return (
    <Section title={phrase('planning.ways-out-of-the-largest-each-checked')}>
      {view.waysOut.length === 0 ? <p className="quiet">{phrase('planning.none-was-found-ask-who-imposed-the')}</p> : (
        <Table caption={phrase('planning.ways-out')} rows={view.waysOut} rowKey={(way) => way.words} columns={[
          { key: 'what', title: phrase('planning.what'), cell: (way) => plainWords(way.words) },
          { key: 'left', title: phrase('planning.after-it'), cell: (way) => (way.left.length === 0 ? <Mark shape="standing" tone="good">{phrase('planning.nothing-is-short')}</Mark> : <><Mark shape="bracketed" tone="bad">{phrase('planning.still-short')}</Mark> {plainWords(way.left[0]!)}</>) },
        ]} />)}
    </Section>
  );
}

function Excesses({ view }: { view: SqueezeView }) {
  return (
    <Section title={phrase('planning.pairs-of-days-that-are-short-excesses', { excesses: view.excesses.length })}>
      {view.excesses.map((one) => (
        <details key={`${one.from} ${one.to} ${one.skills.join()}`} className="leaf">
          <summary>{phrase('planning.from-to-to-skills-short-shortmin-of', { from: dayWords(one.from), to: dayWords(one.to), skills: skillWords(one.skills), shortMin: minutesWords(one.shortMin), neededMin: minutesWords(one.neededMin) })}</summary>
          <SitesOf sites={one.sites} />
        </details>))}
    </Section>
  );
}
