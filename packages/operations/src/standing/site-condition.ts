import { STEP_DB, capacityForecast, dropFindings, endOfLifeShare, expectedCapacityShare, requiredStandbyAh, stepsDown, trendToLimit, type CheckFacts, type Chemistry } from '@bellround/acceptance';
import { Refusal, type BatteryColumn, type PathComb, type ShoreSensor, type SiteCondition } from '@bellround/contracts';
import { windowsOfSites } from '@bellround/database';
import { catalogue } from '@bellround/programmes';
import { combOf } from '@bellround/signals';
import { checkFactsOf, installedAt, receiverOf, subjectsOf, type Installed, type Subject } from '../installed.js';
import type { Act, Ctx } from '../perform.js';
import { localDayOf, own } from '../steps.js';

const COMB_DAYS = 45;
/** Looked at before the comb begins, to know whether the history had begun. */
const BEFORE_DAYS = 35;
const DAY_MS = 86_400_000;
const EVENTS_MOST = 20_000;

/**
 * What a site still has in hand: each battery against its need now and at the next check owed, each wireless sensor's level
 * over its noise with the day it would sink, each path's expected signals and which came. What is not known is said so.
 */
export const siteCondition: Act<{ siteId: string }, SiteCondition> = async (ctx, input) => {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const at = await installedAt(ctx, site);
  const asOf = localDayOf(ctx.now, site.timeZone);
  const subjects = subjectsOf(at);
  const owed = await nextOwed(ctx, site.id, asOf);
  const combFrom = new Date(ctx.now.getTime() - COMB_DAYS * DAY_MS).toISOString();
  const shore = subjects.filter((one) => one.kind === 'device' && one.link === 'wireless').flatMap((one) => shoreSensor(at, one));
  return {
    siteId: site.id, timeZone: site.timeZone, asOf, combFrom, combTo: ctx.now.toISOString(),
    batteries: subjects.filter((one) => one.kind === 'battery').map((one) => batteryColumn(at, one, asOf, owed.get(one.id) ?? null)),
    shore: shore.sort((a, b) => ((a.sinksOn ?? '9999') < (b.sinksOn ?? '9999') ? -1 : (a.sinksOn ?? '9999') > (b.sinksOn ?? '9999') ? 1 : a.marginDb - b.marginDb)),
    receiverFindings: receiverFindings(at, shore), combs: await pathCombs(ctx, at, combFrom),
  };
};

/** The day on which each subject's next check is due: today where it is already past. */
async function nextOwed(ctx: Ctx, siteId: string, asOf: string): Promise<Map<string, string>> {
  const duties = new Map((await ctx.tx.db.duty.findMany({ where: { ...own(ctx), siteId }, select: { id: true, subjectId: true } })).map((duty) => [duty.id, duty.subjectId]));
  const next = new Map<string, string>();
  for (const window of await windowsOfSites(ctx.tx, [siteId], asOf, '9999-12-31')) {
    const subjectId = duties.get(window.dutyId);
    if (window.metOn !== null || window.due >= '9999' || subjectId === undefined) continue;
    const due = window.due < asOf ? asOf : window.due;
    if (!next.has(subjectId) || due < next.get(subjectId)!) next.set(subjectId, due);
  }
  return next;
}

const round = (value: number, digits = 2): number => Math.round(value * 10 ** digits) / 10 ** digits;
const yearsBetween = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / DAY_MS / 365.25;

function batteryColumn(at: Installed, subject: Subject, asOf: string, nextOn: string | null): BatteryColumn {
  const battery = at.batteries.find((one) => one.id === subject.id)!;
  const { battery: known = {}, load } = checkFactsOf(at, subject);
  const history = [...known.history ?? []].sort((a, b) => (a.on < b.on ? -1 : 1)).map(({ on, capacityPct }) => ({ on: on as string, capacityPct }));
  const ratedAh = battery.ratedMah === null ? null : battery.ratedMah / 1000;
  // Rounded up: what is needed is never told smaller than it is.
  const exact = load === undefined ? null : requiredStandbyAh(load, load.convention ?? { kind: 'sum', allowance: load.allowance });
  const need = exact === null ? null : Math.ceil(exact * 100 - 1e-9) / 100;
  const last = history.at(-1) ?? null;
  const share = last ? last.capacityPct / 100 : known.madeOn === undefined ? null : expectedCapacityShare(battery.chemistry as Chemistry, yearsBetween(known.madeOn, asOf), battery.temperatureC ?? 25);
  const ghost = nextOn === null || share === null ? null : ghostShare(known, battery.chemistry as Chemistry, battery.temperatureC ?? 25, history, share, nextOn);
  const limitPct = 100 * Math.max(endOfLifeShare, exact !== null && ratedAh ? exact / ratedAh : 0);
  const forecast = history.length < 2 ? null : capacityForecast(history.map(({ on, capacityPct }) => ({ on: on as never, value: capacityPct })), limitPct);
  const have = ratedAh === null || share === null ? null : round(ratedAh * share);
  const ghostAh = ratedAh === null || ghost === null ? null : round(ratedAh * ghost);
  return {
    id: battery.id, label: battery.label, systemName: at.systems.find((one) => one.id === battery.systemId)?.name ?? '', chemistry: battery.chemistry, ratedAh, needAh: need,
    needWords: need === null ? battery.deviceId === null ? 'what this site needs can’t be told: standby and alarm loads or hours are not entered' : 'a battery of a device: its need is not computed' : `${need} Ah needed; ${load!.source ?? 'loads and hours as entered'}`,
    haveAh: have, haveBy: have === null ? null : last ? 'measured' : 'expected', haveOn: last?.on ?? null, nextOn, ghostAh, crossesEarliest: forecast?.earliest ?? null, crossesLatest: forecast?.latest ?? null,
    madeOn: known.madeOn ?? null, history, words: batteryWords(need, have, last !== null, ghostAh, nextOn),
  };
}

/** Share of the rated capacity to expect on a day: by age from what it has now, or by its own last slope, whichever is less. */
function ghostShare(known: NonNullable<CheckFacts['battery']>, chemistry: Chemistry, temperatureC: number, history: readonly { on: string; capacityPct: number }[], now: number, nextOn: string): number | null {
  const [last, before] = [history.at(-1), history.at(-2)];
  const from = last?.on ?? null;
  const byAge = known.madeOn === undefined ? null : (() => {
    const then = expectedCapacityShare(chemistry, yearsBetween(known.madeOn, nextOn), temperatureC);
    const reference = from === null ? then : expectedCapacityShare(chemistry, yearsBetween(known.madeOn, from), temperatureC);
    return then === null || reference === null || reference === 0 ? null : from === null ? then : now * (then / reference);
  })();
  const bySlope = last && before && last.on > before.on ? now + ((last.capacityPct - before.capacityPct) / 100 / yearsBetween(before.on, last.on)) * yearsBetween(last.on, nextOn) : null;
  const shares = [byAge, bySlope].filter((one) => one !== null);
  return shares.length === 0 ? null : Math.max(0, Math.min(...shares));
}

function batteryWords(need: number | null, have: number | null, isMeasured: boolean, ghost: number | null, nextOn: string | null): string {
  if (have === null) return 'What it still has can’t be told: it was never measured, and its age or rated capacity is not known.';
  const has = `It has ${have} Ah (${isMeasured ? 'measured' : 'expected at its age'})`;
  if (need === null) return `${has}; whether that is enough can’t be told.`;
  const now = have < need ? `${has}: short by ${round(need - have)} Ah.` : `${has}, ${round(have - need)} Ah more than the site needs.`;
  if (ghost === null || nextOn === null) return now;
  return `${now} By the next check, ${nextOn}, about ${ghost} Ah${ghost < need ? `: short by ${round(need - ghost)} Ah` : ''}.`;
}

const LEAST_DB = Number(catalogue.find((one) => one.key === 'wireless-margin')?.params['minMarginDb'] ?? 10);

function shoreSensor(at: Installed, subject: Subject): ShoreSensor[] {
  const { radio } = checkFactsOf(at, subject);
  const history = [...radio?.history ?? []].flatMap((one) => (one.levelDbm === undefined || one.noiseDbm === undefined ? [] : [{ on: one.on as string, levelDbm: one.levelDbm, noiseDbm: one.noiseDbm }])).sort((a, b) => (a.on < b.on ? -1 : 1));
  const last = history.at(-1);
  if (!last) return [];
  const leastDb = radio?.minMarginDb ?? LEAST_DB;
  const trend = trendToLimit(history.map((one) => ({ on: one.on as never, value: one.levelDbm - one.noiseDbm })), leastDb, 'above');
  const [step] = stepsDown(history.map((one) => ({ on: one.on as never, marginDb: one.levelDbm - one.noiseDbm, levelDbm: one.levelDbm, noiseDbm: one.noiseDbm }))).slice(-1);
  const margin = last.levelDbm - last.noiseDbm;
  const moved = history.length < 2 ? 'read once only' : `since ${history[0]!.on} the sensor ${changeWords(last.levelDbm - history[0]!.levelDbm, 'fell', 'rose')} and the noise ${changeWords(last.noiseDbm - history[0]!.noiseDbm, 'fell', 'rose')}`;
  return [{
    id: subject.id, label: subject.name, room: subject.room, on: last.on, levelDbm: last.levelDbm, noiseDbm: last.noiseDbm, marginDb: round(margin, 1), leastDb, sinksOn: margin < leastDb ? last.on : trend?.crossesOn ?? null, history,
    words: `${round(margin, 1)} dB over the noise, ${leastDb} dB the least: ${moved}.${step ? ` A drop of ${round(step.dropDb, 1)} dB between ${step.fromOn} and ${step.toOn}: ${step.cause}.` : ''}`,
  }];
}

/** Sensors whose margin fell between their last two readings, put together by the receiver that hears them: what all share is the receiver's. */
function receiverFindings(at: Installed, shore: readonly ShoreSensor[]): SiteCondition['receiverFindings'] {
  const drops = shore.flatMap((sensor) => {
    const [before, last] = sensor.history.slice(-2);
    const dropDb = before && last ? before.levelDbm - before.noiseDbm - (last.levelDbm - last.noiseDbm) : 0;
    const { key, name } = receiverOf(at, sensor.id);
    return dropDb > STEP_DB ? [{ device: sensor.id, receiver: key, receiverName: name, fromOn: before!.on, toOn: last!.on, dropDb }] : [];
  });
  return dropFindings(drops).filter((found) => found.kind === 'receiver').map((found) => ({ receiver: drops.find((drop) => drop.receiver === found.receiver)!.receiverName, deviceIds: [...found.devices], fromOn: found.fromOn, toOn: found.toOn, dropDb: round(found.medianDropDb, 1), words: found.words }));
}

const changeWords = (db: number, down: string, up: string): string => (Math.abs(db) < 0.5 ? 'did not move' : `${db < 0 ? down : up} by ${round(Math.abs(db), 1)} dB`);

/** Path by path: a history that names its paths by label, technology or place in order; one that names none speaks for an only path. */
async function pathCombs(ctx: Ctx, at: Installed, combFrom: string): Promise<PathComb[]> {
  const accountIds = at.accounts.map((account) => account.id);
  const events = accountIds.length === 0 ? [] : await ctx.tx.db.stationEvent.findMany({ where: { ...own(ctx), accountId: { in: accountIds }, receivedAt: { gte: new Date(Date.parse(combFrom) - BEFORE_DAYS * DAY_MS), lte: ctx.now } }, select: { accountId: true, receivedAt: true, path: true }, orderBy: { receivedAt: 'desc' }, take: EVENTS_MOST });
  const newest = events[0]?.receivedAt.toISOString();
  return at.paths.map((path): PathComb => {
    const system = at.systems.find((one) => one.id === path.systemId)!;
    const isOnly = at.paths.filter((one) => one.systemId === path.systemId).length === 1;
    const own = events.filter((event) => (system.accountId === null || event.accountId === system.accountId) && (event.path === null ? isOnly : [path.label, path.technology, String(path.rank), path.externalKey].some((name) => name.toLowerCase() === event.path!.toLowerCase())));
    const rest = { id: path.id, label: path.label, systemName: system.name, rank: path.rank };
    if (events.length === 0) return { ...rest, comb: null, words: 'No history of the station is here: whether it is silent can’t be told.' };
    const comb = combOf(own.map((event) => event.receivedAt.toISOString()), { intervalH: path.testIntervalMin === null ? null : path.testIntervalMin / 60, graceH: at.rules.signalGraceH, heardUntil: newest! }, combFrom, ctx.now.toISOString());
    if (comb === null) return { ...rest, comb: null, words: 'No interval was promised for it, and too few signals came to learn one: can’t be told.' };
    return { ...rest, comb: { intervalH: round(comb.intervalH), isLearned: comb.isLearned, state: comb.silence.state, missing: comb.missing, driftMinPerDay: comb.driftMinPerDay, teeth: [...comb.teeth] }, words: comb.words };
  });
}
