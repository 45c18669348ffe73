import type { DeviceKind } from '@bellround/acceptance';
import { addDays, addMonths, localDate, type LocalDate } from '@bellround/recurrence';
import type { Draw } from './random.js';
import { OWNERS, PREMISES, ROOMS, STREETS, TOWNS } from './words.js';

export type Day = LocalDate;
export interface DemoDevice { id: string; externalKey: string; systemId: string; kind: DeviceKind; link: 'wired' | 'wireless'; label: string; room: string; serial: string; madeOn: Day | null; installedOn: Day | null; marginAtFitDb: number; lossPerYearDb: number; weak: boolean }
export interface DemoBattery { id: string; externalKey: string; systemId: string; label: string; ratedMah: number; madeOn: Day | null; fittedOn: Day | null; removedOn: Day | null; replacedById: string | null; temperatureC: number; lifeYears: number }
export interface DemoPath { id: string; externalKey: string; systemId: string; rank: number; technology: 'ethernet' | 'cellular'; label: string; category: string | null; supervisionS: number; installedOn: Day | null; dropsOn: Day | null }
export interface DemoSystem { id: string; externalKey: string; siteId: string; kind: 'intrusion' | 'fire' | 'co'; name: string; grade: string | null; installedOn: Day | null; standbyMa: number; alarmMa: number; standbyHours: number; alarmMin: number; devices: DemoDevice[]; batteries: DemoBattery[]; paths: DemoPath[] }
export interface DemoSite { id: string; externalKey: string; clientId: string; name: string; address: string; locality: string; lat: number; lon: number; occupancy: string; sleepingRisk: boolean; accessHours: { weekday: number; from: string; to: string }[]; noiseHours: { weekday: number; from: string; to: string }[] | null; accessNotes: string | null; takenOverOn: Day | null; inherited: boolean; punctuality: 'good' | 'loose' | 'left'; accountId: string; accountNumber: string; contact: { id: string; name: string; email: string | null; phone: string }; systems: DemoSystem[] }
export interface DemoClient { id: string; externalKey: string; name: string; email: string }

const WEEKDAYS = [1, 2, 3, 4, 5];
const hours = (days: number[], from: string, to: string) => days.map((weekday) => ({ weekday, from, to }));

/** Sites of one company with everything fitted at them. `prefix` keeps external keys of two companies apart. */
export function makeFleet(draw: Draw, today: Day, count: number, prefix: string): { clients: DemoClient[]; sites: DemoSite[] } {
  const clients = Array.from({ length: Math.max(3, Math.round(count / 4)) }, (_, index): DemoClient => {
    const name = `${draw.pick(OWNERS)}${index % 3 === 0 ? ' and partners' : ''}`;
    return { id: draw.id(), externalKey: `${prefix}C-${String(index + 1).padStart(4, '0')}`, name, email: `client${index + 1}@${prefix.toLowerCase()}clients.example` };
  });
  const sites = Array.from({ length: count }, (_, index) => makeSite(draw, today, index, prefix, draw.pick(clients).id));
  return { clients, sites };
}

function makeSite(draw: Draw, today: Day, index: number, prefix: string, clientId: string): DemoSite {
  const town = draw.pick(TOWNS);
  const premise = PREMISES[weighted(draw, [26, 18, 22, 9, 6, 5, 7, 7])]!;
  const id = draw.id();
  const street = draw.pick(STREETS);
  const inherited = index % 40 === 39;
  const site: DemoSite = {
    id, externalKey: `${prefix}S-${String(index + 1).padStart(4, '0')}`, clientId, name: `${draw.pick(premise.names)}, ${street}, ${town.name}`, address: `${draw.int(1, 88)} ${street}`, locality: town.name,
    lat: round(town.lat + draw.bell(0, 0.012)), lon: round(town.lon + draw.bell(0, 0.016)), occupancy: premise.kind, sleepingRisk: premise.sleeping,
    accessHours: premise.kind === 'home' ? hours([1, 2, 3, 4, 5, 6], '08:00', '19:00') : premise.kind === 'school' ? hours(WEEKDAYS, '07:30', '17:30') : hours(WEEKDAYS, '08:00', '18:00'),
    noiseHours: premise.kind === 'school' ? hours(WEEKDAYS, '15:00', '17:30') : premise.kind === 'care' ? hours(WEEKDAYS, '10:00', '17:00') : null,
    accessNotes: draw.chance(0.25) ? draw.pick(['Ring at the side door', 'Dog in the yard: call first', 'Sign in at reception', 'Parking behind the building', 'Ladder point at the rear']) : null,
    takenOverOn: inherited ? addDays(today, -draw.int(60, 160)) : addMonths(today, -draw.int(37, 100)), inherited,
    punctuality: draw.chance(0.06) ? 'left' : draw.chance(0.18) ? 'loose' : 'good',
    accountId: draw.id(), accountNumber: String(4100 + index), contact: { id: draw.id(), name: draw.pick(OWNERS), email: draw.chance(0.9) ? `site${index + 1}@${prefix.toLowerCase()}sites.example` : null, phone: `000 ${draw.int(100, 999)} ${draw.int(1000, 9999)}` },
    systems: [],
  };
  const kinds: DemoSystem['kind'][] = ['school', 'care', 'hospitality', 'industrial'].includes(premise.kind) ? ['fire', ...(draw.chance(0.6) ? ['intrusion' as const] : [])] : ['intrusion', ...(draw.chance(0.12) ? ['fire' as const] : [])];
  if (premise.sleeping && draw.chance(0.2)) kinds.push('co');
  site.systems = kinds.map((kind, at) => makeSystem(draw, site, kind, `${prefix}Y-${String(index + 1).padStart(4, '0')}-${at + 1}`));
  return site;
}

function makeSystem(draw: Draw, site: DemoSite, kind: DemoSystem['kind'], externalKey: string): DemoSystem {
  const id = draw.id();
  const installedOn = site.inherited ? null : addDays(site.takenOverOn!, draw.int(0, 20));
  const system: DemoSystem = {
    id, externalKey, siteId: site.id, kind, name: { intrusion: 'Intrusion system', fire: 'Fire detection system', co: 'Carbon monoxide detection' }[kind], grade: kind === 'intrusion' ? draw.pick(['2', '2', '3']) : null, installedOn,
    standbyMa: draw.int(70, 220), alarmMa: draw.int(500, 1100), standbyHours: kind === 'fire' ? 24 : 12, alarmMin: kind === 'fire' ? 30 : 15, devices: [], batteries: [], paths: [],
  };
  const plan: [DeviceKind, number][] = kind === 'intrusion' ? [['contact', draw.int(1, 3)], ['motion', draw.int(1, 4)], ['glass-break', draw.chance(0.25) ? 1 : 0], ['hold-up', draw.chance(0.2) ? 1 : 0], ['sounder', 1], ['keypad', 1]]
    : kind === 'fire' ? [['smoke', draw.int(2, 6)], ['heat', draw.int(0, 2)], ['call-point', draw.int(1, 3)], ['sounder', draw.int(1, 2)]] : [['co', draw.int(1, 2)]];
  let n = 0;
  for (const [device, many] of plan) for (let i = 0; i < many; i++) system.devices.push(makeDevice(draw, system, device, ++n));
  // two of a kind in one room are told apart, as on any installer's list
  const named = new Map<string, number>();
  for (const device of system.devices) {
    const many = (named.get(device.label) ?? 0) + 1;
    named.set(device.label, many);
    if (many > 1) device.label = `${device.label} ${many}`;
  }
  system.batteries.push(makeBattery(draw, system, installedOn, 1, site.inherited && draw.chance(0.6)));
  system.paths.push(makePath(draw, system, 1));
  if (kind !== 'co' && draw.chance(0.55)) system.paths.push(makePath(draw, system, 2));
  return system;
}

function makeDevice(draw: Draw, system: DemoSystem, kind: DeviceKind, n: number): DemoDevice {
  const room = draw.pick(ROOMS);
  const weak = draw.chance(0.05);
  const words: Partial<Record<DeviceKind, string>> = { contact: 'door contact', motion: 'motion detector', 'glass-break': 'glass-break detector', 'hold-up': 'hold-up button', sounder: 'sounder', keypad: 'keypad', smoke: 'smoke detector', heat: 'heat detector', 'call-point': 'call point', co: 'carbon monoxide detector' };
  const wireless = system.kind !== 'fire' && kind !== 'keypad' && draw.chance(0.6);
  return {
    id: draw.id(), externalKey: `${system.externalKey}-D${n}`, systemId: system.id, kind, link: wireless ? 'wireless' : 'wired', label: `${room} ${words[kind] ?? kind}`, room, serial: `${draw.int(100000, 999999)}`,
    madeOn: system.installedOn ? addMonths(system.installedOn, -draw.int(1, 8)) : null, installedOn: system.installedOn, marginAtFitDb: Math.round(draw.bell(weak ? 15 : 27, 3)), lossPerYearDb: weak ? draw.between(1.5, 3) : draw.between(0, 0.6), weak,
  };
}

/** A sealed lead-acid battery whose true life is drawn; undated ones exist, as in every cellar. */
export function makeBattery(draw: Draw, system: DemoSystem, fittedOn: Day | null, n: number, undated = false): DemoBattery {
  const need = 1.25 * ((system.standbyMa * system.standbyHours) + (system.alarmMa * system.alarmMin) / 60);
  const ratedMah = [7000, 12000, 17000, 24000].find((rated) => rated > need * 1.35) ?? 24000;
  return {
    id: draw.id(), externalKey: `${system.externalKey}-B${n}`, systemId: system.id, label: 'Standby battery', ratedMah, madeOn: undated || fittedOn === null ? null : addMonths(fittedOn, -draw.int(1, 7)),
    fittedOn, removedOn: null, replacedById: null, temperatureC: Math.round(draw.bell(24, 3)), lifeYears: Math.max(2.2, draw.bell(5.2, 1)),
  };
}

function makePath(draw: Draw, system: DemoSystem, rank: number): DemoPath {
  const technology = rank === 1 ? draw.pick(['ethernet', 'cellular', 'ethernet'] as const) : 'cellular';
  return {
    id: draw.id(), externalKey: `${system.externalKey}-P${rank}`, systemId: system.id, rank, technology, label: technology === 'ethernet' ? 'Ethernet' : 'Cellular', category: rank === 1 ? draw.pick(['SP3', 'SP4', null]) : null,
    supervisionS: rank === 1 ? draw.pick([180, 1800]) : 90_000, installedOn: system.installedOn, dropsOn: draw.chance(0.025) ? localDate('0001-01-01') : null,
  };
}

function weighted(draw: Draw, weights: number[]): number {
  let left = draw.next() * weights.reduce((sum, weight) => sum + weight, 0);
  return Math.max(0, weights.findIndex((weight) => (left -= weight) < 0));
}

const round = (value: number) => Math.round(value * 100_000) / 100_000;
