// A fleet of any size as CSV files, for benchmarks.
import { createHash } from 'node:crypto';
import { createReadStream, createWriteStream } from 'node:fs';
import { once } from 'node:events';
import { csvLine } from '../../contracts/dist/index.js';

const KINDS = ['contact', 'motion', 'smoke', 'glass-break', 'sounder', 'keypad', 'heat', 'call-point'];

/**
 * The files of a fleet, in the order in which they are kept: per kind its columns, how many rows, and one row of cells by its place. Invented
 * from a counter, so that the same numbers give the same bytes. `prefix` keeps the keys of two fleets in one company apart.
 */
export function fleetFiles(sites, devicesPerSite, prefix = '') {
  const clients = Math.max(1, Math.ceil(sites / 10));
  return {
    clients: { columns: ['key', 'name'], rows: clients, row: (n) => [`${prefix}C-${n}`, `Client ${n}`] },
    sites: { columns: ['key', 'client', 'name', 'address', 'locality', 'latitude', 'longitude', 'time_zone', 'occupancy', 'access_hours', 'taken_over_on'], rows: sites,
      row: (n) => [`${prefix}S-${n}`, `${prefix}C-${n % clients}`, `Site ${n}`, `${1 + (n % 200)} Mill Lane`, 'Ostrel', (40 + ((n * 37) % 9000) / 10000).toFixed(4), (-3.9 + ((n * 91) % 9000) / 10000).toFixed(4), 'Europe/Madrid', 'shop', 'Mon-Fri 08:00-18:00; Sat 09:00-13:00', '2022-01-15'] },
    systems: { columns: ['key', 'site', 'kind', 'name', 'installed_on', 'standby_ma', 'alarm_ma'], rows: sites, row: (n) => [`${prefix}Y-${n}`, `${prefix}S-${n}`, n % 3 === 0 ? 'fire' : 'intrusion', 'Main system', '2022-01-15', '350', '1200'] },
    zones: { columns: ['system', 'number', 'text_ours'], rows: sites * devicesPerSite, row: (n) => [`${prefix}Y-${Math.floor(n / devicesPerSite)}`, String(1 + (n % devicesPerSite)), `Zone ${1 + (n % devicesPerSite)}`] },
    devices: { columns: ['key', 'system', 'zone', 'kind', 'link', 'label', 'room', 'serial', 'made_on', 'installed_on'], rows: sites * devicesPerSite,
      row: (n) => [`${prefix}D-${n}`, `${prefix}Y-${Math.floor(n / devicesPerSite)}`, String(1 + (n % devicesPerSite)), KINDS[n % KINDS.length], n % 2 ? 'wireless' : 'wired', `Device ${1 + (n % devicesPerSite)}`, 'Hall', `SN-${n}`, '2021-11', '2022-01-15'] },
  };
}

/** Writes one of them as CSV. */
export async function writeFile(path, { columns, rows, row }) {
  const out = createWriteStream(path);
  let piece = csvLine(columns);
  for (let n = 0; n < rows; n++) {
    piece += csvLine(row(n));
    if (piece.length > 256 * 1024) { if (!out.write(piece)) await once(out, 'drain'); piece = ''; }
  }
  out.end(piece);
  await once(out, 'finish');
}

/** A file as the import reads it: its bytes, and the digest of those already read. */
export function opened(path) {
  const hash = createHash('sha256');
  async function* bytes() { for await (const part of createReadStream(path)) { hash.update(part); yield part; } }
  return { bytes: bytes(), digest: () => hash.digest('hex') };
}
