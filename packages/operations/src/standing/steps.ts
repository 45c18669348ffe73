import { PREVENTABLE_BY, STANDINGS, type Attribution, type DutyCheckRow, type InTime, type OnTime, type OnTimeAsked, type Standing, type WindowShown } from '@bellround/contracts';
import {
  accountsByMonth, addTimelines, blackoutFacts, checkFacts, checksOfGroup, checksOn, companyDays, creditsOfChecks, dutyFacts, heldTimelines, lateByWhom, licenceFacts, liveFigures, lockSites, programmeBodies, repairFacts, replaceTimelines, siteDays,
  subjectNames, unitFacts, windowsByMonth,
  type BlackoutFact, type ChecksOfSubject, type DutyFact, type LaneWindow, type LicenceFact, type Timeline, type Tx, type UnitFact,
} from '@bellround/database';
import { credits, notCreditedBecause, proofsOfCredited, type CreditableCheck, type Programme, type Rule } from '@bellround/programmes';
import { addDays, addMonths, dayNumber, fromDayNumber, localDate, standingOn, whyOfDays, windowInDates, type AccessCalendar, type Cadence, type DutyHistory, type DutyWindow, type LocalDate } from '@bellround/recurrence';
import { closuresOf, loudClosures } from '../access-days.js';
import type { Ctx } from '../perform.js';
import { grouped, localDayOf } from '../steps.js';
import { checkThatMet, daysOf, timelineRow } from '../timeline-row.js';

/** What a refresh needs of a context; a bulk session fits as well. */
export interface RefreshCtx { readonly tx: Pick<Tx, 'sql'>; readonly now: Date }

/** `dutiesWritten`: of the duties looked at, those whose windows or credits differed from what was kept; with how many windows and credits. */
export interface Refreshed { sites: number; duties: number; dutiesWritten: number; windowsWritten: number; creditsWritten: number }
const nothing = (): Refreshed => ({ sites: 0, duties: 0, dutiesWritten: 0, windowsWritten: 0, creditsWritten: 0 });

/** All facts of some sites from which their duties' windows follow. */
export interface StandingFacts {
  readonly duties: readonly DutyFact[];
  readonly rules: ReadonlyMap<string, ReadonlyMap<string, Rule>>;
  /** by subject; each is cut into checks for the duty that asks */
  readonly groupsOf: ReadonlyMap<string, readonly ChecksOfSubject[]>;
  readonly licencesOf: ReadonlyMap<string, readonly LicenceFact[]>;
  readonly unitsOf: ReadonlyMap<string, readonly UnitFact[]>;
  readonly blackoutsOf: ReadonlyMap<string, readonly BlackoutFact[]>;
  /** days that may pull a due date earlier, for silent work and for work that sounds; a site without any is not in it */
  readonly closuresOf: ReadonlyMap<string, { readonly silent: AccessCalendar; readonly loud: AccessCalendar }>;
  readonly repairsOf: ReadonlyMap<string, readonly { on: LocalDate; ref: string }[]>;
}

/** A duty with its rule and the history that the engine judges. */
export interface DutyCase { readonly duty: DutyFact; readonly rule: Rule; readonly history: DutyHistory; readonly credited: readonly CreditableCheck[] }

const SITES_AT_ONCE = 500;

const NO_LICENCES: readonly string[] = [];

/** Licences the technician held on that day, last day inclusive. */
function licencesOn(held: ReadonlyMap<string, readonly LicenceFact[]>, technicianId: string | null, day: string): readonly string[] {
  const list = technicianId === null ? undefined : held.get(technicianId);
  if (!list) return NO_LICENCES;
  return list.filter((licence) => (licence.validFrom === null || licence.validFrom <= day) && licence.validTo >= day).map((licence) => licence.kind);
}

/** Loads the facts of these sites, as they are now or as they were known by a moment; `only`: of these duties alone. */
export async function standingFacts(tx: Pick<Tx, 'sql'>, siteIds: readonly string[], knownBy: Date | null = null, only: readonly string[] | null = null): Promise<StandingFacts> {
  const duties = await dutyFacts(tx, siteIds, knownBy, only);
  const bodies = await programmeBodies(tx, [...new Set(duties.map((duty) => duty.programmeId))]);
  const rules = new Map(bodies.map(({ id, body }) => [id, new Map((body as Programme).rules.map((rule) => [rule.key, rule]))]));
  const ruleOf = (duty: DutyFact): Rule | undefined => rules.get(duty.programmeId)?.get(duty.ruleKey);
  const shared = [...new Set(duties.filter((duty) => ruleOf(duty)?.cadence.kind === 'share').map((duty) => duty.systemId))];
  const units = shared.length === 0 ? [] : await unitFacts(tx, shared);
  const wanted = only === null ? null : { subjectIds: [...new Set([...duties.map((duty) => duty.subjectId), ...units.map((unit) => unit.id)])], kinds: [...new Set(duties.flatMap((duty) => ruleOf(duty)?.checkKinds ?? []))] };
  const groups = duties.length === 0 ? [] : await checkFacts(tx, siteIds, knownBy, wanted);
  const licensed = [...rules.values()].some((some) => [...some.values()].some((rule) => rule.by === 'licensed'));
  const blackouts = grouped(await blackoutFacts(tx, siteIds), (row) => row.siteId);
  return {
    duties, rules,
    groupsOf: grouped(groups, (group) => group.subjectId),
    licencesOf: grouped(licensed ? await licenceFacts(tx) : [], (row) => row.technicianId),
    unitsOf: grouped(units, (unit) => unit.systemId),
    blackoutsOf: blackouts,
    closuresOf: await closuresBySite(tx, siteIds, blackouts),
    repairsOf: grouped(await repairFacts(tx, siteIds, knownBy), (row) => row.systemId, (row) => ({ on: row.on as LocalDate, ref: row.ref })),
  };
}

/** The checks of these kinds on a subject. */
function checksOnSubject(facts: StandingFacts, subjectId: string, kinds: readonly string[]): CreditableCheck[] {
  return (facts.groupsOf.get(subjectId) ?? []).filter((group) => kinds.includes(group.kind)).flatMap((group) => {
    const [kind, subjectKind] = [group.kind, group.subjectKind as CreditableCheck['subjectKind']];
    return checksOfGroup(group, ({ id, verdict, evidence, performedOn, source, technicianId }): CreditableCheck => ({
      id, kind, subjectKind, subjectId, verdict: verdict as CreditableCheck['verdict'], evidence: evidence as CreditableCheck['evidence'], performedOn: performedOn as LocalDate,
      source: source as CreditableCheck['source'], licences: licencesOn(facts.licencesOf, technicianId, performedOn),
    }));
  });
}

async function closuresBySite(tx: Pick<Tx, 'sql'>, siteIds: readonly string[], blackouts: ReadonlyMap<string, readonly BlackoutFact[]>): Promise<Map<string, { silent: AccessCalendar; loud: AccessCalendar }>> {
  const company = await companyDays(tx);
  const found = new Map<string, { silent: AccessCalendar; loud: AccessCalendar }>();
  for (const site of await siteDays(tx, siteIds)) {
    const silent = closuresOf(site, blackouts.get(site.siteId) ?? [], company);
    if (silent) found.set(site.siteId, { silent, loud: loudClosures(silent)! });
  }
  return found;
}

function populationOf(rule: Rule, units: readonly UnitFact[], from: string) {
  const { deviceKinds, links } = rule.applies;
  return units.filter((unit) => (deviceKinds === undefined || (deviceKinds as readonly string[]).includes(unit.kind)) && (links === undefined || (links as readonly string[]).includes(unit.link)))
    .map((unit) => ({ key: unit.id, from: (unit.from ?? from) as LocalDate, to: unit.to as LocalDate | null }));
}

/** The history of one duty out of the facts. */
export function dutyCase(facts: StandingFacts, duty: DutyFact): DutyCase {
  const rule = facts.rules.get(duty.programmeId)?.get(duty.ruleKey);
  if (!rule) throw new Error(`duty ${duty.id} names rule ${duty.ruleKey}, which its programme does not hold`);
  const units = rule.cadence.kind === 'share' ? populationOf(rule, facts.unitsOf.get(duty.systemId) ?? [], duty.validFrom) : null;
  const done = units === null ? checksOnSubject(facts, duty.subjectId, rule.checkKinds) : units.flatMap((unit) => checksOnSubject(facts, unit.key, rule.checkKinds));
  const credited = done.filter((check) => credits(rule, check));
  const blackouts = facts.blackoutsOf.get(duty.siteId) ?? [];
  const closures = facts.closuresOf.get(duty.siteId);
  const calendar = rule.sounds ? closures?.loud : closures?.silent;
  const pauses = blackouts.filter((row) => row.kind === 'suspended').map((row) => ({ from: row.from as LocalDate, to: row.to as LocalDate | null, by: row.authority, ...(rule.onReturn ? { onReturn: rule.onReturn } : {}) }));
  return {
    duty, rule, credited,
    history: {
      cadence: rule.cadence as DutyHistory['cadence'], from: duty.validFrom as LocalDate, to: duty.validTo as LocalDate | null,
      basisOn: duty.basisOn as LocalDate | null, proofs: proofsOfCredited(rule, credited),
      ...(pauses.length > 0 ? { pauses } : {}), ...(calendar ? { calendar } : {}), ...(units === null ? {} : { units }),
      ...(rule.cadence.kind === 'after-event' ? { events: facts.repairsOf.get(duty.systemId) ?? [] } : {}),
    },
  };
}

/** The same in dates and words. */
export function windowsOf(history: DutyHistory, today: LocalDate): DutyWindow[] {
  const { windows, said } = daysOf(history, dayNumber(today));
  if (said === null) return windows.map((window, n) => windowInDates(history.cadence, window, n));
  return windows.map(({ opens, due, lapses, governsFrom, governsTo, carried }) => ({
    n: 0, opens: fromDayNumber(opens), due: fromDayNumber(due), lapses: fromDayNumber(lapses), governsFrom: fromDayNumber(governsFrom), governsTo: governsTo === null ? null : fromDayNumber(governsTo),
    metOn: null, metBy: null, outcome: null, lateDays: 0, carried, basisOn: null, why: said,
  }));
}

/** `only`: of these duties alone; `rebuild`: compared with what is kept itself and not with its digest. */
export interface RefreshHow { readonly only?: readonly string[] | null; readonly rebuild?: boolean }

async function refreshSome(ctx: RefreshCtx, siteIds: readonly string[], { only = null, rebuild = false }: RefreshHow): Promise<Refreshed> {
  const sites = await lockSites(ctx.tx, siteIds);
  const days = new Map<string, number>();
  for (const { timeZone } of sites) if (!days.has(timeZone)) days.set(timeZone, dayNumber(localDayOf(ctx.now, timeZone) as LocalDate));
  const todayOf = new Map(sites.map((site) => [site.id, days.get(site.timeZone)!]));
  const ids = sites.map((site) => site.id);
  const facts = await standingFacts(ctx.tx, ids, null, only);
  const held = await heldTimelines(ctx.tx, facts.duties.map((duty) => duty.id));
  const [fresh, other]: [Timeline[], Timeline[]] = [[], []];
  for (const duty of facts.duties) {
    const row = timelineRow(dutyCase(facts, duty), todayOf.get(duty.siteId)!);
    const before = held.get(duty.id);
    if (before === undefined) fresh.push(row);
    else if (rebuild || before.digest !== row.digest || before.turnsOn !== row.turnsOn || before.siteId !== row.siteId) other.push(row);
  }
  await addTimelines(ctx.tx, fresh);
  const differed = new Set(await replaceTimelines(ctx.tx, other));
  const changed = [...fresh, ...other.filter((row) => differed.has(row.dutyId))];
  return {
    sites: sites.length, duties: facts.duties.length, dutiesWritten: changed.length,
    windowsWritten: changed.reduce((sum, row) => sum + row.starts.length, 0), creditsWritten: changed.reduce((sum, row) => sum + row.credited, 0),
  };
}

/**
 * The one operation that materialises windows and credits: recomputes them from the facts for all duties of these sites, up
 * to each site's own today, and writes only the duties that differ. Running it again changes nothing.
 */
export async function refreshSites(ctx: RefreshCtx, siteIds: readonly string[], how: RefreshHow = {}): Promise<Refreshed> {
  const total = nothing();
  const ordered = [...new Set(siteIds)].sort();
  const atOnce = how.only ? ordered.length : SITES_AT_ONCE; // named duties are few however many their sites
  for (let at = 0; at < ordered.length; at += atOnce) {
    const some = await refreshSome(ctx, ordered.slice(at, at + atOnce), how);
    for (const key of Object.keys(total) as (keyof Refreshed)[]) total[key] += some[key];
  }
  return total;
}

/** Refreshes one site inside the caller's transaction, so that its answer shows what was credited. */
export function refreshSite(ctx: RefreshCtx, siteId: string): Promise<Refreshed> {
  return refreshSites(ctx, [siteId]);
}

export interface CreditedDuty { dutyId: string; title: string; regime: string; met: boolean; outcome: string | null; lateDays: number }

/** The duties that a check is credited to, after a refresh: `met` when it closed a window. */
export async function creditedBy(ctx: Pick<Ctx, 'tx'>, checkId: string): Promise<CreditedDuty[]> {
  return (await creditsOfChecks(ctx.tx, [checkId])).map(({ checkId: _, ...row }) => row);
}

// ── what screens show ──────────────────────────────────────────────────────

/** A stored window as screens take it. Its reason was not stored: it is told anew from the duty's cadence, in the same words. */
export function windowShown(window: LaneWindow | DutyWindow): WindowShown {
  const { n, opens, due, lapses, governsFrom, governsTo, metOn, metBy, outcome, lateDays, carried } = window;
  return { n, opens, due, lapses, governsFrom, governsTo, metOn, metBy: checkThatMet(metBy), outcome, lateDays, carried, why: 'why' in window ? window.why : whyOf(window) };
}

/** What a stored window's reason is told from, its dates apart. */
export type KeptReason = Pick<LaneWindow, 'basisOn' | 'unknown' | 'unmetLapsed' | 'lastProof' | 'said' | 'cadence'>;

/** The reason of a stored window in words; empty when its cadence was not read with it. */
export function whyOf(window: KeptReason & Pick<LaneWindow, 'opens' | 'lapses'>): string {
  if (window.said !== null) return window.said;
  if (window.cadence === null) return '';
  const days = (day: string | null) => (day === null ? null : dayNumber(day as LocalDate));
  return whyOfDays(window.cadence as Cadence, {
    opens: dayNumber(window.opens as LocalDate), lapses: dayNumber(window.lapses as LocalDate), basis: days(window.basisOn), unknown: window.unknown,
    unmet: window.unmetLapsed === null ? null : { lapsed: dayNumber(window.unmetLapsed as LocalDate), lastProof: days(window.lastProof) },
  });
}

/** Standing of a duty on a day out of its windows, the same rule as the database's. */
export function standingFrom(windows: readonly WindowShown[], day: string): { standing: Standing; now: WindowShown | null } {
  const now = windows.find((window) => window.governsFrom <= day && (window.governsTo === null || window.governsTo >= day)) ?? null;
  return { now, standing: now === null ? 'not-owed' : standingOn(now as unknown as DutyWindow, day as LocalDate) };
}

/** A site shows the worst of its duties; none at all can't be told, none owed today owes nothing. */
export function worstOf(standings: readonly Standing[], anyDuty: boolean): Standing {
  if (!anyDuty) return 'cant-tell';
  return STANDINGS.find((one) => standings.includes(one)) ?? 'not-owed';
}

/** The company's own today, and the day asked for. */
export async function asOfDay(ctx: Pick<Ctx, 'tx' | 'who' | 'now'>, asked: string | undefined): Promise<{ today: string; asOf: string; settings: Record<string, unknown> }> {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const today = localDayOf(ctx.now, company.timeZone);
  return { today, asOf: asked ?? today, settings: company.settings as Record<string, unknown> };
}

export interface Tried { how: string; outcome: string; proven: boolean; preventableBy: string }
/** Tries with position and picture before lateness may be laid on anybody else. Company rule; settings.provenAttempts. */
const PROVEN_ATTEMPTS = 2;
const NO_ENTRY = new Set(['no-answer', 'refused', 'only-minors', 'wrong-contact', 'moved-appointment', 'unsafe']);
const OTHERS = PREVENTABLE_BY.filter((by) => by !== 'ours');
const provenNeeded = (settings: Record<string, unknown>): number => (typeof settings.provenAttempts === 'number' ? settings.provenAttempts : PROVEN_ATTEMPTS);
const counted = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`;

/** Who could have prevented a lateness. Without enough proven tries at the door it is ours, whatever was typed. */
export function attributionOf(tries: readonly Tried[], settings: Record<string, unknown>): Attribution {
  const needed = provenNeeded(settings);
  const atDoor = tries.filter((one) => one.how === 'at-door' && NO_ENTRY.has(one.outcome));
  const letters = tries.filter((one) => one.how === 'letter').length;
  const proven = atDoor.filter((one) => one.proven);
  const others = OTHERS.map((by) => ({ by, tries: proven.filter((one) => one.preventableBy === by).length })).sort((a, b) => b.tries - a.tries);
  const most = others[0];
  const counts = { attempts: atDoor.length, provenAttempts: proven.length, letters };
  if (most && most.tries >= needed) return { by: most.by, words: `${most.by} (${counted(most.tries, 'attempt')}${letters > 0 ? `, ${letters === 1 ? 'letter' : `${letters} letters`}` : ''})`, ...counts };
  const why = atDoor.length === 0 ? 'no attempt at the door is recorded' : `${counted(atDoor.length, 'attempt')}, ${proven.length} with position and picture; ${needed} are needed`;
  return { by: 'ours', words: `ours (${why})`, ...counts };
}

/** The checks of a duty's subjects and kinds until a day: credited, or why not, in words. */
export async function dutyChecks(tx: Pick<Tx, 'sql'>, facts: StandingFacts, given: DutyCase, windows: readonly WindowShown[], until: string): Promise<DutyCheckRow[]> {
  const { duty, rule, history } = given;
  const subjects = history.units?.map((unit) => unit.key) ?? [duty.subjectId];
  const rows = await checksOn(tx, duty.siteId, subjects, rule.checkKinds, until);
  const names = new Map((await subjectNames(tx, [...new Set(rows.map((row) => row.subjectId))])).map((row) => [row.id, row.name]));
  const credited = new Set(given.credited.map((check) => check.id));
  return rows.map((row) => {
    const met = windows.find((window) => window.metBy === row.id) ?? null;
    const fact = checksOnSubject(facts, row.subjectId, [row.checkKind]).find((check) => check.id === row.id)
      ?? { id: row.id, kind: row.checkKind, subjectKind: row.subjectKind, subjectId: row.subjectId, verdict: row.verdict, evidence: row.evidence, performedOn: row.performedOn, source: row.source, licences: [] } as unknown as CreditableCheck;
    const words = met ? `met the window that lapses ${met.lapses}${met.lateDays > 0 ? `, ${counted(met.lateDays, 'day')} late` : ', in time'}`
      : row.correctedById !== null ? 'corrected by a further check, which counts in its place'
      : !credited.has(row.id) ? notCreditedBecause(rule, fact) ?? 'not known on that day'
      : row.performedOn < duty.validFrom ? 'done before this duty began; its first window may count from it' : 'credited, but it closed no window of its own';
    return { checkId: row.id, checkKind: row.checkKind, performedOn: row.performedOn, verdict: row.verdict, evidence: row.evidence, source: row.source, by: row.by, subject: names.get(row.subjectId) ?? row.subjectKind,
      credited: credited.has(row.id) && row.correctedById === null, metWindow: met?.n ?? null, words };
  });
}

/** The calendar months that end with the one of `asOf`. */
export function monthsBack(asOf: string, months: number): { from: string; to: string } {
  const first = addMonths(localDate(`${asOf.slice(0, 7)}-01`), 1 - months);
  return { from: first, to: addDays(addMonths(first, months), -1) };
}

const shareOf = (part: number, whole: number): number | null => (whole === 0 ? null : part / whole);

function inTime(counts: { onTime: number; late: number; missed: number; unknown: number } | undefined, untested: number): InTime {
  const { onTime = 0, late = 0, missed = 0, unknown = 0 } = counts ?? {};
  const scheduled = onTime + late + missed + unknown;
  return { onTime, late, missed, unknown, untested, honest: shareOf(onTime, scheduled + untested), honestOf: scheduled + untested, flattering: shareOf(onTime, scheduled), flatteringOf: scheduled };
}

/**
 * On time, honestly: an account is on time when every window of it that lapsed in the stretch was met by then; an account
 * the station listens to and nobody is due to prove counts as untested in every month. Accounts whose windows did not lapse
 * in a stretch are in neither figure of it.
 */
export async function onTimeOf(ctx: Pick<Ctx, 'tx' | 'who' | 'now'>, input: OnTimeAsked): Promise<OnTime> {
  const { asOf, settings } = await asOfDay(ctx, input.asOf);
  const { from, to } = monthsBack(asOf, input.months);
  const regime = input.regime ?? null;
  const live = await liveFigures(ctx.tx, asOf);
  const windows = new Map((await windowsByMonth(ctx.tx, from, to, asOf, regime)).map((row) => [row.month, row]));
  const accounts = new Map((await accountsByMonth(ctx.tx, from, to, asOf, regime)).map((row) => [row.month, row]));
  const by = new Map((await lateByWhom(ctx.tx, from, to, asOf, provenNeeded(settings), [...NO_ENTRY], OTHERS)).map((row) => [row.by, row.windows]));
  const months = Array.from({ length: input.months }, (_, at) => addMonths(from as LocalDate, at).slice(0, 7));
  return {
    from, to, asOf, stationListOn: live.stationListOn, liveAccounts: live.live, untested: live.untestedNames, whole: inTime(accounts.get(null), live.untested),
    months: months.map((month) => {
      const { onTime = 0, late: lateOnes = 0, missed = 0, unknown = 0 } = windows.get(month) ?? {};
      return { month, windows: { onTime, late: lateOnes, missed, unknown, share: shareOf(onTime, onTime + lateOnes + missed + unknown) }, accounts: inTime(accounts.get(month), live.untested) };
    }),
    preventableBy: PREVENTABLE_BY.map((one) => ({ by: one, windows: by.get(one) ?? 0 })),
  };
}
