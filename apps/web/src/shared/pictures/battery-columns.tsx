import { useId } from 'react';
import { dayShort } from '../format.js';
import { useStepper } from './use-stepper.js';
import './pictures.css';
import { phrase } from '../language/index.js';
import { said } from '../language/said.js';

/** What a column draws; ampere hours at 25 °C, null where it is not known. */
export interface ColumnOfBattery {
  readonly id: string; readonly label: string; readonly systemName?: string; readonly ratedAh: number | null; readonly needAh: number | null; readonly haveAh: number | null;
  readonly haveBy: 'measured' | 'expected' | null; readonly ghostAh: number | null; readonly nextOn: string | null; readonly words: string;
}

const HEIGHT = 132;
const BASE = 120;
const TALL = 104;

/**
 * Standby batteries: the column is what a battery has, the bold line what its site needs, the dashed outline beside it what it
 * will have at the next check. A column that is not known is hatched. Below the line is short, whatever the colour.
 */
export function BatteryColumns({ batteries }: { batteries: readonly ColumnOfBattery[] }) {
  const { chosen, choose, keys } = useStepper(batteries.length);
  return (
    <figure className="columns" {...keys} role="group" aria-label={phrase('pictures.battery-columns-arrow-keys-go-from-battery')}>
      <div className="columns-row">{batteries.map((battery, i) => <Column key={battery.id} battery={battery} isChosen={chosen === i} onChoose={() => choose(i)} />)}</div>
      <figcaption aria-live="polite">{chosen === null ? phrase('pictures.column-what-it-has-bold-line-what') : <><strong>{batteries[chosen]!.label}</strong>: {said(batteries[chosen]!.words)}</>}</figcaption>
    </figure>
  );
}

function Column({ battery, isChosen, onChoose }: { battery: ColumnOfBattery; isChosen: boolean; onChoose: () => void }) {
  const hatch = useId();
  const { ratedAh, needAh, haveAh, ghostAh } = battery;
  const top = Math.max(ratedAh ?? 0, needAh ?? 0, haveAh ?? 0, ghostAh ?? 0) || 1;
  const y = (ah: number) => BASE - (TALL * ah) / top;
  const isShort = needAh !== null && haveAh !== null && haveAh < needAh;
  const shortly = !isShort && needAh !== null && ghostAh !== null && ghostAh < needAh;
  return (
    <div className={isChosen ? 'column chosen' : 'column'} onMouseEnter={onChoose}>
      <svg viewBox={`0 0 110 ${HEIGHT}`} role="img" aria-label={`${battery.label}. ${said(battery.words)}`}>
        <defs><pattern id={hatch} width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 6L6 0" className="hatch-line" /></pattern></defs>
        <path className="base" d={`M6 ${BASE}H104`} />
        {ratedAh === null ? null : <path className="rated" d={`M20 ${y(ratedAh)}H56`} />}
        {haveAh === null ? <rect className="unknown" x="24" y={y(ratedAh ?? top)} width="28" height={BASE - y(ratedAh ?? top)} fill={`url(#${hatch})`} />
          : <rect className={`has${isShort ? ' short' : ''}${battery.haveBy === 'expected' ? ' expected' : ''}`} x="24" y={y(haveAh)} width="28" height={BASE - y(haveAh)} />}
        {ghostAh === null ? null : <path className="ghost" d={`M62 ${BASE}V${y(ghostAh)}H82V${BASE}`} />}
        {needAh === null ? null : <path className="need" d={`M12 ${y(needAh)}H98`} />}
        {needAh === null ? null : <text x="100" y={y(needAh) + 3} className="need-word">{needAh}</text>}
      </svg>
      <strong>{battery.label}</strong>
      {battery.systemName ? <span className="small quiet">{battery.systemName}</span> : null}
      <span className="small">{haveAh === null ? phrase('pictures.cant-tell') : `${haveAh} Ah ${battery.haveBy === 'expected' ? phrase('pictures.expected-2') : phrase('pictures.measured')}`}{needAh === null ? '' : phrase('pictures.needah-needed', { needAh })}</span>
      {isShort ? <strong className="small bad-word">{phrase('pictures.short-now')}</strong> : shortly ? <strong className="small warn-word">{phrase('pictures.short-by-nexton', { nextOn: dayShort(battery.nextOn!) })}</strong> : null}
    </div>
  );
}
