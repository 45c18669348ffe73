import { openSitesAfter, siteComponents, writeExposure, type ComponentRow } from '@bellround/database';
import { dayNumber, localDate } from '@bellround/recurrence';
import { fitModel, scoreSite, type ClassHistory, type ComponentClass, type ComponentInput, type RiskModel, type SiteInput, type SiteScore, type SystemInput } from '@bellround/risk';
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

/** Shares of silent faults that the usual check reveals (company rule; issue and clause none: calibrate with your own history). */
const COVERAGE: Readonly<Record<ComponentInput['role'], number>> = { power: 0.9, detection: 0.95, 'control-unit': 0.85, path: 0.95, sounder: 0.95 };

function componentOf(row: ComponentRow, today: number): ComponentInput | null {
  const place = placeOf(row);
  if (!place || row.removed_on !== null) return null;
  const installed = number(row.installed_on);
  const since = installed ?? number(row.first_seen);
  const age = number(row.made_on) ?? installed;
  const reported = row.part === 'path' || row.part === 'supply' || row.link === 'wireless';
  return {
    id: row.part === 'supply' || row.part === 'control-unit' ? `${row.id}:${row.part}` : row.id, ...place, label: row.label,
    installedDay: installed, lastProofDay: number(row.last_good), failures: row.failures,
    hoursInService: since === null ? 0 : Math.max(0, today - since) * HOURS_PER_DAY,
    ageYears: row.part !== 'battery' || age === null ? null : Math.max(0, today - age) / DAYS_PER_YEAR,
    temperatureC: row.temperature_c, marginDb: row.margin_db, marginalCount: row.marginals,
    selfReported: reported, supervisionH: row.supervision_s === null ? null : row.supervision_s / 3600,
    coverage: COVERAGE[place.role], protects: row.room, down: row.down,
  };
}

export interface SiteToScore { input: SiteInput; nextProofDay: number; labels: Map<string, string> }

/** Groups component rows (in site order) into what scoring takes. A site without any due date is looked at over a year. */
export function sitesOf(rows: readonly ComponentRow[], today: number): SiteToScore[] {
  const sites = new Map<string, { rows: ComponentRow[] }>();
  for (const row of rows) {
    const site = sites.get(row.site_id) ?? { rows: [] };
    site.rows.push(row);
    sites.set(row.site_id, site);
  }
  return [...sites].map(([siteId, site]) => {
    const systems = [...new Set(site.rows.map((row) => row.system_id))].map((systemId): SystemInput => {
      const own = site.rows.filter((row) => row.system_id === systemId);
      const heard = own.map((row) => number(row.last_heard)).filter((day) => day !== null);
      return { systemId, kind: own[0]!.system_kind, lifeSafety: own[0]!.life_safety, lastHeardDay: heard.length > 0 ? Math.max(...heard) : null, components: own.map((row) => componentOf(row, today)).filter((one) => one !== null) };
    });
    const due = number(site.rows[0]!.next_due);
    return {
      input: { siteId, lifeSafety: site.rows.some((row) => row.life_safety), weight: 1, systems }, nextProofDay: Math.max(today + 1, due ?? today + 365),
      labels: new Map(systems.flatMap((system) => system.components.map((one) => [one.id, one.label]))),
    };
  });
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
  return { reasons: score.reasons.slice(0, 3), missing: score.missing.slice(0, 5), links: score.links, top: score.shares.slice(0, 5).map((share) => ({ ...share, label: labels.get(share.componentId) ?? share.class })) };
}

/** Scores sites and writes them; returns how many. */
export async function scoreAndWrite(ctx: Ctx, siteIds: readonly string[], modelId: string, model: RiskModel, today: string): Promise<number> {
  const day = dayNumber(localDate(today));
  const sites = sitesOf(await siteComponents(ctx.tx, siteIds, today), day);
  await writeExposure(ctx.tx, sites.map(({ input, nextProofDay, labels }) => {
    const score = scoreSite(model, input, { today: day, nextProofDay }, { gaps: false, curveDays: [] });
    return { siteId: input.siteId, modelId, scoredOn: today, exposureH: score.exposureH, exposurePerYearH: score.weightedPerYearH, score: score.score, detail: detailOf(score, labels) };
  }));
  return sites.length;
}

/** The company's history by class, gathered batch by batch so that memory does not grow with the fleet's devices. */
export async function gatherHistory(ctx: Ctx, today: string): Promise<{ history: ClassHistory[]; from: string | null }> {
  const day = dayNumber(localDate(today));
  const classes = new Map<ComponentClass, { failures: number; hoursInService: number; perComponent: { failures: number; hoursInService: number; marginDb: number | null; marginalCount: number }[]; lives: { fromAgeYears: number; toAgeYears: number; temperatureC: number | null; failed: boolean; lastGoodAgeYears: number | null }[] }>();
  let from: string | null = null;
  for (let after: string | null = null; ;) {
    const ids: string[] = await openSitesAfter(ctx.tx, after, BATCH);
    for (const row of ids.length > 0 ? await siteComponents(ctx.tx, ids, today) : []) {
      const place = placeOf(row);
      const begin = number(row.installed_on) ?? number(row.first_seen);
      if (!place || begin === null) continue;
      if (row.first_seen !== null && (from === null || row.first_seen < from)) from = row.first_seen;
      const known = classes.get(place.class) ?? { failures: 0, hoursInService: 0, perComponent: [], lives: [] };
      const hours = Math.max(0, (number(row.removed_on) ?? day) - begin) * HOURS_PER_DAY;
      known.failures += row.failures;
      known.hoursInService += hours;
      if (hours > 0) known.perComponent.push({ failures: row.failures, hoursInService: hours, marginDb: row.margin_db, marginalCount: row.marginals });
      if (row.part === 'battery') known.lives.push(...lifeOf(row, day));
      classes.set(place.class, known);
    }
    if (ids.length < BATCH) break;
    after = ids.at(-1)!;
  }
  return { history: [...classes].map(([cls, one]) => ({ class: cls, failures: one.failures, hoursInService: one.hoursInService, perComponent: one.perComponent, ...(cls === 'battery' ? { lives: one.lives } : {}) })), from };
}

function lifeOf(row: ComponentRow, today: number) {
  const made = number(row.made_on) ?? number(row.installed_on);
  if (made === null) return []; // an undated battery tells nothing of how batteries age
  const years = (day: number) => Math.max(0, day - made) / DAYS_PER_YEAR;
  const end = number(row.first_bad) ?? number(row.removed_on) ?? today;
  const begin = years(number(row.installed_on) ?? made);
  const end_ = years(end);
  if (end_ <= begin) return [];
  const good = number(row.good_before_bad);
  return [{ fromAgeYears: begin, toAgeYears: end_, temperatureC: row.temperature_c, failed: row.first_bad !== null, lastGoodAgeYears: row.first_bad !== null && good !== null ? Math.max(begin, years(good)) : null }];
}
