import { dropNow, type CheckDefinition, type CheckFacts, type Chemistry, type DeviceKind, type MarginPoint, type PathCategory, type PathTechnology, type SystemKind } from '@bellround/acceptance';
import { IMPAIRMENT_TELL_HOURS } from '@bellround/contracts';
import { marginsOfVisit, pastNumbers, type MarginRead, type PastReading } from '@bellround/database';
import { catalogue } from '@bellround/programmes';
import type { Ctx } from './perform.js';
import { dayText, own } from './steps.js';

// What is installed at a site and what is known of it, as judging takes it. Shared by visits and deficiencies; no act.

type Db = Ctx['tx']['db'];
type Row<K extends 'site' | 'system' | 'device' | 'battery' | 'path' | 'account'> = NonNullable<Awaited<ReturnType<Db[K]['findFirst']>>>;

export interface Installed {
  readonly site: Row<'site'>;
  readonly systems: readonly Row<'system'>[];
  readonly devices: readonly Row<'device'>[];
  readonly batteries: readonly Row<'battery'>[];
  readonly paths: readonly Row<'path'>[];
  readonly accounts: readonly Row<'account'>[];
  readonly rules: CompanyRules;
  readonly past: ReadonlyMap<string, readonly PastReading[]>;
  /** by device: how far its radio margin fell from its last visit to this one */
  readonly drops: ReadonlyMap<string, Drop>;
}

/** A margin that this visit read lower than the last one, by whose receiver hears its device; `checkId` is the check that read it. */
export interface Drop { readonly receiver: string; readonly dropDb: number; readonly checkId: string }

/** Company rules that judging uses; each has a default that is marked as such where it is shown. */
export interface CompanyRules {
  readonly standbyAllowance: number;
  readonly signalGraceH: number;
  readonly supplyRatedMv: number | undefined;
  readonly approvedFirmware: Readonly<Record<string, readonly string[]>>;
  readonly backgroundWarnDb: number | undefined;
  readonly deficiencyDueDays: Readonly<Record<string, number>>;
  /** hours within which the authority is told that a fire system is impaired */
  readonly impairmentTellHours: number;
}

export function companyRules(settings: unknown): CompanyRules {
  const given = (settings ?? {}) as Partial<Record<keyof CompanyRules, unknown>>;
  const number = (value: unknown): number | undefined => (typeof value === 'number' && Number.isFinite(value) ? value : undefined);
  return {
    standbyAllowance: number(given.standbyAllowance) ?? 1.25, signalGraceH: number(given.signalGraceH) ?? 1,
    supplyRatedMv: number(given.supplyRatedMv), backgroundWarnDb: number(given.backgroundWarnDb),
    approvedFirmware: (given.approvedFirmware ?? {}) as Record<string, string[]>, deficiencyDueDays: (given.deficiencyDueDays ?? {}) as Record<string, number>,
    impairmentTellHours: number(given.impairmentTellHours) ?? IMPAIRMENT_TELL_HOURS,
  };
}

const numericKeys: readonly string[] = [...new Set(catalogue.flatMap((definition) => definition.readings.filter((reading) => reading.kind === 'number').map((reading) => reading.key)))];

/** No visit has this id. */
const NO_VISIT = '00000000-0000-0000-0000-000000000000';

/** Everything fitted at a site now, with earlier numbers of each subject; `visitId`'s own readings are not earlier ones. Outside a visit all are. */
export async function installedAt(ctx: Ctx, site: Row<'site'>, visitId = NO_VISIT): Promise<Installed> {
  const { db } = ctx.tx;
  const systems = await db.system.findMany({ where: { ...own(ctx), siteId: site.id, retiredOn: null }, orderBy: [{ kind: 'asc' }, { name: 'asc' }] });
  const here = { ...own(ctx), systemId: { in: systems.map((system) => system.id) }, removedOn: null };
  const devices = await db.device.findMany({ where: here, orderBy: [{ room: 'asc' }, { label: 'asc' }] });
  const batteries = await db.battery.findMany({ where: here, orderBy: { label: 'asc' } });
  const paths = await db.path.findMany({ where: here, orderBy: [{ systemId: 'asc' }, { rank: 'asc' }] });
  const accounts = await db.account.findMany({ where: { ...own(ctx), siteId: site.id }, orderBy: { number: 'asc' } });
  const company = await db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { settings: true } });
  const past = await pastNumbers(ctx.tx, [...systems, ...devices, ...batteries, ...paths].map((part) => part.id), visitId, numericKeys);
  const bySubject = new Map<string, PastReading[]>();
  for (const reading of past) bySubject.set(reading.subjectId, [...(bySubject.get(reading.subjectId) ?? []), reading]);
  const installed = { site, systems, devices, batteries, paths, accounts, rules: companyRules(company.settings), past: bySubject };
  return { ...installed, drops: dropsOf(installed, await marginsOfVisit(ctx.tx, visitId)) };
}

/** ACC-31, 32. The drops among margins that a visit has read, each with the receiver that hears its device. */
export function dropsOf(at: Pick<Installed, 'devices' | 'systems' | 'past'>, read: readonly MarginRead[]): Map<string, Drop> {
  return new Map(read.flatMap(({ subjectId, performedOn, levelDbm, noiseDbm, checkId }) => {
    if (!at.devices.some((device) => device.id === subjectId)) return [];
    const step = dropNow(marginHistory(at, subjectId), { on: performedOn, marginDb: levelDbm - noiseDbm });
    return step === null ? [] : [[subjectId, { receiver: receiverOf(at, subjectId).key, dropDb: step.dropDb, checkId }] as const];
  }));
}

/** The receiver that hears a device: its system's only radio module, else whatever of that system receives. */
export function receiverOf(at: Pick<Installed, 'devices' | 'systems'>, deviceId: string): { readonly key: string; readonly name: string; readonly deviceId: string | null } {
  const systemId = at.devices.find((one) => one.id === deviceId)!.systemId;
  const modules = at.devices.filter((one) => one.systemId === systemId && one.kind === 'radio-module');
  return modules.length === 1 ? { key: modules[0]!.id, name: modules[0]!.label, deviceId: modules[0]!.id } : { key: systemId, name: at.systems.find((one) => one.id === systemId)!.name, deviceId: null };
}

export interface Subject { readonly kind: 'site' | 'system' | 'device' | 'path' | 'battery'; readonly id: string; readonly name: string; readonly room: string | null; readonly systemId: string; readonly systemKind: string; readonly deviceKind?: string; readonly link?: string; readonly technology?: string; readonly accountId: string | null }

/** Every subject on which a check can be done here. The site itself stands under its first system. */
export function subjectsOf(at: Installed): Subject[] {
  const of = new Map(at.systems.map((system) => [system.id, system]));
  const under = (systemId: string) => ({ systemId, systemKind: of.get(systemId)!.kind, accountId: of.get(systemId)!.accountId });
  const first = at.systems[0];
  return [
    ...(first ? [{ kind: 'site' as const, id: at.site.id, name: at.site.name, room: null, ...under(first.id) }] : []),
    ...at.systems.map((system) => ({ kind: 'system' as const, id: system.id, name: system.name, room: null, ...under(system.id) })),
    ...at.devices.map((device) => ({ kind: 'device' as const, id: device.id, name: device.label, room: device.room, deviceKind: device.kind, link: device.link, ...under(device.systemId) })),
    ...at.batteries.map((battery) => ({ kind: 'battery' as const, id: battery.id, name: battery.label, room: null, ...under(battery.systemId) })),
    ...at.paths.map((path) => ({ kind: 'path' as const, id: path.id, name: path.label, room: null, technology: path.technology, ...under(path.systemId) })),
  ];
}

/** Whether a check of the catalogue can be done on this subject. */
export function fits(definition: CheckDefinition, subject: Subject): boolean {
  const { appliesTo } = definition;
  const among = (list: readonly string[], value: string | undefined) => list.length === 0 || (value !== undefined && list.includes(value));
  const kinds = subject.systemKind === 'panic' ? ['panic', 'hold-up', 'medical'] : [subject.systemKind];
  if (definition.subject !== subject.kind || !(appliesTo.systems.length === 0 || kinds.some((kind) => (appliesTo.systems as readonly string[]).includes(kind)))) return false;
  if (subject.kind === 'device') return among(appliesTo.devices, subject.deviceKind) && among(appliesTo.links, subject.link);
  return subject.kind !== 'path' || among(appliesTo.paths, subject.technology);
}

const optional = <K extends string, V>(key: K, value: V | null | undefined): { [P in K]?: V } => (value === null || value === undefined ? {} : { [key]: value }) as { [P in K]?: V };
const day = (date: Date | null) => (date === null ? undefined : dayText(date));

/** What is known of one subject, as the judge takes it. The phone gets the same object, so both compute the same verdict. */
export function checkFactsOf(at: Installed, subject: Subject): CheckFacts {
  const system = at.systems.find((one) => one.id === subject.systemId)!;
  return { systemKind: system.kind as SystemKind, ...seriesFact(at, subject.id), ...factsOfKind(at, system, subject) };
}

/** Earlier numbers of the subject by check and reading: the trend of any of them is told while the new one is entered. */
function seriesFact(at: Installed, id: string): Pick<CheckFacts, 'series'> {
  const series: Record<string, { on: string; value: number }[]> = {};
  for (const { checkKind, key, performedOn, number } of at.past.get(id) ?? []) (series[`${checkKind}/${key}`] ??= []).push({ on: performedOn, value: number });
  return Object.keys(series).length === 0 ? {} : { series };
}

function factsOfKind(at: Installed, system: Row<'system'>, subject: Subject): CheckFacts {
  switch (subject.kind) {
    case 'site': return {};
    case 'system': return { ...supplyFact(at, system.id), ...firmwareFact(at, system.controlUnit), ...primaryCategory(at, system.id) };
    case 'battery': return batteryFacts(at, system, subject.id);
    case 'path': return pathFacts(at, subject.id);
    case 'device': return deviceFacts(at, subject.id);
  }
}

/** 2.30 V a cell of 2 V at 25 °C: the float voltage of sealed lead-acid, hence what the supply is rated to hold (SEEN-R, several trade pages). */
const FLOAT_OVER_NOMINAL = 2.3 / 2;

/** What the supply should show: the company's own rule, else the float voltage of the sealed lead-acid battery it charges; else unknown. */
function supplyFact(at: Installed, systemId: string): CheckFacts {
  const battery = at.batteries.find((one) => one.systemId === systemId && one.deviceId === null && one.chemistry === 'lead-acid-sealed' && one.nominalMv !== null);
  const ratedMv = at.rules.supplyRatedMv ?? (battery?.nominalMv ? Math.round(battery.nominalMv * FLOAT_OVER_NOMINAL) : undefined);
  return ratedMv === undefined ? {} : { supply: { ratedMv } };
}

function firmwareFact(at: Installed, controlUnit: string | null): CheckFacts {
  const approved = controlUnit === null ? undefined : at.rules.approvedFirmware[controlUnit];
  return approved ? { firmware: { approved } } : {};
}

function primaryCategory(at: Installed, systemId: string): CheckFacts {
  const category = at.paths.find((path) => path.systemId === systemId && path.category !== null)?.category;
  return isCategory(category) ? { path: { category } } : {};
}

const isCategory = (text: string | null | undefined): text is PathCategory => /^(SP[1-6]|DP[1-4])$/.test(text ?? '');

function batteryFacts(at: Installed, system: Row<'system'>, id: string): CheckFacts {
  const battery = at.batteries.find((one) => one.id === id)!;
  const history = (at.past.get(id) ?? []).filter((reading) => reading.key === 'capacityPct').map((reading) => ({ on: reading.performedOn, capacityPct: reading.number }));
  const { standbyMa, alarmMa, standbyHours, alarmMin } = system;
  const isSystemBattery = battery.deviceId === null;
  return {
    battery: {
      chemistry: battery.chemistry as Chemistry, ...optional('ratedMah', battery.ratedMah), ...(battery.madeOnState === 'known' ? optional('madeOn', day(battery.madeOn)) : {}),
      ...optional('firstSeenOn', day(battery.firstSeenOn)), ...(history.length > 0 ? { history } : {}),
    },
    ...(isSystemBattery && standbyMa !== null && alarmMa !== null && standbyHours !== null && alarmMin !== null
      ? { load: { standbyMa, alarmMa, standbyH: standbyHours, alarmMin, allowance: at.rules.standbyAllowance, source: `loads and hours entered for ${system.name}; allowance ${at.rules.standbyAllowance} (company rule)` } } : {}),
  };
}

function pathFacts(at: Installed, id: string): CheckFacts {
  const path = at.paths.find((one) => one.id === id)!;
  return {
    path: { technology: path.technology as PathTechnology, order: path.rank === 1 ? 'primary' : 'alternate', registered: path.registered, ...(isCategory(path.category) ? { category: path.category } : {}) },
    ...(path.testIntervalMin === null ? {} : { periodic: { intervalH: path.testIntervalMin / 60, graceH: at.rules.signalGraceH } }),
  };
}

function deviceFacts(at: Installed, id: string): CheckFacts {
  const device = at.devices.find((one) => one.id === id)!;
  const past = at.past.get(id) ?? [];
  const history = marginHistory(at, id);
  const hops = past.filter((reading) => reading.key === 'hops').at(-1)?.number;
  return {
    deviceKind: device.kind as DeviceKind,
    age: { ...(device.madeOnState === 'known' ? optional('madeOn', day(device.madeOn)) : {}), ...optional('installedOn', day(device.installedOn)), ...optional('firstSeenOn', day(device.firstSeenOn)) },
    ...(history.length > 0 ? { radio: { history, ...neighbourDrops(at, id) } } : {}),
    sound: { sleeping: at.site.sleepingRisk, ...(at.rules.backgroundWarnDb === undefined ? {} : { warnLevelDb: at.rules.backgroundWarnDb }) },
    ...(device.link === 'mesh' ? { mesh: { devicesInMesh: at.devices.filter((one) => one.systemId === device.systemId && one.link === 'mesh').length, ...(hops === undefined ? {} : { previousHops: hops }) } } : {}),
  };
}

function marginHistory(at: Pick<Installed, 'past'>, id: string): MarginPoint[] {
  const levels = new Map<string, { levelDbm?: number; noiseDbm?: number }>();
  for (const reading of at.past.get(id) ?? []) if (reading.key === 'levelDbm' || reading.key === 'noiseDbm') levels.set(reading.performedOn, { ...levels.get(reading.performedOn), [reading.key]: reading.number });
  return [...levels].flatMap(([on, { levelDbm, noiseDbm }]) => (levelDbm === undefined || noiseDbm === undefined ? [] : [{ on, marginDb: levelDbm - noiseDbm, levelDbm, noiseDbm }]));
}

function neighbourDrops(at: Installed, id: string): { neighbourDropsDb?: number[] } {
  if (at.drops.size === 0) return {};
  const { key } = receiverOf(at, id);
  const others = [...at.drops].filter(([other, drop]) => other !== id && drop.receiver === key).map(([, drop]) => drop.dropDb);
  return others.length === 0 ? {} : { neighbourDropsDb: others };
}

/** Names of subjects by id, for lists that cross sites. */
export async function subjectNames(ctx: Ctx, subjects: readonly { subjectKind: string; subjectId: string }[]): Promise<Map<string, string>> {
  const { db } = ctx.tx;
  const of = (kind: string) => ({ ...own(ctx), id: { in: [...new Set(subjects.filter((one) => one.subjectKind === kind).map((one) => one.subjectId))] } });
  const [sites, systems, devices, batteries, paths] = [
    await db.site.findMany({ where: of('site'), select: { id: true, name: true } }), await db.system.findMany({ where: of('system'), select: { id: true, name: true } }),
    await db.device.findMany({ where: of('device'), select: { id: true, label: true, room: true } }), await db.battery.findMany({ where: of('battery'), select: { id: true, label: true } }),
    await db.path.findMany({ where: of('path'), select: { id: true, label: true } }),
  ];
  return new Map([
    ...sites.map((row) => [row.id, row.name] as const), ...systems.map((row) => [row.id, row.name] as const),
    ...devices.map((row) => [row.id, row.room === null ? row.label : `${row.label}, ${row.room}`] as const),
    ...batteries.map((row) => [row.id, row.label] as const), ...paths.map((row) => [row.id, row.label] as const),
  ]);
}
