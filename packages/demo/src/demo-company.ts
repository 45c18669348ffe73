import { carbonMonoxide, fireCodeOfPractice2025, intrusionMonitored, type Programme } from '@bellround/programmes';
import { addDays, addMonths, localDate } from '@bellround/recurrence';
import { makeFleet, type Day, type DemoClient, type DemoSite, type DemoSystem } from './fleet.js';
import { makeHistory, type DemoHistory } from './history.js';
import { Draw } from './random.js';
import { CREW, TOWNS } from './words.js';

export interface DemoTechnician { id: string; externalKey: string; name: string; email: string; lat: number; lon: number; skills: string[]; pairOnly: boolean; licenceTo: Day | null }
export interface DemoUser { id: string; email: string; name: string; role: 'owner' | 'dispatcher' | 'technician' | 'auditor'; technicianKey: string | null; password: string }
export interface DemoCompany {
  id: string; slug: string; name: string; timeZone: string; stationId: string; stationName: string; programmes: Record<DemoSystem['kind'], Programme>;
  clients: DemoClient[]; sites: DemoSite[]; technicians: DemoTechnician[]; users: DemoUser[]; history: DemoHistory;
  attempts: { id: string; siteId: string; day: Day; minute: number; words: string }[];
  /** account numbers as the station and the invoices list them: some fell off the schedule, some are not paid for */
  stationList: { number: string; name: string }[]; invoiceList: { number: string; name: string }[];
}

export const DEMO_SEED = 20_261_125;
export const DEMO_SIGN_INS = [
  { role: 'owner', email: 'owner@tolverne.example', password: 'owner of the bell' },
  { role: 'dispatcher', email: 'dispatch@tolverne.example', password: 'rounds for the week' },
  { role: 'technician', email: 'wren@tolverne.example', password: 'ladder and meter' },
] as const;

/** The library's programmes as this company keeps them: what occupants do every week, what the station's history tells and replacement by age, left out. */
function houseEdition(programme: Programme, key: string, title: string): Programme {
  return { ...programme, key, title, rules: programme.rules.filter((rule) => rule.by !== 'occupant' && rule.cadence.kind !== 'share' && rule.cadence.kind !== 'age' && !rule.checkKinds.includes('periodic-signal')) };
}

/** Everything of both invented companies as of `today`: the same seed and day give the same bytes. */
export function demoCompanies(seed: number, todayText: string): DemoCompany[] {
  const today = localDate(todayText);
  const draw = new Draw(seed);
  const large = makeCompany(draw, today, { slug: 'tolverne', name: 'Tolverne Alarm Works', count: 240, prefix: '', crew: 7 });
  const small = makeCompany(draw, today, { slug: 'pellhask', name: 'Pell and Hask Alarms', count: 24, prefix: 'H', crew: 2 });
  return [
    { ...large, users: [
      ...DEMO_SIGN_INS.map((one) => ({ id: draw.id(), email: one.email, role: one.role, password: one.password, name: { owner: 'Orla Tolverne', dispatcher: 'Femke Strand', technician: 'Wren Calloway' }[one.role], technicianKey: one.role === 'technician' ? 'T-01' : null })),
      { id: draw.id(), email: 'auditor@tolverne.example', role: 'auditor' as const, password: 'read and compare', name: 'Lysander Brook', technicianKey: null },
      { id: draw.id(), email: 'dov@tolverne.example', role: 'technician' as const, password: 'ladder and meter', name: 'Dov Marsh', technicianKey: 'T-02' },
    ] },
    { ...small, users: [{ id: draw.id(), email: 'owner@pellhask.example', role: 'owner' as const, password: 'owner of the bell', name: 'Agnes Hask', technicianKey: null }] },
  ];
}

function makeCompany(draw: Draw, today: Day, what: { slug: string; name: string; count: number; prefix: string; crew: number }): Omit<DemoCompany, 'users'> {
  const id = draw.id();
  const technicians = CREW.slice(0, what.crew).map((one): DemoTechnician => ({
    id: draw.id(), externalKey: `${what.prefix}${one.key}`, name: what.prefix === '' ? one.name : `${one.name} junior`, email: `${one.key.toLowerCase()}@${what.slug}.example`, lat: TOWNS[one.town]!.lat, lon: TOWNS[one.town]!.lon,
    skills: [...one.skills], pairOnly: one.pairOnly, licenceTo: one.licence === null ? null : addDays(today, one.licence),
  }));
  const programmes = {
    intrusion: houseEdition(intrusionMonitored, 'intrusion-care', 'Intrusion, remotely signalled (house edition)'),
    fire: houseEdition(fireCodeOfPractice2025, 'fire-care', 'Fire detection: service visits and yearly devices (house edition)'),
    co: houseEdition(carbonMonoxide, 'co-care', 'Carbon monoxide detection (house edition)'),
  };
  const { clients, sites } = makeFleet(draw, today, what.count, what.prefix);
  const can = (kind: string) => technicians.filter((one) => !one.pairOnly && one.skills.includes(kind));
  const history: DemoHistory = { visits: [], checks: [], deficiencies: [] };
  for (const site of sites) {
    const of = makeHistory(draw, today, site, programmes, (kind) => draw.pick(can(kind).length > 0 ? can(kind) : technicians).id);
    history.visits.push(...of.visits);
    history.checks.push(...of.checks);
    history.deficiencies.push(...of.deficiencies);
  }
  const listed = sites.map((site) => ({ number: site.accountNumber, name: site.name }));
  const strays = Array.from({ length: Math.ceil(what.count / 40) }, (_, index) => ({ number: String(8800 + index), name: `Former ${draw.pick(TOWNS).name} depot ${index + 1}` }));
  return {
    id, slug: what.slug, name: what.name, timeZone: 'Europe/Madrid', stationId: draw.id(), stationName: 'Lanternfold Watch Room', programmes, clients, sites, technicians, history,
    attempts: sites.filter((site) => site.punctuality === 'left').slice(0, 6).map((site) => ({ id: draw.id(), siteId: site.id, day: addDays(today, -draw.int(4, 40)), minute: draw.int(540, 1000), words: draw.pick(['Nobody answered; card left', 'Tenant asked for another week', 'Gate locked, no keyholder reached']) })),
    stationList: [...listed.slice(2), ...strays], invoiceList: [...listed.filter((_, index) => index % 37 !== 5), ...strays.slice(0, 1), { number: '9901', name: 'Closed kiosk, still invoiced' }],
  };
}

/** First day of the demo's history. */
export function historyBegins(todayText: string): string {
  return addMonths(localDate(todayText), -36);
}
