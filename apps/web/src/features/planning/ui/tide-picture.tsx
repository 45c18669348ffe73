import { type KeyboardEvent, useState } from 'react';
import { dayShort, minutesWords, plusDays } from '../../../shared/format.js';
import { phrase } from '../../../shared/language/index.js';

export interface TideWeek { week: number; neededMin: { p10: number; p50: number; p90: number }; ableMin: { p10: number; p50: number; p90: number }; lapseChance: number }

const WIDTH = 720;
const HEIGHT = 220;
const LEFT = 54;
const TOP = 14;
const FOOT = 26;

/** Hours owed as water with its range, hours available as a wall: where water tops the wall, duties begin to lapse. One week is read by pointer or arrow keys. */
export function TidePicture({ title, fromMonday, weeks, legend = false }: { title: string; fromMonday: string; weeks: readonly TideWeek[]; legend?: boolean }) {
  const [at, setAt] = useState<number | null>(null);
  const most = Math.max(60, ...weeks.map((week) => Math.max(week.neededMin.p90, week.ableMin.p50))) * 1.08;
  const step = (WIDTH - LEFT - 6) / Math.max(1, weeks.length);
  const x = (week: number) => LEFT + week * step;
  const y = (minutes: number) => TOP + (HEIGHT - TOP - FOOT) * (1 - minutes / most);
  const stairs = (of: (week: TideWeek) => number) => weeks.map((week, index) => `${index === 0 ? 'M' : 'L'}${x(index).toFixed(1)} ${y(of(week)).toFixed(1)}H${x(index + 1).toFixed(1)}`).join('');
  const middle = (of: (week: TideWeek) => number) => weeks.map((week, index) => `${x(index + 0.5).toFixed(1)} ${y(of(week)).toFixed(1)}`);
  const range = `M${middle((week) => week.neededMin.p90).join('L')}L${middle((week) => week.neededMin.p10).toReversed().join('L')}Z`;
  const walk = (event: KeyboardEvent<SVGSVGElement>) => {
    const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!by) return;
    event.preventDefault();
    const next = Math.max(0, Math.min(weeks.length - 1, (at ?? 0) + by));
    setAt(next);
    event.currentTarget.querySelector<SVGRectElement>(`[data-week="${next}"]`)?.focus();
  };
  const hours = hourLines(most);
  const read = at === null ? null : weeks[at];
  return (
    <figure className="ahead-frame">
      <figcaption><strong>{title}</strong></figcaption>
      <svg className="tide" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label={phrase('planning.title-hours-owed-and-hours-available-week', { title })} onKeyDown={walk}>
        {hours.map((minutes) => <g key={minutes}><line className="tide-grid" x1={LEFT} x2={WIDTH - 6} y1={y(minutes)} y2={y(minutes)} /><text x={LEFT - 6} y={y(minutes) + 4} textAnchor="end">{Math.round(minutes / 60)} h</text></g>)}
        <path className="tide-range" d={range} />
        {weeks.map((week, index) => (week.neededMin.p50 > week.ableMin.p50 ? <rect key={week.week} className="tide-over" x={x(index)} width={step} y={y(week.neededMin.p50)} height={Math.max(0, y(week.ableMin.p50) - y(week.neededMin.p50))} /> : null))}
        <path className="tide-water" d={`M${middle((week) => week.neededMin.p50).join('L')}`} />
        <path className="tide-wall-range" d={stairs((week) => week.ableMin.p10)} />
        <path className="tide-wall" d={stairs((week) => week.ableMin.p50)} />
        {weeks.map((week, index) => (
          <rect key={week.week} data-week={index} className={`tide-week${index === at ? ' chosen' : ''}`} x={x(index)} y={TOP} width={step} height={HEIGHT - TOP - FOOT} role="button" tabIndex={index === (at ?? 0) ? 0 : -1} aria-label={weekWords(week, fromMonday)} onClick={() => setAt(index)} onFocus={() => setAt(index)}><title>{weekWords(week, fromMonday)}</title></rect>))}
        {weeks.map((week, index) => (index % 8 === 0 ? <text key={week.week} x={x(index)} y={HEIGHT - 8}>{dayShort(plusDays(fromMonday, week.week * 7)).replace(/ \d{4}$/, '')}</text> : null))}
      </svg>
      <p className="small" role="status">{read ? weekWords(read, fromMonday) : !legend ? phrase('planning.choose-a-week-to-read-it') : phrase('planning.thin-line-with-its-shade-hours-owed')}</p>
    </figure>
  );
}

export function weekWords(week: TideWeek, fromMonday: string): string {
  return phrase('planning.week-of-day-p50-owed-p10-to', { day: dayShort(plusDays(fromMonday, week.week * 7)), p50: minutesWords(week.neededMin.p50), p10: minutesWords(week.neededMin.p10), p90: minutesWords(week.neededMin.p90), p502: minutesWords(week.ableMin.p50), p102: minutesWords(week.ableMin.p10), round: Math.round(100 * week.lapseChance) });
}

function hourLines(most: number): number[] {
  const aim = most / 4 / 60;
  const ten = 10 ** Math.floor(Math.log10(Math.max(1, aim)));
  const stepH = ten * (aim / ten >= 5 ? 5 : aim / ten >= 2 ? 2 : 1);
  return Array.from({ length: Math.floor(most / 60 / stepH) + 1 }, (_, i) => i * stepH * 60);
}
