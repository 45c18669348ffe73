import type { TogetherShown } from '@bellround/contracts';
import { dayShort, daysFrom } from '../../../shared/format.js';
import './together-strip.css';
import { phrase } from '../../../shared/language/index.js';

/** Each window as a basin over the same days; the days of its visit stand in it as a band, the best one as a peg. */
export function TogetherStrip({ shown }: { shown: TogetherShown }) {
  const last = shown.windows.map((one) => one.lapses).reduce((a, b) => (a > b ? a : b), shown.until);
  const length = Math.max(1, Math.min(daysFrom(shown.asOf, last) + 1, daysFrom(shown.asOf, shown.until) + 60));
  const at = (day: string) => Math.max(0, Math.min(length, daysFrom(shown.asOf, day)));
  return (
    <div className="together-strip" role="img" aria-label={phrase('programmes.windows-from-asof-the-table-below-says', { asOf: dayShort(shown.asOf) })}>
      {shown.windows.map((window) => {
        const visit = shown.visits.find((one) => one.names.includes(window.name));
        return (
          <div key={window.name} style={{ display: 'contents' }}>
            <span className="small name">{window.name}</span>
            <svg viewBox={`0 0 ${length} 20`} preserveAspectRatio="none" aria-hidden="true">
              {visit?.days.map((day) => <rect key={day} className="shared" x={at(day)} y={2} width={1} height={16} />)}
              <path className="window" d={`M${at(window.opens)} 4V17H${at(window.lapses) + 1}V4`} />
              {visit ? <path className="best" d={`M${at(visit.best) + 0.5} 1V17`} /> : null}
            </svg>
          </div>
        );
      })}
    </div>
  );
}
