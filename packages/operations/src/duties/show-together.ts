import { hoursInWords, Refusal, type TogetherShown, type TogetherWindowShown } from '@bellround/contracts';
import { addDays, cadenceInWords, doTogether, governing, MOST_TOGETHER, standingOn, type Cadence, type DutyWindow, type LocalDate, type Together } from '@bellround/recurrence';
import { regionOf } from '../access-days.js';
import type { Act } from '../perform.js';
import { SET_UP_MIN } from '../planning/steps.js';
import { localDayOf, own } from '../steps.js';
import { windowsOf, type DutyCase } from '../standing/steps.js';
import { CAUTION, isRolling, minutesOnce, nameOnce, refusing, regionWords, sitesOfDuties, suspensionOn, type SiteOfDuties } from './steps.js';

/** A window that ends nowhere is looked at this far. */
const FARTHEST_DAYS = 800;

interface OpenDuty { readonly found: DutyCase; readonly subject: string; readonly regime: string; readonly window: DutyWindow; readonly opens: LocalDate; readonly lapses: LocalDate; readonly overdue: boolean }
interface Group extends TogetherWindowShown { readonly found: readonly DutyCase[] }

/**
 * The fewest visits that meet the open duties of a site, with the rule that limits each on both sides, the pair that makes
 * one visit impossible, and what a person can do where no day fits.
 */
export const showTogether: Act<{ siteId: string; asOf?: string | undefined; aheadDays: number }, TogetherShown> = async (ctx, input) => {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const asOf = (input.asOf ?? localDayOf(ctx.now, site.timeZone)) as LocalDate;
  const until = addDays(asOf, input.aheadDays);
  const { company, sites } = await sitesOfDuties(ctx, [site.id]);
  const loaded = sites.get(site.id)!;
  const suspension = suspensionOn(loaded.blackouts, asOf);
  const { open, leftOut } = openDuties(loaded, asOf, until);
  const groups = suspension ? [] : grouped(open).sort((a, b) => (a.lapses < b.lapses ? -1 : a.lapses > b.lapses ? 1 : 0));
  const looked = groups.slice(0, MOST_TOGETHER);
  const answer = refusing(() => doTogether(looked.map((one) => ({
    name: one.name, opens: one.opens as LocalDate, lapses: one.lapses as LocalDate, noisy: one.sounds, ...(one.overdue ? { overdue: true } : {}), ...(one.rolling ? { rollingDue: one.due as LocalDate } : {}) })), loaded.calendar));
  const region = regionOf(loaded.days, company);
  return {
    siteId: site.id, siteName: site.name, asOf, until, caution: CAUTION,
    suspended: suspension ? `suspended from ${suspension.from}${suspension.to ? ` to ${suspension.to}` : ' until further notice'} (${suspension.reason}; ${suspension.authority}): nothing is owed` : null,
    access: {
      hours: hoursInWords(loaded.days.accessHours), noise: loaded.days.noiseHours === null ? null : hoursInWords(loaded.days.noiseHours),
      holidays: regionWords(region), holidayRegion: region, ownRegion: loaded.days.region,
    },
    windows: looked.map(({ found: _, ...shown }) => shown),
    leftOut: { ...leftOut, later: leftOut.later + groups.slice(MOST_TOGETHER).reduce((sum, one) => sum + one.duties.length, 0) },
    ...answerShown(answer, looked),
  };
};

function openDuties(site: SiteOfDuties, asOf: LocalDate, until: LocalDate): { open: OpenDuty[]; leftOut: TogetherShown['leftOut'] } {
  const leftOut = { remotely: 0, occupant: 0, later: 0 };
  const open: OpenDuty[] = [];
  const farthest = addDays(asOf, FARTHEST_DAYS);
  for (const { found, named } of site.duties) {
    const window = governing(windowsOf(found.history, asOf), asOf);
    if (window === null) continue;
    const standing = standingOn(window, asOf);
    if (found.rule.by === 'occupant') leftOut.occupant += 1;
    else if (found.rule.remotely) leftOut.remotely += 1;
    else if (window.opens > until) leftOut.later += 1;
    else {
      const opens = window.opens > asOf ? window.opens : asOf;
      const lapses = window.lapses < asOf ? (until > opens ? until : opens) : window.lapses < farthest ? window.lapses : farthest;
      open.push({ found, subject: named.subject, regime: named.regime, window, opens, lapses, overdue: standing === 'lapsed' || standing === 'cant-tell' });
    }
  }
  return { open, leftOut };
}

/** Duties of one regime with the same window are done together or not at all: one row each. */
function grouped(open: readonly OpenDuty[]): Group[] {
  const groups = new Map<string, OpenDuty[]>();
  for (const one of open) {
    const { rule } = one.found;
    const key = [one.regime, one.opens, one.lapses, one.window.due, rule.sounds, isRolling(one.found), one.overdue].join(' ');
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  const taken = new Set<string>();
  return [...groups.values()].map((list): Group => {
    const first = list[0]!;
    const titles = [...new Set(list.map((one) => one.found.rule.title))];
    const what = list.length === 1 ? titles[0]! : titles.length === 1 ? `${titles[0]!} (${list.length})` : `${titles[0]!} and ${list.length - 1} more`;
    return {
      name: nameOnce(taken, `${first.regime.split(',')[0]!}: ${what}`), regime: first.regime, opens: first.opens, due: first.window.due, lapses: first.lapses, sounds: first.found.rule.sounds, rolling: isRolling(first.found) && !first.overdue, overdue: first.overdue,
      cadence: [...new Set(list.map((one) => cadenceInWords(one.found.rule.cadence as Cadence)))].join('; '), minutes: minutesOnce(list.map((one) => one.found)),
      duties: list.map((one) => ({ id: one.found.duty.id, title: one.found.rule.title, subject: one.subject, why: one.window.why })), found: list.map((one) => one.found),
    };
  });
}

function answerShown(answer: Together, groups: readonly Group[]): Pick<TogetherShown, 'visits' | 'split' | 'apart' | 'cannotBeMet'> {
  const named = new Map(groups.map((one) => [one.name, one]));
  const part = (one: { names: readonly string[]; days: readonly LocalDate[] }) => ({ names: [...one.names], days: [...one.days] });
  const edge = (one: { rule: string; because: readonly string[] }) => ({ rule: one.rule, because: [...one.because] });
  return {
    visits: answer.visits.map((visit) => ({
      ...part(visit), best: visit.best, minutes: SET_UP_MIN + minutesOnce(visit.names.flatMap((name) => named.get(name)!.found)), notBefore: edge(visit.notBefore), notAfter: edge(visit.notAfter),
      givenAway: visit.givenAway.map((one) => ({ ...one, cadence: named.get(one.name)!.cadence })),
    })),
    split: answer.split ? { silent: part(answer.split.silent), sounding: part(answer.split.sounding) } : null,
    apart: answer.apart ? { ...answer.apart, further: [...answer.apart.further], waysOut: [...answer.apart.waysOut] } : null, cannotBeMet: answer.cannotBeMet.map((one) => ({ ...one, waysOut: [...one.waysOut] })),
  };
}
