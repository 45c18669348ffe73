import { dayShort } from '../format.js';
import { useStepper } from './use-stepper.js';
import './pictures.css';
import { phrase } from '../language/index.js';

export interface SensorOnShore {
  readonly id: string; readonly label: string; readonly levelDbm: number; readonly noiseDbm: number; readonly marginDb: number; readonly leastDb: number; readonly sinksOn: string | null;
  readonly history: readonly { readonly on: string; readonly levelDbm: number; readonly noiseDbm: number }[]; readonly words: string;
}

const WIDTH = 44;
const HEIGHT = 150;

/**
 * Wireless sensors by the day they would sink: each one's level is ground, the noise is water that stands in it, the dashed line
 * how high the ground must be. The small marks are the first readings: ground that was higher sank, water that was lower rose.
 */
export function MarginShore({ sensors, today }: { sensors: readonly SensorOnShore[]; today: string }) {
  const { chosen, choose, keys } = useStepper(sensors.length);
  const all = sensors.flatMap((one) => [one.levelDbm, one.noiseDbm + one.leastDb, one.noiseDbm, ...one.history.flatMap((past) => [past.levelDbm, past.noiseDbm])]);
  const [low, high] = [Math.min(...all) - 6, Math.max(...all) + 4];
  const y = (dbm: number) => HEIGHT - ((dbm - low) / (high - low)) * HEIGHT;
  const said = chosen === null ? null : sensors[chosen]!;
  return (
    <figure className="shore" {...keys} role="group" aria-label={phrase('pictures.margin-shore-arrow-keys-go-from-sensor')}>
      <div className="shore-scroll">
        <svg viewBox={`0 0 ${WIDTH * sensors.length} ${HEIGHT + 2}`} width={WIDTH * sensors.length} height={HEIGHT + 2} role="img" aria-label={sensors.map((one) => `${one.label}: ${one.words}${sinkWords(one, today)}`).join(' ')}>
          {sensors.map((one, i) => <Sensor key={one.id} one={one} x={i * WIDTH} y={y} isChosen={chosen === i} onChoose={() => choose(i)} />)}
        </svg>
        <ol className="shore-words" style={{ gridTemplateColumns: `repeat(${sensors.length}, ${WIDTH}px)` }} aria-hidden="true">{sensors.map((one) => <li key={one.id} title={one.label}>{one.marginDb < one.leastDb ? phrase('pictures.sunk') : one.sinksOn ? dayShort(one.sinksOn).slice(-8) : phrase('pictures.stays')}</li>)}</ol>
      </div>
      <figcaption aria-live="polite">{said ? <><strong>{said.label}</strong>: {said.words}{sinkWords(said, today)}</> : phrase('pictures.ground-level-of-the-sensor-water-noise')}</figcaption>
    </figure>
  );
}

function sinkWords(one: SensorOnShore, today: string): string {
  if (one.marginDb < one.leastDb) return phrase('pictures.below-its-limit-now');
  return one.sinksOn === null ? '' : phrase('pictures.by-its-own-trend-it-meets-its', { sinksOn: dayShort(one.sinksOn), value: one.sinksOn <= today ? phrase('pictures.which-is-past') : '' });
}

function Sensor({ one, x, y, isChosen, onChoose }: { one: SensorOnShore; x: number; y: (dbm: number) => number; isChosen: boolean; onChoose: () => void }) {
  const first = one.history.length > 1 ? one.history[0]! : null;
  const isSunk = one.marginDb < one.leastDb;
  return (
    <g className={isChosen ? 'sensor chosen' : 'sensor'} onMouseEnter={onChoose}>
      <rect className="sky" x={x} y="0" width={WIDTH} height={HEIGHT} />
      <rect className={isSunk ? 'earth sunk' : 'earth'} x={x + 10} y={y(one.levelDbm)} width={WIDTH - 20} height={HEIGHT - y(one.levelDbm)} />
      <rect className="water" x={x} y={y(one.noiseDbm)} width={WIDTH} height={HEIGHT - y(one.noiseDbm)} />
      <path className="waterline" d={`M${x} ${y(one.noiseDbm)}q${WIDTH / 8} -3 ${WIDTH / 4} 0t${WIDTH / 4} 0 ${WIDTH / 4} 0 ${WIDTH / 4} 0`} />
      <path className="least" d={`M${x + 4} ${y(one.noiseDbm + one.leastDb)}h${WIDTH - 8}`} />
      {first ? <><path className="was" d={`M${x + 6} ${y(first.levelDbm)}h8`} /><path className="was" d={`M${x + WIDTH - 12} ${y(first.noiseDbm)}h8`} /></> : null}
      {isSunk ? <path className="sunk-mark" d={`M${x + 14} ${y(one.levelDbm) - 12}l16 0M${x + 14} ${y(one.levelDbm) - 7}l16 0`} /> : null}
    </g>
  );
}
