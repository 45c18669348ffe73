import type { WeekView } from '@bellround/contracts';
import { useQuery } from '@tanstack/react-query';
import { type KeyboardEvent, useMemo, useState } from 'react';
import atlasUrl from 'world-atlas/countries-50m.json?url';
import { dayShort, dayWords } from '../../../shared/format.js';
import { Select } from '../../../shared/ui/index.js';
import { useMapGround } from '../api/week.js';
import { graticule, outlinesWithin, scaleBar, type Topology } from './map-outlines.js';
import { type Projection, projectionOf, tilesUnder } from './map-projection.js';
import { phrase } from '../../../shared/language/index.js';
import { distanceWords } from '../../../shared/locale.js';

const WIDTH = 560;
const HEIGHT = 420;
const SIZE = { width: WIDTH, height: HEIGHT, edge: 30 };
const DASHES = ['', '8 4', '2 4', '12 3 2 3', '5 5', '1 3', '14 4'];

function weekProjection(view: WeekView): Projection | null {
  const sites = view.visits.flatMap(({ lat, lon }) => (lat !== null && lon !== null ? [{ lat, lon }] : []));
  const homes = view.technicians.flatMap(({ homeLat: lat, homeLon: lon }) => (lat !== null && lon !== null ? [{ lat, lon }] : []));
  return sites.length === 0 ? null : projectionOf([...sites, ...homes], SIZE);
}

/** Land and borders of the app's own bundle. Without them the grid still tells where things are. */
function useAtlas() {
  return useQuery({ queryKey: ['outlines'], staleTime: Infinity, gcTime: Infinity, retry: false, queryFn: async ({ signal }) => (await (await fetch(atlasUrl, { signal })).json()) as Topology });
}

/** Rounds and sites on outlines that are part of the app. One site is chosen by pointer or by the arrow keys; each technician's line has a dash of its own. */
export function WeekMap({ view, chosen, onChoose }: { view: WeekView; chosen: string | null; onChoose: (visitId: string) => void }) {
  const [day, setDay] = useState('');
  const [technicianId, setTechnician] = useState('');
  const projection = useMemo(() => weekProjection(view), [view]);
  const atlas = useAtlas();
  const outlines = useMemo(() => (atlas.data && projection ? outlinesWithin(atlas.data, projection.bounds) : []), [atlas.data, projection]);
  const tiles = useTiles(projection);
  if (!projection) return <p className="quiet">{phrase('planning.no-site-of-this-week-has-coordinates')}</p>;
  const { at } = projection;
  const rounds = view.rounds.filter((round) => (day === '' || round.day === day) && (technicianId === '' || round.technicianId === technicianId));
  const shown = new Set(rounds.flatMap((round) => round.stops.map((stop) => stop.visitId)));
  const sites = view.visits.filter((visit) => visit.lat !== null && visit.lon !== null && (day === '' && technicianId === '' ? true : shown.has(visit.id) || visit.id === chosen));
  return (
    <div className="stack">
      <div className="row">
        <Select label={phrase('planning.day-on-the-map')} value={day} onChange={setDay} empty={phrase('planning.all-days')} options={[...new Set(view.rounds.map((round) => round.day))].sort().map((one) => ({ value: one, label: dayWords(one) }))} />
        <Select label={phrase('planning.rounds-on-the-map')} value={technicianId} onChange={setTechnician} empty={phrase('planning.everybody')} options={view.technicians.map((one) => ({ value: one.id, label: one.name }))} />
      </div>
      <svg className={tiles.shown.length > 0 ? 'week-map tiled' : 'week-map'} viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label={phrase('planning.map-of-sites-visits-the-same-is', { sites: sites.length })} onKeyDown={(event) => walk(event, onChoose)}>
        <Ground projection={projection} outlines={outlines} />
        <g className="tiles" aria-hidden="true">{tiles.shown.map((one) => <image key={one.key} href={one.url} x={one.left} y={one.top} width={one.side} height={one.side} preserveAspectRatio="none" onError={() => tiles.lose(one.url)} />)}</g>
        <ScaleBar widthKm={projection.widthKm} />
        {rounds.map((round) => <RoundLine key={`${round.technicianId} ${round.day}`} view={view} round={round} at={at} isChosen={round.stops.some((stop) => stop.visitId === chosen)} />)}
        {view.technicians.map((one) => one.homeLat !== null && one.homeLon !== null && (technicianId === '' || one.id === technicianId) ? <Home key={one.id} name={one.name} at={at(one.homeLat, one.homeLon)} /> : null)}
        {sites.map((visit, index) => {
          const [x, y] = at(visit.lat!, visit.lon!);
          const isChosen = visit.id === chosen;
          const size = isChosen ? 8 : 4.5;
          const look = { fill: isChosen ? 'var(--bronze)' : visit.overdue ? 'var(--bad)' : 'var(--leaf)', stroke: 'var(--ink)', strokeWidth: 1.5 };
          return (
            <g key={visit.id} className="spot" data-spot={visit.id} role="button" tabIndex={isChosen || (!sites.some((one) => one.id === chosen) && index === 0) ? 0 : -1} aria-pressed={isChosen} aria-label={`${visit.siteName}${visit.overdue ? phrase('planning.lapsed-or-cant-be-told-2') : ''}${visit.lapsesOn ? phrase('planning.lapses-lapseson-2', { lapsesOn: dayShort(visit.lapsesOn) }) : ''}`} onClick={() => onChoose(visit.id)}>
              {visit.overdue ? <rect x={x - size} y={y - size} width={2 * size} height={2 * size} {...look} /> : <circle cx={x} cy={y} r={size} {...look} />}
              <title>{visit.siteName}</title>
            </g>
          );
        })}
        {sites.filter((visit) => visit.id === chosen).map((visit) => { const [x, y] = at(visit.lat!, visit.lon!); return <text key={visit.id} x={Math.min(x + 11, WIDTH - 8 * visit.siteName.length)} y={y - 10} fontWeight="700">{visit.siteName}</text>; })}
      </svg>
      <p className="small quiet">{phrase('planning.square-lapsed-or-cant-be-told-outlines', { value: atlas.error ? phrase('planning.they-could-not-be-read-now') : '' })}</p>
      {tiles.attribution !== null ? <p className="small quiet">{phrase('planning.map-tiles-attribution', { attribution: tiles.attribution })} {tiles.isPartLost ? <strong>{phrase('planning.tiles-missing-outlines-stand')}</strong> : null}</p> : null}
    </div>
  );
}

function walk(event: KeyboardEvent<SVGSVGElement>, onChoose: (visitId: string) => void): void {
  const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
  const spots = [...event.currentTarget.querySelectorAll<SVGGElement>('[data-spot]')];
  const at = spots.indexOf(document.activeElement as unknown as SVGGElement);
  if (at < 0) return;
  if (step) { event.preventDefault(); spots[(at + step + spots.length) % spots.length]!.focus(); }
  if (event.key === 'Enter' || event.key === ' ') { event.preventDefault(); onChoose(spots[at]!.dataset['spot']!); }
}

function Ground({ projection, outlines }: { projection: Projection; outlines: readonly (readonly (readonly [number, number])[])[] }) {
  const { at, bounds } = projection;
  const grid = graticule(bounds);
  const path = outlines.map((line) => line.map(([lon, lat], index) => { const [x, y] = at(lat, lon); return `${index === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`; }).join('')).join('');
  return (
    <g aria-hidden="true">
      {grid.lats.map((lat) => { const [, y] = at(lat, bounds.west); return <g key={lat}><line className="graticule" x1={0} x2={WIDTH} y1={y} y2={y} /><text x={4} y={y - 3}>{lat}° </text></g>; })}
      {grid.lons.map((lon) => { const [x] = at(bounds.south, lon); return <g key={lon}><line className="graticule" x1={x} x2={x} y1={0} y2={HEIGHT} /><text x={x + 3} y={12}>{lon}°</text></g>; })}
      <path className="outline" d={path} />
    </g>
  );
}

function ScaleBar({ widthKm }: { widthKm: number }) {
  const bar = scaleBar(widthKm);
  const length = (bar / widthKm) * WIDTH;
  return <g aria-hidden="true"><path d={`M${WIDTH - 16 - length} ${HEIGHT - 14}v5h${length}v-5`} fill="none" stroke="var(--ink)" strokeWidth="1.500" /><text x={WIDTH - 16} y={HEIGHT - 18} textAnchor="end">{distanceWords(bar * 1000)}</text></g>;
}

/** What a tile server has of the ground; the outlines beneath show wherever it has nothing now. */
function useTiles(projection: Projection | null) {
  const set = useMapGround().data?.tiles ?? null;
  const [lost, setLost] = useState<ReadonlySet<string>>(new Set());
  const tiles = useMemo(() => (set && projection ? tilesUnder(projection, SIZE, set.url, set.maxZoom) : []), [set, projection]);
  return { attribution: set?.attribution ?? null, shown: tiles.filter((one) => !lost.has(one.url)), isPartLost: tiles.some((one) => lost.has(one.url)), lose: (url: string) => setLost((before) => new Set(before).add(url)) };
}

function RoundLine({ view, round, at, isChosen }: { view: WeekView; round: WeekView['rounds'][number]; at: Projection['at']; isChosen: boolean }) {
  const index = view.technicians.findIndex((one) => one.id === round.technicianId);
  const home = view.technicians[index];
  const start = home?.homeLat != null && home.homeLon != null ? at(home.homeLat, home.homeLon) : null;
  const places = new Map(view.visits.map((visit) => [visit.id, visit]));
  const stops = round.stops.flatMap((stop) => { const visit = places.get(stop.visitId); return visit?.lat != null && visit.lon != null ? [at(visit.lat, visit.lon)] : []; });
  const points = [...(start ? [start] : []), ...stops, ...(start ? [start] : [])];
  return <polyline points={points.map((point) => point.join(',')).join(' ')} fill="none" stroke={isChosen ? 'var(--bronze)' : 'var(--ink)'} strokeWidth={isChosen ? 3 : 1} opacity={isChosen ? 1 : 0.45} strokeDasharray={DASHES[index % DASHES.length]} />;
}

function Home({ name, at: [x, y] }: { name: string; at: readonly [number, number] }) {
  return <g><path d={`M${x - 6} ${y + 5}v-6l6-5 6 5v6z`} fill="var(--leaf)" stroke="var(--ink)" /><text x={x + 9} y={y + 4}>{name}</text></g>;
}
