import { csvLine } from './csv.js';
import { importKind, type ImportKind } from './import-kinds.js';
import { sampleCsv } from './import-rows.js';

// A small invented company as import files: twelve sites within a day's drive, two technicians. It imports as it is, in the
// order of the kinds, so that a newcomer can go the whole way to a planned week before touching files of their own.

type Row = Readonly<Record<string, string>>;
interface Place { readonly name: string; readonly locality: string; readonly address: string; readonly occupancy: string; readonly client: string; readonly at: readonly [number, number] }

const HOURS = 'Mon-Fri 08:00-18:00';
const CLIENTS: readonly [string, string][] = [['C-1', 'Ostrel traders'], ['C-2', 'Vexley parish'], ['C-3', 'Nethercombe estates'], ['C-4', 'Tarn Hollow cooperative']];
const place = (name: string, locality: string, address: string, occupancy: string, client: string, at: readonly [number, number]): Place => ({ name, locality, address, occupancy, client, at });
const PLACES: readonly Place[] = [
  place('Ostrel bakery', 'Ostrel', '1 Mill Lane', 'shop', 'C-1', [41.902, -4.601]), place('Ostrel ironmonger', 'Ostrel', '14 Mill Lane', 'shop', 'C-1', [41.906, -4.607]),
  place('Ostrel surgery', 'Ostrel', '3 Tollgate', 'office', 'C-1', [41.899, -4.612]), place('Vexley parish hall', 'Vexley', '2 Church Row', 'public', 'C-2', [41.861, -4.652]),
  place('Vexley nursery', 'Vexley', '9 Church Row', 'school', 'C-2', [41.864, -4.655]), place('Vexley reading room', 'Vexley', '11 Weir Street', 'public', 'C-2', [41.858, -4.648]),
  place('Nethercombe lodge', 'Nethercombe', '1 Drive', 'home', 'C-3', [41.931, -4.702]), place('Nethercombe stores', 'Nethercombe', '7 Yard', 'warehouse', 'C-3', [41.934, -4.709]),
  place('Nethercombe office', 'Nethercombe', '8 Yard', 'office', 'C-3', [41.935, -4.707]), place('Tarn Hollow bookshop', 'Tarn Hollow', '2 Weir Row', 'shop', 'C-4', [41.951, -4.552]),
  place('Tarn Hollow dairy', 'Tarn Hollow', '5 Weir Row', 'industrial', 'C-4', [41.954, -4.548]), place('Tarn Hollow inn', 'Tarn Hollow', '1 Bridge Foot', 'hospitality', 'C-4', [41.949, -4.557]),
];
const TECHNICIANS = [['T-1', 'Tess Amaru', 'tess@quillmere.example', 'fire; intrusion', '41.905', '-4.615'], ['T-2', 'Jonas Berg', 'jonas@quillmere.example', 'intrusion', '41.925', '-4.660']] as const;

const ROWS: Partial<Record<ImportKind, () => Row[]>> = {
  clients: () => CLIENTS.map(([key, name]) => ({ key, name })),
  sites: () => each((n, one) => ({ key: `S-${n}`, client: one.client, name: one.name, address: one.address, locality: one.locality, latitude: String(one.at[0]), longitude: String(one.at[1]), time_zone: 'Europe/Madrid', occupancy: one.occupancy, access_hours: HOURS, notice_days: one.occupancy === 'school' ? '3' : '', taken_over_on: '2024-01-15' })),
  systems: () => each((n) => ({ key: `Y-${n}`, site: `S-${n}`, kind: 'intrusion', name: 'Intrusion', grade: '2', installed_on: '2024-01-15', standby_ma: '120', alarm_ma: '800', standby_hours: '12', alarm_min: '15' })),
  zones: () => each((n) => [['1', 'Front door'], ['2', 'Main room']].map(([number, text]) => ({ system: `Y-${n}`, number: number!, text_ours: text!, text_panel: text!.toUpperCase(), text_station: text!.toUpperCase() }))),
  devices: () => each((n) => [['contact', 'wireless', 'Front door contact', 'Hall', '1'], ['motion', 'wired', 'Main room motion', 'Main room', '2']].map(([kind, link, label, room, zone], at) => ({ key: `D-${n}${at + 1}`, system: `Y-${n}`, zone: zone!, kind: kind!, link: link!, label: label!, room: room!, installed_on: '2024-01-15' }))),
  batteries: () => each((n) => ({ key: `B-${n}`, system: `Y-${n}`, label: 'Standby battery', chemistry: 'lead-acid-sealed', nominal_v: '12', rated_ah: '7', made_on: '2023-11', fitted_on: '2024-01-15' })),
  paths: () => each((n) => ({ key: `P-${n}`, system: `Y-${n}`, rank: '1', technology: 'ethernet', label: 'Ethernet', supervision_s: '1800', test_interval_min: '1440', registered: 'yes', installed_on: '2024-01-15' })),
  accounts: () => each((n) => ({ station: 'W-1', station_name: 'Stonepier Watch Room', number: String(7000 + n), site: `S-${n}`, systems: `Y-${n}`, status: 'live' })),
  technicians: () => TECHNICIANS.map(([key, name, email, skills, latitude, longitude]) => ({ key, name, email, latitude, longitude, time_zone: 'Europe/Madrid', shifts: 'Mon-Fri 08:00-16:30 break 30', skills, van_parts: '7 Ah battery=4' })),
  keys: () => [{ site: 'S-4', label: 'Hall door', kind: 'key', needed: 'yes', collect_at: 'Parish office, 11 Weir Street', latitude: '41.858', longitude: '-4.648', collect_hours: 'Mon-Fri 08:00-17:00', hand_min: '5', brought_back: 'yes' }],
  permits: () => [{ site: 'S-11', name: 'Work at height', from_day: '2024-01-15', to_day: '' }],
  'station-list': () => each((n, one) => ({ number: String(7000 + n), name: one.name, address: `${one.address}, ${one.locality}`, status: 'live' })),
  'invoice-list': () => each((n, one) => ({ number: String(7000 + n), name: one.name, address: `${one.address}, ${one.locality}`, status: 'live' })),
};

function each(row: (n: number, one: Place) => Row | Row[]): Row[] {
  return PLACES.flatMap((one, at): Row[] => [row(at + 1, one)].flat() as Row[]);
}

/** The file of one kind of the small invented company; kinds it does without answer their one-row sample. */
export function sampleFleetCsv(kind: ImportKind): string {
  const rows = ROWS[kind]?.();
  if (!rows) return sampleCsv(kind);
  const names = importKind(kind).columns.map((column) => column.name).filter((name) => rows.some((row) => row[name] !== undefined));
  return csvLine(names) + rows.map((row) => csvLine(names.map((name) => row[name] ?? ''))).join('');
}
