import type { Tx } from '../scoped.js';
import { Prisma } from '../generated/client.js';
import { addTimelines, NO_DAY, windowMark } from '../queries/timelines.js';

// Rows with true defaults: a test names only what it is about. Dates are fixed; the zone has daylight saving.
let counter = 0;
/** A fixed-looking UUIDv7, new at each call. */
export function anId(): string {
  counter += 1;
  return `0190b000-0000-7000-8000-${counter.toString(16).padStart(12, '0')}`;
}
export const EPOCH = new Date('2026-01-01T00:00:00Z');
export const day = (text: string): Date => new Date(`${text}T00:00:00Z`);
const WEEK = [1, 2, 3, 4, 5].map((weekday) => ({ weekday, from: '08:00', to: '18:00' }));

type Row<T> = Omit<Partial<T>, 'companyId'>;

export async function aCompany(tx: Tx, id: string, over: Row<Prisma.CompanyUncheckedCreateInput> = {}) {
  return tx.db.company.create({ data: { id, slug: `company-${id.slice(-6)}`, name: 'Quillmere Alarm Care', timeZone: 'Europe/Madrid', createdAt: EPOCH, ...over } });
}
export async function aClient(tx: Tx, companyId: string, over: Row<Prisma.ClientUncheckedCreateInput> = {}) {
  const id = over.id ?? anId();
  return tx.db.client.create({ data: { companyId, externalKey: `C-${id.slice(-6)}`, name: 'Ostrel school board', createdAt: EPOCH, ...over, id } });
}
export async function aSite(tx: Tx, companyId: string, over: Row<Prisma.SiteUncheckedCreateInput> = {}) {
  const id = over.id ?? anId();
  const clientId = over.clientId ?? (await aClient(tx, companyId)).id;
  return tx.db.site.create({ data: { companyId, externalKey: `S-${id.slice(-6)}`, name: 'Ostrel primary school', address: '1 Mill Lane', lat: 40.1, lon: -3.2,
    timeZone: 'Europe/Madrid', occupancy: 'school', accessHours: WEEK, takenOverOn: day('2024-01-15'), createdAt: EPOCH, ...over, id, clientId } });
}
export async function aSystem(tx: Tx, companyId: string, over: Row<Prisma.SystemUncheckedCreateInput> = {}) {
  const id = over.id ?? anId();
  const siteId = over.siteId ?? (await aSite(tx, companyId)).id;
  return tx.db.system.create({ data: { companyId, externalKey: `Y-${id.slice(-6)}`, kind: 'intrusion', name: 'Intrusion', installedOn: day('2024-01-15'), createdAt: EPOCH, ...over, id, siteId } });
}
export async function aDevice(tx: Tx, companyId: string, over: Row<Prisma.DeviceUncheckedCreateInput> & { systemId: string }) {
  const id = over.id ?? anId();
  return tx.db.device.create({ data: { companyId, externalKey: `D-${id.slice(-6)}`, kind: 'motion-detector', link: 'wireless', label: 'Hall motion', installedOn: day('2024-01-15'), createdAt: EPOCH, ...over, id } });
}
export async function aBattery(tx: Tx, companyId: string, over: Row<Prisma.BatteryUncheckedCreateInput> & { systemId: string }) {
  const id = over.id ?? anId();
  return tx.db.battery.create({ data: { companyId, externalKey: `B-${id.slice(-6)}`, label: 'Standby battery', chemistry: 'lead-acid-sealed', ratedMah: 7000, madeOn: day('2023-11-01'), madeOnState: 'known', fittedOn: day('2024-01-15'), createdAt: EPOCH, ...over, id } });
}
export async function aPath(tx: Tx, companyId: string, over: Row<Prisma.PathUncheckedCreateInput> & { systemId: string }) {
  const id = over.id ?? anId();
  return tx.db.path.create({ data: { companyId, externalKey: `P-${id.slice(-6)}`, rank: 1, technology: 'cellular', label: 'Cellular', createdAt: EPOCH, ...over, id } });
}
export async function anAccount(tx: Tx, companyId: string, over: Row<Prisma.AccountUncheckedCreateInput> & { siteId: string }) {
  const id = over.id ?? anId();
  const stationId = over.stationId ?? (await tx.db.station.create({ data: { companyId, id: anId(), externalKey: `W-${id.slice(-6)}`, name: 'Stonepier Watch Room' } })).id;
  return tx.db.account.create({ data: { companyId, number: id.slice(-6), status: 'live', createdAt: EPOCH, ...over, id, stationId } });
}
export async function aTechnician(tx: Tx, companyId: string, over: Row<Prisma.TechnicianUncheckedCreateInput> = {}) {
  const id = over.id ?? anId();
  return tx.db.technician.create({ data: { companyId, externalKey: `T-${id.slice(-6)}`, name: 'Tess', timeZone: 'Europe/Madrid', shifts: WEEK, skills: ['intrusion', 'fire'], homeLat: 40, homeLon: -3, createdAt: EPOCH, ...over, id } });
}
export async function aUser(tx: Tx, companyId: string, over: Row<Prisma.UserUncheckedCreateInput> = {}) {
  const id = over.id ?? anId();
  return tx.db.user.create({ data: { companyId, email: `user-${id.slice(-6)}@quillmere.example`, name: 'Dispatcher', role: 'dispatcher', passwordHash: 'not-a-hash', createdAt: EPOCH, ...over, id } });
}

const numberOf = (text: string): number => day(text).getTime() / 86_400_000;
/** One window that governs a duty (until further notice, or to a last day), as a refresh would keep it. */
export async function aWindow(tx: Tx, window: { dutyId: string; siteId: string; opens: string; due: string; lapses: string; governsFrom: string; governsTo?: string; carried?: string }): Promise<void> {
  await addTimelines(tx, [{ dutyId: window.dutyId, siteId: window.siteId, turnsOn: NO_DAY, digest: '', starts: [numberOf(window.governsFrom)],
    packed: [numberOf(window.opens), numberOf(window.due), numberOf(window.lapses), window.governsTo === undefined ? NO_DAY : numberOf(window.governsTo), NO_DAY, NO_DAY, 0, windowMark(window.carried ?? 'proven', null, false)], checkIds: [], credited: 0, unmet: [], said: null }]);
}
