import { momentWords } from '../format.js';
import { useStepper } from './use-stepper.js';
import './pictures.css';
import { phrase } from '../language/index.js';

export interface CombOfPath {
  readonly id: string; readonly label: string; readonly words: string; readonly intervalH: number;
  readonly teeth: readonly { readonly expectedAt: string; readonly heardAt: string | null; readonly leanMin: number | null }[];
}

const TOOTH = 10;
const HEIGHT = 40;

/**
 * One path's expected signals: a tooth each, hanging from its spine. A tooth that did not come is an empty outline; one that
 * leans came earlier (left) or later (right), and leaning ever more is a panel's clock that runs wrong.
 */
export function SilenceComb({ comb, zone, from, to }: { comb: CombOfPath; zone: string; from: string; to: string }) {
  const { chosen, choose, keys } = useStepper(comb.teeth.length);
  const [start, end] = [Date.parse(from), Date.parse(to)];
  const width = Math.max(1, Math.round((end - start) / (comb.intervalH * 3_600_000))) * TOOTH;
  const x = (at: string) => ((Date.parse(at) - start) / (end - start)) * width;
  const tooth = chosen === null ? null : comb.teeth[chosen]!;
  const stepMin = comb.intervalH * 60;
  const lean = (min: number) => Math.max(-0.7, Math.min(0.7, (min / stepMin) * 6)) * TOOTH;
  const drawn = comb.teeth.flatMap((one) => (one.heardAt === null ? [] : [`M${x(one.expectedAt)} 8l${lean(one.leanMin!)} ${HEIGHT - 12}`])).join('');
  const missing = comb.teeth.flatMap((one) => (one.heardAt === null ? [`M${x(one.expectedAt) - TOOTH * 0.3} 8v${HEIGHT - 14}h${TOOTH * 0.6}v-${HEIGHT - 14}`] : [])).join('');
  return (
    <figure className="comb" {...keys} role="group" aria-label={phrase('pictures.signals-of-label-arrow-keys-go-from', { label: comb.label })}>
      <svg viewBox={`0 0 ${width} ${HEIGHT}`} preserveAspectRatio="none" role="img" aria-label={`${comb.label}: ${comb.words}`}>
        <path className="spine" d={`M0 6H${width}`} />
        <path className="tooth" d={drawn} />
        <path className="gone" d={missing} />
        {tooth ? <path className="pick" d={`M${x(tooth.expectedAt)} 0V${HEIGHT}`} /> : null}
        {comb.teeth.map((one, i) => <rect key={one.expectedAt} className="touch" x={x(one.expectedAt) - TOOTH / 2} y="0" width={TOOTH} height={HEIGHT} onMouseEnter={() => choose(i)} />)}
      </svg>
      <figcaption aria-live="polite">{tooth ? phrase('pictures.expected-expectedat-value', { expectedAt: momentWords(tooth.expectedAt, zone), value: tooth.heardAt === null ? phrase('pictures.did-not-come') : tooth.leanMin === 0 ? phrase('pictures.came') : phrase('pictures.came-abs-min-value', { abs: Math.abs(tooth.leanMin!), value: tooth.leanMin! > 0 ? phrase('pictures.later') : phrase('pictures.earlier') }) }) : phrase('pictures.from-to-to', { from: momentWords(from, zone), to: momentWords(to, zone) })}</figcaption>
    </figure>
  );
}
