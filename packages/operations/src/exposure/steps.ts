import type { BatteryForecastView, VersionReportView } from '@bellround/contracts';
import { cellularClass, dbmOfCsq, lteClass, theilSen, wifiClass } from '@bellround/acceptance';
import { siteComponents, sitesWithoutSystem, standbyBatteries, writeExposure, type ComponentRow, type LookedAtRow, type PartKinds, type RadioReading, type StandbyBatteryRow } from '@bellround/database';
import { dayNumber, fromDayNumber, localDate } from '@bellround/recurrence';
import { batteryForecast, checksRevealing, coverageOf, failureChance, fitModel, scoreSite, visitGain, type BackTestCase, type BatteryLife, type ClassHistory, type ComponentClass, type ComponentHistory, type ComponentInput, type DataWindow, type RiskModel, type SiteInput, type SiteScore, type SystemInput } from '@bellround/risk';
import type { Ctx } from '../perform.js';
import { localDayOf, own } from '../steps.js';

const HOURS_PER_DAY = 24;
const DAYS_PER_YEAR = 365.25;
/** Sites read at once. */
export const BATCH = 500;

const LIFE_SAFETY = new Set(['smoke', 'heat', 'duct-smoke', 'co', 'call-point', 'waterflow', 'valve-supervisory', 'gas']);
const DETECTORS = new Set(['contact', 'motion', 'beam', 'vibration', 'glass-break', 'hold-up', 'medical', 'duress', 'flood', 'temperature', 'sound-level', 'key-switch', ...LIFE_SAFETY]);
const SOUNDERS = new Set(['sounder', 'visual-alarm']);

const number = (day: string | null): number | null => (day === null ? null : dayNumber(localDate(day)));

/** Class and role of a component, or null where its failure does not stop an alarm (keypads, cameras, plugs). */
function placeOf(row: ComponentRow): { class: ComponentClass; role: ComponentInput['role'] } | null {
  switch (row.part) {
    case 'supply': return { class: 'supply', role: 'power' };
    case 'battery': return { class: 'battery', role: 'power' };
    case 'control-unit': return { class: 'control-unit', role: 'control-unit' };
    case 'path': return { class: `path-${row.kind}` as ComponentClass, role: 'path' };
    case 'device':
      if (row.link === 'mesh') return null; // no alarm travels over the home-automation mesh
      if (SOUNDERS.has(row.kind)) return { class: 'sounder', role: 'sounder' };
      if (!DETECTORS.has(row.kind)) return null;
      return { class: LIFE_SAFETY.has(row.kind) ? 'detector-life-safety' : row.link === 'wireless' ? 'detector-wireless' : 'detector-wired', role: 'detection' };
  }
}

/** Checks by which the parts without rows of their own are known. */
export const PART_KINDS: PartKinds = { supply: checksRevealing('supply'), controlUnit: checksRevealing('control-unit') };

/** The check a class is usually proven by, where nothing says which were done. Company rule. */
const USUAL: Readonly<Record<ComponentInput['role'], readonly string[]>> = { power: ['supply-voltage', 'battery-on-load'], detection: ['detector-actuation'], 'control-unit': ['set-unset', 'indicators-keys', 'event-log-review'], path: ['transmission-path', 'path-changeover'], sounder: ['sounder-level'] };

/** dB of margin at the lower end of a class (20 good, 10 the least: common practice, from memory); for paths by level class (company rule). */
const CLASS_MARGIN: Readonly<Record<string, number>> = { strong: 20, marginal: 10, none: 0, usable: 15, weak: 5 };

/** Link margin of one reading: measured, or the lower end of the class that was told. */
function marginOf(row: ComponentRow, reading: RadioReading): number | null {
  if (reading.marginDb !== null) return reading.marginDb;
  if (reading.linkClass !== null) return CLASS_MARGIN[reading.linkClass] ?? null;
  if (row.part !== 'path' || reading.level === null) return null;
  const dbm = reading.levelKind === 'csq' ? (reading.level >= 0 && reading.level <= 31 && Number.isInteger(reading.level) ? dbmOfCsq(reading.level) : null) : reading.level;
  if (dbm === null) return null;
  return CLASS_MARGIN[reading.levelKind === 'rsrp' ? lteClass(dbm) : row.kind === 'wifi' ? wifiClass(dbm) : cellularClass(dbm)] ?? null;
}

// A slope needs three visits; two say as much of the weather as of the link.
const LEAST_FOR_TREND = 3;

/** Newest margin, and dB lost per year by a robust line over the measured ones (Theil-Sen). */
function radioOf(row: ComponentRow): { marginDb: number | null; marginTrendDbPerYear: number | null } {
  const readings = row.radio ?? [];
  const margins = readings.map((one) => marginOf(row, one)).filter((one) => one !== null);
  const measured = readings.filter((one) => one.marginDb !== null).map((one) => ({ x: dayNumber(localDate(one.day)) / DAYS_PER_YEAR, y: one.marginDb! }));
  const slope = measured.length < LEAST_FOR_TREND ? null : (theilSen(measured)?.slope ?? null);
  return { marginDb: margins.at(-1) ?? null, marginTrendDbPerYear: slope === null ? null : -slope };
}

/** What moves the rate of a component besides its failures. */
function factorsOf(row: ComponentRow) {
  return { ...radioOf(row), marginalCount: row.marginals, harsh: row.environment === null ? null : row.environment === 'harsh', cohort: row.installed_on === null ? null : Number(row.installed_on.slice(0, 4)) };
}

/** Looks at the subject itself; a check that reveals nothing of its class is no proof. */
function looksOf(row: ComponentRow, cls: ComponentClass): { check: string; day: number }[] {
  const telling = checksRevealing(cls);
  return (row.looks ?? []).filter((one) => telling.includes(one.check)).map((one) => ({ check: one.check, day: dayNumber(localDate(one.day)) }));
}

/** Life-safety detectors are proven by smoke, heat, gas or hand, each kind by its own. */
function usualChecks(cls: ComponentClass, role: ComponentInput['role']): readonly string[] {
  return cls === 'detector-life-safety' ? ['smoke-functional'] : cls === 'mesh-device' ? ['mesh-delivery', 'mesh-hops'] : USUAL[role];
}

function componentOf(row: ComponentRow, today: number): ComponentInput | null {
  const place = placeOf(row);
  if (!place || !inService(row, today)) return null;
  const installed = number(row.installed_on);
  const since = recordedFrom(row);
  const age = number(row.made_on) ?? installed;
  const looks = looksOf(row, place.class);
  return {
    id: row.part === 'supply' || row.part === 'control-unit' ? `${row.id}:${row.part}` : row.id, ...place, label: row.label,
    verdicts: row.look_days, installedDay: installed, lastProofDay: looks.length === 0 ? null : Math.max(...looks.map((one) => one.day)), failures: row.failures,
    hoursInService: since === null ? 0 : Math.max(0, today - since) * HOURS_PER_DAY,
    ageYears: row.part !== 'battery' || age === null ? null : Math.max(0, today - age) / DAYS_PER_YEAR,
    temperatureC: row.temperature_c, ...factorsOf(row),
    selfReported: row.part === 'path' || row.part === 'supply' || row.link === 'wireless', supervisionH: row.supervision_s === null ? null : row.supervision_s / 3600,
    coverage: coverageOf(place.class, [...looks.map((one) => one.check), ...usualChecks(place.class, place.role)]), looks, protects: row.room, down: row.down,
  };
}

/** Interval before a first look where a second one does not tell it, and the longest that is believed (company rules). */
const USUAL_INTERVAL_DAYS = 182;
const MOST_INTERVAL_DAYS = 365;

/**
 * Day from which a component's service is on record; null: no date. What was installed before its site's records begin may have failed and
 * been mended before without a trace: of that time one interval between its looks counts, which the first look covers.
 */
function recordedFrom(row: ComponentRow): number | null {
  const [installed, seen, site] = [number(row.installed_on), number(row.first_seen), number(row.site_first_seen)];
  if (seen === null || installed === null) return installed ?? seen;
  if (site !== null && installed >= site) return installed;
  const interval = row.look_days < 2 ? USUAL_INTERVAL_DAYS : Math.min(MOST_INTERVAL_DAYS, (number(row.last_seen)! - seen) / (row.look_days - 1));
  return Math.max(installed, Math.round(seen - interval));
}

/** Fitted and not yet removed on that day. */
function inService(row: ComponentRow, day: number): boolean {
  const [installed, removed] = [number(row.installed_on), number(row.removed_on)];
  return (installed === null || installed <= day) && (removed === null || removed > day);
}

export interface SiteToScore { input: SiteInput; nextProofDay: number; labels: Map<string, string> }

/** With proofs overdue and none planned, this many days are counted to the next (company rule). */
const UNPLANNED_DAYS = 28;

/** The day of the next planned proof: the next visit or due day; overdue and unplanned, in four weeks; nothing owed at all, in a year. */
function nextProofOf(row: ComponentRow, today: number): number {
  const planned = [number(row.next_visit), number(row.next_due)].filter((day) => day !== null);
  const day = planned.length > 0 ? Math.min(...planned) : today + (row.overdue ? UNPLANNED_DAYS : 365);
  return Math.max(today + 1, day);
}

/** Groups component rows (in site order) into what scoring takes; a system of which nothing is in service any more is left out. */
export function sitesOf(rows: readonly ComponentRow[], today: number): SiteToScore[] {
  const sites = new Map<string, ComponentRow[]>();
  for (const row of rows) {
    const site = sites.get(row.site_id);
    if (site === undefined) sites.set(row.site_id, [row]);
    else site.push(row);
  }
  return [...sites].map(([siteId, siteRows]) => {
    const systems = [...new Set(siteRows.map((row) => row.system_id))].flatMap((systemId): SystemInput[] => {
      const own = siteRows.filter((row) => row.system_id === systemId);
      if (own.filter((row) => row.part === 'control-unit').every((row) => row.removed_on !== null && number(row.removed_on)! <= today)) return [];
      const heard = own.map((row) => number(row.last_heard)).filter((day) => day !== null);
      return [{ systemId, kind: own[0]!.system_kind, lifeSafety: own[0]!.life_safety, lastHeardDay: heard.length > 0 ? Math.max(...heard) : null, components: own.map((row) => componentOf(row, today)).filter((one) => one !== null) }];
    });
    return {
      input: { siteId, lifeSafety: siteRows.some((row) => row.life_safety), weight: 1, systems }, nextProofDay: nextProofOf(siteRows[0]!, today),
      labels: new Map(systems.flatMap((system) => system.components.map((one) => [one.id, one.label]))),
    };
  });
}

/** The given sites ready to be scored, those without a system in service too: nothing recorded is no reason to fall off the list. */
export async function sitesToScore(ctx: Ctx, siteIds: readonly string[], today: string): Promise<SiteToScore[]> {
  const day = dayNumber(localDate(today));
  const found = sitesOf(await siteComponents(ctx.tx, siteIds, today, PART_KINDS), day).filter((site) => site.input.systems.length > 0);
  const bare = (await sitesWithoutSystem(ctx.tx, siteIds)).map(({ id, life_safety }): SiteToScore => ({ input: { siteId: id, lifeSafety: life_safety, weight: 1, systems: [] }, nextProofDay: day + 365, labels: new Map() }));
  return [...found, ...bare];
}

export async function todayOf(ctx: Ctx): Promise<string> {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  return localDayOf(ctx.now, company.timeZone);
}

/** The company's promoted model; before any fit, the published rules alone. */
export async function promotedModel(ctx: Ctx): Promise<{ id: string | null; model: RiskModel }> {
  const row = await ctx.tx.db.riskModelVersion.findFirst({ where: { ...own(ctx), promoted: true }, orderBy: { fittedAt: 'desc' } });
  return row ? { id: row.id, model: row.model as unknown as RiskModel } : { id: null, model: fitModel([]) };
}

/** What is kept of a score for lists: few words and the chain; curve and shares are computed again where they are shown. */
export function detailOf(score: SiteScore, labels: ReadonlyMap<string, string>): object {
  const causes = new Map<string, number>();
  for (const one of score.shares) {
    const cause = labels.has(one.componentId) ? one.cause : 'missing-record';
    causes.set(cause, (causes.get(cause) ?? 0) + one.share);
  }
  const mainCause = [...causes].sort((a, b) => b[1] - a[1])[0]?.[0] ?? null;
  return { reasons: score.reasons.slice(0, 3), missing: score.missing.slice(0, 5), missingCount: score.missing.length, perYearH: score.exposurePerYearH, mainCause, mainShare: mainCause === null ? 0 : causes.get(mainCause), links: score.links, top: score.shares.slice(0, 5).map((share) => ({ ...share, label: labels.get(share.componentId) ?? share.class })) };
}

/** Scores sites and writes them; returns how many. */
export async function scoreAndWrite(ctx: Ctx, siteIds: readonly string[], modelId: string, model: RiskModel, today: string): Promise<number> {
  const day = dayNumber(localDate(today));
  const sites = await sitesToScore(ctx, siteIds, today);
  await writeExposure(ctx.tx, sites.map(({ input, nextProofDay, labels }) => {
    const score = scoreSite(model, input, { today: day, nextProofDay }, { gaps: false, curveDays: [] });
    return { siteId: input.siteId, modelId, scoredOn: today, exposureH: score.exposureH, exposurePerYearH: score.weightedPerYearH, score: score.score, detail: detailOf(score, labels), visitGain: visitGain(model, input, { today: day, nextProofDay }) };
  }));
  return sites.length;
}

/** History of some sites by class, as known on `day`: a component without any date tells nothing of how long it served. */
export function historyOf(rows: readonly ComponentRow[], day: number): ClassHistory[] {
  const classes = new Map<ComponentClass, { failures: number; hoursInService: number; perComponent: ComponentHistory[]; lives: BatteryLife[]; agesYears: number[] }>();
  for (const row of rows) {
    const place = placeOf(row);
    const begin = recordedFrom(row);
    if (!place || begin === null || begin >= day) continue;
    const known = classes.get(place.class) ?? { failures: 0, hoursInService: 0, perComponent: [], lives: [], agesYears: [] };
    const hours = Math.max(0, Math.min(day, number(row.removed_on) ?? day) - begin) * HOURS_PER_DAY;
    if (hours > 0) {
      known.failures += row.failures;
      known.hoursInService += hours;
      known.perComponent.push({ failures: row.failures, verdicts: row.look_days, hoursInService: hours, ...factorsOf(row) });
    }
    if (row.part === 'battery') {
      known.lives.push(...lifeOf(row, day));
      const made = number(row.made_on) ?? number(row.installed_on);
      if (made !== null && inService(row, day)) known.agesYears.push(Math.max(0, day - made) / DAYS_PER_YEAR);
    }
    classes.set(place.class, known);
  }
  return [...classes].map(([cls, one]) => ({ class: cls, failures: one.failures, hoursInService: one.hoursInService, perComponent: one.perComponent, ...(cls === 'battery' ? { lives: one.lives, agesYears: one.agesYears } : {}) }));
}

/**
 * Back-test cases: components that stood in service on `from` and were looked at after it, up to `to`. One whose last check before had failed
 * is waiting for repair and no prediction; one removed in between without failing is not known to the end.
 */
export function casesOf(rows: readonly ComponentRow[], looks: readonly LookedAtRow[], from: number, to: number): BackTestCase[] {
  const seen = new Map(looks.map((look) => [`${look.id} ${look.part}`, look]));
  const siteLast = new Map<string, number>();
  for (const look of looks) siteLast.set(look.site_id, Math.max(siteLast.get(look.site_id) ?? 0, number(look.last_seen)!));
  return rows.flatMap((row): BackTestCase[] => {
    const component = componentOf(row, from);
    const look = seen.get(`${row.id} ${row.part === 'supply' || row.part === 'control-unit' ? row.part : 'own'}`);
    if (!component || !look) return [];
    const waiting = row.last_bad !== null && (row.last_good === null || row.last_good < row.last_bad);
    const removed = number(row.removed_on);
    const gone = removed !== null && removed <= to;
    if (waiting || (gone && !look.failed)) return [];
    const fromDay = number(row.last_good) ?? from;
    const back = from - fromDay;
    const asKnown: ComponentInput = { ...component, hoursInService: Math.max(0, component.hoursInService - back * HOURS_PER_DAY), ageYears: component.ageYears === null ? null : Math.max(0, component.ageYears - back / DAYS_PER_YEAR), down: false };
    return [{ component: asKnown, fromDay, untilDay: Math.max(fromDay + 1, gone ? siteLast.get(row.site_id)! : number(look.last_seen)!), happened: look.failed, lastWasBad: row.last_seen === null ? null : row.last_bad !== null && number(row.last_bad)! > from - (to - from) }];
  });
}

/** What a fit and its back-test are made from, of some sites; `joined` puts batches together. */
export interface RiskRecords {
  window: DataWindow | null;
  held: DataWindow | null;
  history: ClassHistory[];
  before: ClassHistory[];
  cases: BackTestCase[];
  learn: BackTestCase[];
}

/** A year is held back when there are two; of less, the later half, and of half a year nothing. */
const HELD_DAYS = 365;
const LEAST_HELD_DAYS = 90;

/** First day of the held-back interval and of the one before it, as day numbers; null when history is too short. */
export function heldBackOf(first: number | null, today: number): { from: number; earlier: number } | null {
  const days = Math.min(HELD_DAYS, first === null ? 0 : Math.floor((today - first) / 2));
  return days < LEAST_HELD_DAYS ? null : { from: today - days, earlier: today - 2 * days };
}

/** Sites whose components are cases: all of a small fleet, of a large one about so many, always the same ones. */
const SITES_JUDGED = 20_000;

export function sampledOf(siteIds: readonly string[], sites: number): string[] {
  const every = Math.max(1, Math.ceil(sites / SITES_JUDGED));
  return siteIds.filter((id) => Number.parseInt(id.slice(-6), 16) % every === 0);
}

/** The report as it crosses a door: without the twin, whose numbers are the version's own. Null for versions made before reports were kept. */
export function reportView(report: unknown): VersionReportView | null {
  const known = report as (Omit<Partial<VersionReportView>, 'ours'> & { ours?: VersionReportView['ours'] }) | null;
  if (typeof known?.promote !== 'boolean') return null;
  return { heldBack: known.heldBack ?? null, cases: known.cases ?? 0, happened: known.happened ?? 0, ours: known.ours ?? null, byClass: known.byClass ?? [], rules: known.rules ?? [], present: known.present ?? null, promote: known.promote, why: known.why ?? '' };
}

/** The coming months whose batteries are ordered together: a quarter. Company rule. */
const ORDER_MONTHS = 3;
const MOST_BATTERIES = 200;

/** Batteries in service, what their ages say of the coming months, and what to order now: failed ones and the coming quarter's upper count. */
export async function forecastBatteries(ctx: Ctx, months: number): Promise<BatteryForecastView> {
  const today = await todayOf(ctx);
  const day = dayNumber(localDate(today));
  const { model } = await promotedModel(ctx);
  const rows = (await standbyBatteries(ctx.tx, today)).map((row) => ({ row, component: forecastComponent(row, day) }));
  const sound = rows.filter(({ row }) => !row.failed_now).map(({ row, component }) => ({ component, ratedMah: row.rated_mah }));
  const lines = batteryForecast(model, sound, day, Math.max(months, ORDER_MONTHS));
  const ratings = [...new Set(rows.map(({ row }) => row.rated_mah))].sort((a, b) => (a ?? Infinity) - (b ?? Infinity)).map((ratedMah) => {
    const own = lines.filter((line) => line.ratedMah === ratedMah);
    const of = rows.filter(({ row }) => row.rated_mah === ratedMah);
    const failedNow = of.filter(({ row }) => row.failed_now).length;
    const expectedOf = (month: number) => own[month]?.expected ?? 0;
    return { ratedMah, inService: of.length, failedNow, expected: Array.from({ length: months }, (_, month) => expectedOf(month)), upper: Array.from({ length: months }, (_, month) => own[month]?.upper ?? 0), orderNow: failedNow + orderOf(own.slice(0, ORDER_MONTHS)) };
  });
  const until = day + (DAYS_PER_YEAR / 12) * months;
  const batteries = rows.map(({ row, component }) => ({ siteId: row.site_id, siteName: row.site_name, label: row.label, ratedMah: row.rated_mah, madeOn: row.made_on, temperatureC: row.temperature_c, failedNow: row.failed_now, chance: row.failed_now ? 1 : failureChance(model, component, day, until) }));
  batteries.sort((a, b) => Number(b.failedNow) - Number(a.failedNow) || b.chance - a.chance || a.siteName.localeCompare(b.siteName));
  return { from: today, months: Array.from({ length: months }, (_, month) => fromDayNumber(Math.round(day + (DAYS_PER_YEAR / 12) * month))), inService: rows.length, undated: rows.filter(({ row }) => row.made_on === null).length, modelVersion: model.version, ratings, batteries: batteries.slice(0, MOST_BATTERIES) };
}

// Nine quarters of ten stay within: the same normal bound as a month's, over the sum.
function orderOf(lines: readonly { expected: number }[]): number {
  const expected = lines.reduce((sum, line) => sum + line.expected, 0);
  return Math.ceil(expected + 1.2816 * Math.sqrt(expected));
}

function forecastComponent(row: StandbyBatteryRow, today: number): ComponentInput {
  const [made, installed] = [number(row.made_on), number(row.installed_on)];
  const since = installed ?? made;
  return {
    id: row.id, class: 'battery', role: 'power', label: row.label, installedDay: null, lastProofDay: today, failures: row.failures, hoursInService: since === null ? 0 : Math.max(0, today - since) * HOURS_PER_DAY,
    ageYears: made === null ? null : Math.max(0, today - made) / DAYS_PER_YEAR, temperatureC: row.temperature_c, marginDb: null, marginalCount: row.marginals, selfReported: false, supervisionH: null, coverage: null, protects: null,
  };
}

/** The judged twin kept in a version's report; null when it was not judged. */
export function twinOf(report: unknown): RiskModel | null {
  return (report as { twin?: RiskModel | null } | null)?.twin ?? null;
}

function lifeOf(row: ComponentRow, today: number): BatteryLife[] {
  const made = number(row.made_on) ?? number(row.installed_on);
  if (made === null) return []; // an undated battery tells nothing of how batteries age
  const years = (day: number) => Math.max(0, day - made) / DAYS_PER_YEAR;
  const end = Math.min(today, number(row.first_bad) ?? number(row.removed_on) ?? today);
  const begin = years(Math.max(made, recordedFrom(row) ?? made));
  const end_ = years(end);
  if (end_ <= begin) return [];
  const good = number(row.good_before_bad);
  return [{ fromAgeYears: begin, toAgeYears: end_, temperatureC: row.temperature_c, failed: row.first_bad !== null, lastGoodAgeYears: row.first_bad !== null && good !== null ? Math.max(begin, years(good)) : null }];
}
