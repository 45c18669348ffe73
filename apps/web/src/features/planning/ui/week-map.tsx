import type { WeekView } from '@bellround/contracts';

const WIDTH = 520;
const HEIGHT = 380;
const EDGE = 24;
const DASHES = ['', '8 4', '2 4', '12 3 2 3', '5 5', '1 3', '14 4'];

/** Rounds and sites by their coordinates alone: works without any map server. Each technician's line has a dash of its own. */
export function WeekMap({ view, chosen, onChoose }: { view: WeekView; chosen: string | null; onChoose: (visitId: string) => void }) {
  const sites = view.visits.filter((visit) => visit.lat !== null && visit.lon !== null);
  if (sites.length === 0) return <p className="quiet">No site of this week has coordinates.</p>;
  const lats = [...sites.map((one) => one.lat!), ...view.technicians.flatMap((one) => one.homeLat ?? [])];
  const lons = [...sites.map((one) => one.lon!), ...view.technicians.flatMap((one) => one.homeLon ?? [])];
  const [south, north, west, east] = [Math.min(...lats), Math.max(...lats), Math.min(...lons), Math.max(...lons)];
  const squeeze = Math.cos(((south + north) / 2) * (Math.PI / 180));
  const scale = Math.min((WIDTH - 2 * EDGE) / Math.max(1e-6, (east - west) * squeeze), (HEIGHT - 2 * EDGE) / Math.max(1e-6, north - south));
  const at = (lat: number, lon: number) => [EDGE + (lon - west) * squeeze * scale, HEIGHT - EDGE - (lat - south) * scale] as const;
  const place = new Map(sites.map((visit) => [visit.id, at(visit.lat!, visit.lon!)]));
  return (
    <svg className="week-map" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={`Map of ${sites.length} visits and ${view.technicians.length} technicians; the same is told in the tables`}>
      {view.rounds.map((round) => {
        const index = view.technicians.findIndex((one) => one.id === round.technicianId);
        const home = view.technicians[index];
        const start = home?.homeLat != null && home.homeLon != null ? at(home.homeLat, home.homeLon) : null;
        const points = [...(start ? [start] : []), ...round.stops.map((stop) => place.get(stop.visitId)).filter((point) => point !== undefined), ...(start ? [start] : [])];
        const on = round.stops.some((stop) => stop.visitId === chosen);
        return <polyline key={`${round.technicianId} ${round.day}`} points={points.map((point) => point.join(',')).join(' ')} fill="none" stroke={on ? 'var(--bronze)' : 'var(--ink)'} strokeWidth={on ? 3 : 1} opacity={on ? 1 : 0.45} strokeDasharray={DASHES[index % DASHES.length]} />;
      })}
      {view.technicians.map((one) => one.homeLat !== null && one.homeLon !== null ? <g key={one.id}>{(() => { const [x, y] = at(one.homeLat, one.homeLon); return <><path d={`M${x - 6} ${y + 5}v-6l6-5 6 5v6z`} fill="var(--leaf)" stroke="var(--ink)" /><text x={x + 9} y={y + 4}>{one.name}</text></>; })()}</g> : null)}
      {sites.map((visit) => {
        const [x, y] = place.get(visit.id)!;
        return <circle key={visit.id} cx={x} cy={y} r={visit.id === chosen ? 8 : 4} fill={visit.id === chosen ? 'var(--bronze)' : visit.overdue ? 'var(--bad)' : 'var(--leaf)'} stroke="var(--ink)" strokeWidth={1.5} onClick={() => onChoose(visit.id)} style={{ cursor: 'pointer' }}><title>{visit.siteName}</title></circle>;
      })}
    </svg>
  );
}
