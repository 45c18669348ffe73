import { Refusal, STANDINGS, type ReportCheck, type ReportDeficiency, type SiteDuty, type SiteReport, type SiteStanding, type StripLane, type WindowShown } from '@bellround/contracts';
import { blackoutFacts, checksOfSite, deficiencyExtras, dutiesOfSites, dutySources, photosOf, programmeBodies, subjectNames, windowsOfSites, type ReportedCheck } from '@bellround/database';
import { catalogue, type Programme } from '@bellround/programmes';
import { EMPTY_ROOT, frontierRoot } from '@bellround/proof';
import { addDays, addMonths, type LocalDate } from '@bellround/recurrence';
import type { Ctx } from '../perform.js';
import { dayText, dayTextOrNull, endOfDay, localDayOf, own } from '../steps.js';
import { dutyCase, standingFacts, standingFrom, windowShown, windowsOf, worstOf } from '../standing/steps.js';

// What is shown of sites, in the house and outside: standing, strips, report.

const BEHIND_DAYS = 1100;
const AHEAD_DAYS = 400;

/**
 * One site on a day: each duty with its windows and standing, who allowed a pause, deficiencies, visits and attempts. With
 * `knownOn` the windows are computed anew from the records that had been made by the end of that day.
 */
export async function standingOfSite(ctx: Ctx, input: { siteId: string; asOf?: string | undefined; knownOn?: string | undefined }): Promise<SiteStanding> {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } }, include: { client: true } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const today = localDayOf(ctx.now, site.timeZone);
  const asOf = input.asOf ?? input.knownOn ?? today;
  const stripFrom = addDays(asOf as LocalDate, -BEHIND_DAYS);
  const stripTo = addDays(asOf as LocalDate, AHEAD_DAYS);
  const windows = input.knownOn === undefined ? await storedWindows(ctx, site.id) : await windowsKnownOn(ctx, site, input.knownOn, asOf as LocalDate);
  const blackouts = (await blackoutFacts(ctx.tx, [site.id])).filter((row) => row.kind === 'suspended');
  const suspended = blackouts.some((row) => row.from <= asOf && (row.to === null || row.to >= asOf));
  const named = (await dutiesOfSites(ctx.tx, [site.id])).filter((duty) => input.knownOn === undefined || windows.has(duty.id));
  const duties = named.map((duty): SiteDuty => {
    const own = windows.get(duty.id) ?? [];
    const { standing, now } = suspended ? { standing: 'not-owed' as const, now: null } : standingFrom(own, asOf);
    return {
      id: duty.id, title: duty.title, regime: duty.regime, mandated: duty.mandated, systemId: duty.systemId, systemName: duty.systemName, subjectKind: duty.subjectKind, subjectId: duty.subjectId, subject: duty.subject,
      standing, now, remotely: duty.remotely, sounds: duty.sounds, minutes: duty.minutes, validFrom: duty.validFrom, validTo: duty.validTo, windows: own.filter((window) => within(window, stripFrom, stripTo)),
    };
  });
  return {
    siteId: site.id, name: site.name, address: site.address, clientId: site.clientId, clientName: site.client.name, timeZone: site.timeZone, occupancy: site.occupancy,
    asOf, today, knownOn: input.knownOn ?? null, standing: worstOf(duties.map((duty) => duty.standing), duties.length > 0), stripFrom, stripTo, duties,
    pauses: blackouts.map((row) => ({ from: row.from, to: row.to, by: row.authority, reason: row.reason })), ...(await aroundSite(ctx, site.id)),
  };
}

const within = (window: WindowShown, from: string, to: string): boolean =>
  (window.governsTo === null || window.governsTo >= from || window.lapses >= from || (window.metOn ?? '') >= from) && (window.opens <= to || window.governsFrom <= to);

async function storedWindows(ctx: Ctx, siteId: string): Promise<Map<string, WindowShown[]>> {
  const lanes = new Map<string, WindowShown[]>();
  for (const window of await windowsOfSites(ctx.tx, [siteId], '0001-01-01', '9999-12-31', true)) lanes.set(window.dutyId, [...(lanes.get(window.dutyId) ?? []), windowShown(window)]);
  return lanes;
}

/** What was known by the end of a local day: later records are not looked at, so the answer of that day comes back. */
async function windowsKnownOn(ctx: Ctx, site: { id: string; timeZone: string }, knownOn: string, asOf: LocalDate): Promise<Map<string, WindowShown[]>> {
  const facts = await standingFacts(ctx.tx, [site.id], endOfDay(knownOn, site.timeZone));
  return new Map(facts.duties.map((duty) => [duty.id, windowsOf(dutyCase(facts, duty).history, asOf).map(windowShown)]));
}

async function aroundSite(ctx: Ctx, siteId: string): Promise<Pick<SiteStanding, 'deficiencies' | 'visits' | 'attempts'>> {
  const where = { ...own(ctx), siteId };
  const deficiencies = await ctx.tx.db.deficiency.groupBy({ by: ['state', 'severity'], where, _count: true });
  const count = (fits: (row: { state: string; severity: string }) => boolean): number => deficiencies.filter(fits).reduce((sum, row) => sum + row._count, 0);
  const visits = await ctx.tx.db.visit.findMany({ where, orderBy: [{ day: { sort: 'desc', nulls: 'first' } }, { createdAt: 'desc' }], take: 12, include: { _count: { select: { checks: true } } } });
  const technicians = await ctx.tx.db.technician.findMany({ where: { ...own(ctx), id: { in: visits.flatMap((visit) => visit.technicianId ?? []) } }, select: { id: true, name: true } });
  const nameOf = new Map(technicians.map((row) => [row.id, row.name]));
  const attempts = await ctx.tx.db.attempt.findMany({ where, orderBy: { at: 'desc' }, take: 20 });
  return {
    deficiencies: { open: count((row) => row.state === 'open'), impairments: count((row) => row.state === 'open' && row.severity === 'impairment'), accepted: count((row) => row.state === 'accepted') },
    visits: visits.map((visit) => ({ id: visit.id, title: visit.title, state: visit.state, day: dayTextOrNull(visit.day), closedAt: visit.closedAt?.toISOString() ?? null, technician: visit.technicianId ? nameOf.get(visit.technicianId) ?? null : null, checks: visit._count.checks })),
    attempts: attempts.map((row) => ({ id: row.id, how: row.how, outcome: row.outcome, at: row.at.toISOString(), words: row.words, proven: row.lat !== null && row.lon !== null && row.photoId !== null })),
  };
}


// ── strips of a list ───────────────────────────────────────────────────────

const STRIP_BEHIND_DAYS = 730;
const STRIP_AHEAD_DAYS = 210;
/** Lanes drawn of one site in a list; a site page shows all. The worst come first. */
const LANES = 8;

/** The stretch of days that strips of a list draw. */
export function stripStretch(asOf: string): { stripFrom: string; stripTo: string } {
  return { stripFrom: addDays(asOf as LocalDate, -STRIP_BEHIND_DAYS), stripTo: addDays(asOf as LocalDate, STRIP_AHEAD_DAYS) };
}

/** Lanes of some sites for a list, the worst first: two statements, however many sites. */
export async function stripLanes(tx: Ctx['tx'], siteIds: readonly string[], asOf: string): Promise<Map<string, StripLane[]>> {
  const lanes = new Map<string, StripLane[]>();
  if (siteIds.length === 0) return lanes;
  const { stripFrom, stripTo } = stripStretch(asOf);
  const [windows, duties] = [await windowsOfSites(tx, siteIds, stripFrom, stripTo), await dutiesOfSites(tx, siteIds)];
  const ofDuty = new Map<string, WindowShown[]>();
  for (const window of windows) {
    const known = ofDuty.get(window.dutyId);
    if (known) known.push(windowShown(window)); else ofDuty.set(window.dutyId, [windowShown(window)]);
  }
  for (const duty of duties) {
    const own = ofDuty.get(duty.id);
    if (!own) continue;
    const lane: StripLane = {
      dutyId: duty.id, title: `${duty.title}: ${duty.subject}`, standing: standingFrom(own, asOf).standing,
      windows: own.map(({ n, opens, due, lapses, governsFrom, governsTo, metOn, outcome, lateDays, carried }) => ({ n, opens, due, lapses, governsFrom, governsTo, metOn, outcome, lateDays, carried })),
    };
    lanes.set(duty.siteId, [...(lanes.get(duty.siteId) ?? []), lane]);
  }
  for (const [siteId, list] of lanes) lanes.set(siteId, list.sort((a, b) => STANDINGS.indexOf(a.standing) - STANDINGS.indexOf(b.standing)).slice(0, LANES));
  return lanes;
}

// ── a site's report ────────────────────────────────────────────────────────

/** Checks that one report lists; the count of all stands beside them. */
const CHECKS_MOST = 400;
const CAUTIONS = [
  'Local codes and licensed practice prevail. This paper shows what was checked, when, by whom and against which limit; it is no certificate of compliance.',
  'What can\u2019t be told is shown as can\u2019t be told; it never counts as proven.',
  'Records are never altered: a correction is a further record, and both are shown.',
];

/** All that a report of one site says: strips, checks with readings, deficiencies, and where duties and limits come from. */
export async function reportOfSite(ctx: Ctx, input: { siteId: string; asOf?: string | undefined; months: number }): Promise<SiteReport> {
  const { attempts: _, ...site } = await standingOfSite(ctx, { siteId: input.siteId, asOf: input.asOf });
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const from = addMonths(site.asOf as LocalDate, -input.months);
  const checks = await checksOfSite(ctx.tx, site.siteId, from, site.asOf, CHECKS_MOST);
  const ledger = await ctx.tx.db.ledgerFrontier.findUnique({ where: own(ctx) });
  return {
    company: company.name, madeAt: ctx.now.toISOString(), site, from, to: site.asOf, checks: checks.map(reportCheck), checksTotal: checks[0]?.total ?? 0,
    deficiencies: await deficienciesOf(ctx, site, from), sources: await sourcesOf(ctx, site.siteId), cautions: CAUTIONS,
    ledger: ledger === null ? { size: 0, rootHash: EMPTY_ROOT } : { size: Number(ledger.size), rootHash: frontierRoot({ size: Number(ledger.size), nodes: ledger.frontier as string[] }) },
  };
}

const valueOf = (reading: ReportedCheck['readings'][number]): string =>
  reading.number !== null ? String(reading.number) : reading.flag !== null ? (reading.flag ? 'yes' : 'no') : reading.text ?? 'not read';

function reportCheck(check: ReportedCheck): ReportCheck {
  const definition = catalogue.find((one) => one.key === check.checkKind);
  return {
    id: check.id, title: definition?.title ?? check.checkKind, systemName: check.systemName, subject: check.subject, performedOn: check.performedOn, by: check.by, verdict: check.verdict, reason: check.reason,
    margin: check.marginValue === null ? null : `${check.marginValue} ${check.marginUnit ?? ''}`.trim(), limitSource: check.limitSource, evidence: check.evidence, source: check.source, corrected: check.corrected,
    readings: check.readings.map((reading) => ({ label: definition?.readings.find((one) => one.key === reading.key)?.label ?? reading.key, value: valueOf(reading), unit: reading.unit, instrument: reading.instrument, reliable: reading.reliable })),
  };
}

/** Deficiencies that were open at any time in the stretch, open ones first. */
async function deficienciesOf(ctx: Ctx, site: { siteId: string; timeZone: string; asOf: string }, from: string): Promise<ReportDeficiency[]> {
  const rows = await ctx.tx.db.deficiency.findMany({ where: { ...own(ctx), siteId: site.siteId }, orderBy: [{ raisedAt: 'desc' }, { id: 'asc' }], take: 500 });
  const names = new Map((await subjectNames(ctx.tx, [...new Set(rows.map((row) => row.subjectId))])).map((row) => [row.id, row.name]));
  const day = (at: Date | null) => (at === null ? null : localDayOf(at, site.timeZone));
  const ids = rows.map((row) => row.id);
  const [extras, photos] = [new Map((await deficiencyExtras(ctx.tx, ids)).map((extra) => [extra.deficiencyId, extra])), await photosOf(ctx.tx, ids)];
  return rows.map((row): ReportDeficiency => {
    const measure = row.state === 'closed' ? null : extras.get(row.id)?.interim ?? null;
    const closedOn = day(row.closedAt);
    const openThen = closedOn === null || closedOn > site.asOf;
    return { id: row.id, title: row.title, subject: names.get(row.subjectId) ?? row.subjectKind, severity: row.severity, state: openThen && row.state === 'closed' ? 'open' : row.state, raisedOn: day(row.raisedAt)!, dueOn: dayText(row.dueOn),
      closedOn: openThen ? null : closedOn, acceptedUntil: dayTextOrNull(row.acceptedUntil),
      interim: measure && { words: measure.words, by: measure.by, untilAt: new Date(measure.untilAt).toISOString(), over: new Date(measure.untilAt) <= ctx.now },
      photos: photos.filter((photo) => photo.deficiencyId === row.id && day(photo.at)! <= site.asOf).map(({ attachmentId, words, at }) => ({ attachmentId, words, at: at.toISOString() })) };
  }).filter((row) => row.raisedOn <= site.asOf && (row.closedOn === null || row.closedOn >= from)).sort((a, b) => Number(a.closedOn !== null) - Number(b.closedOn !== null));
}

/** Each rule that stands behind the site's duties once, with its clause and how that is known. */
async function sourcesOf(ctx: Ctx, siteId: string): Promise<SiteReport['sources']> {
  const duties = await dutySources(ctx.tx, siteId);
  const bodies = new Map((await programmeBodies(ctx.tx, [...new Set(duties.map((duty) => duty.programmeId))])).map(({ id, body }) => [id, body as Programme]));
  const seen = new Map<string, SiteReport['sources'][number]>();
  for (const duty of duties) {
    const programme = bodies.get(duty.programmeId);
    const rule = programme?.rules.find((one) => one.key === duty.ruleKey);
    if (!programme || !rule) continue;
    seen.set(`${duty.programmeId} ${duty.ruleKey}`, { regime: [programme.regime.name, programme.regime.edition].filter(Boolean).join(' '), title: rule.title, clause: rule.source.clause, provenance: rule.source.provenance });
  }
  return [...seen.values()].sort((a, b) => (a.regime + a.title < b.regime + b.title ? -1 : 1));
}
