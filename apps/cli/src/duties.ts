import { readFileSync } from 'node:fs';
import { dutiesRoutes, type TogetherShown } from '@bellround/contracts';
import { listSites, planCatchUp, showTogether } from '@bellround/operations';
import { doTogether, localDate, standingOfDuty, timeline, type AccessCalendar, type DutyHistory, type Together, type TogetherWindow } from '@bellround/recurrence';
import { fileAt, required, text, wholeNumber, WrongUse, type Terminal, type TerminalAct } from './act.js';

function json(path: string): unknown {
  try {
    return JSON.parse(readFileSync(fileAt(path), 'utf8'));
  } catch (error) {
    if (error instanceof SyntaxError) throw new WrongUse(`${path} is no JSON: ${error.message}`);
    throw error;
  }
}

/** An object with these parts, or wrong use that names the file and what is missing. */
function withParts<T>(path: string, parts: readonly string[]): T {
  const given = json(path);
  const missing = parts.filter((part) => given === null || typeof given !== 'object' || !(part in given));
  if (missing.length > 0) throw new WrongUse(`${path} lacks ${missing.join(', ')}; accepted is an object with ${parts.join(', ')}`);
  return given as T;
}

export const windows: TerminalAct = {
  name: 'windows', usage: 'windows <history.json> --as-of <date>',
  words: 'Every window of one duty out of its history (cadence, from, basisOn, proofs, pauses, calendar), with how it ended and why it lies there.', takes: [1, 1],
  options: { 'as-of': { type: 'string', words: 'YYYY-MM-DD: facts after it are not looked at' } },
  run: async ({ words, options }) => {
    const history = withParts<DutyHistory>(words[0]!, ['cadence', 'from', 'proofs']);
    const asOf = localDate(required('as-of', options['as-of']), 'as-of');
    const found = timeline(history, asOf);
    const standing = standingOfDuty(history, asOf);
    const ended = (one: (typeof found)[number]): string => (one.outcome === null ? 'not met' : one.metOn === null ? one.outcome : `${one.outcome} ${one.metOn}${one.lateDays > 0 ? `, ${one.lateDays} days late` : ''}`);
    return { data: { asOf, standing, windows: found }, lines: [`on ${asOf}: ${standing}`, ...found.map((one) => `${one.opens}\t${one.due}\t${one.lapses}\t${ended(one)}\t${one.why}`)] };
  },
};

type Shown = Pick<TogetherShown, 'visits' | 'split' | 'apart' | 'cannotBeMet'>;

const run = (days: readonly string[]): string => (days.length === 0 ? 'no day' : days.length === 1 ? days[0]! : `${days[0]} to ${days.at(-1)} (${days.length} days)`);

function togetherLines(answer: Shown | Together): string[] {
  return [
    ...answer.visits.flatMap((visit, at) => [
      `visit ${at + 1}: ${visit.names.join(' + ')}`, `  days: ${run(visit.days)}; best ${visit.best}`, `  not before, because: ${visit.notBefore.rule}`, `  not after, because: ${visit.notAfter.rule}`,
      ...visit.givenAway.map((one) => `  gives away ${one.days} days of ${one.name}`)]),
    ...(answer.split ? [`or in two parts: silent ${run(answer.split.silent.days)}; sounding ${run(answer.split.sounding.days)}`] : []),
    ...(answer.apart ? [`one visit is impossible: ${answer.apart.first} and ${answer.apart.second}: ${answer.apart.why}`] : []),
    ...answer.cannotBeMet.flatMap((one) => [`cannot be met: ${one.name}: ${one.why}`, ...one.waysOut.map((way) => `  way out: ${way}`)]),
  ];
}

async function ofSite(key: string, options: Readonly<Record<string, string | boolean | undefined>>, terminal: Terminal) {
  const who = await terminal.house(text(options['company']));
  const { rows } = await terminal.perform(listSites, who, { search: key, limit: 500, offset: 0 });
  const site = rows.find((one) => one.key === key) ?? (rows.length === 1 ? rows[0] : undefined);
  if (!site) throw new WrongUse(rows.length === 0 ? `there is no site '${key}'` : `'${key}' fits ${rows.length} sites: ${rows.slice(0, 5).map((one) => `${one.key} (${one.name})`).join(', ')}; give the key`);
  const asOf = text(options['as-of']);
  const input = dutiesRoutes.doTogether.input.safeParse({ siteId: site.id, aheadDays: text(options['ahead']) ?? 120, ...(asOf ? { asOf } : {}) });
  if (!input.success) throw new WrongUse(input.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`).join('; '));
  const shown = await terminal.perform(showTogether, who, input.data);
  return { data: shown, lines: [`${shown.siteName}, from ${shown.asOf}; holidays: ${shown.access.holidays}`, ...(shown.suspended ? [shown.suspended] : []), ...(shown.windows.length === 0 ? ['no duty of a technician is open'] : []), ...togetherLines(shown), shown.caution] };
}

export const together: TerminalAct = {
  name: 'together', usage: 'together <windows.json> | together --site <key> [--as-of date] [--ahead days] [--company slug]',
  words: 'The fewest visits that meet windows together, the rule that limits each edge, and why not fewer. A file holds { windows, calendar }.', takes: [0, 1],
  options: { site: { type: 'string', words: 'key of a site of the house' }, 'as-of': { type: 'string', words: 'YYYY-MM-DD; today when left out' }, ahead: { type: 'string', words: 'days ahead in which windows may open (120)' }, company: { type: 'string', words: 'short name of the company, when there are several' } },
  run: async ({ words, options }, terminal) => {
    const site = text(options['site']);
    if (site !== undefined && words.length === 0) return ofSite(site, options, terminal);
    if (words.length === 0 || site !== undefined) throw new WrongUse('give a file, or --site with the key of a site');
    const given = withParts<{ windows: TogetherWindow[]; calendar?: AccessCalendar }>(words[0]!, ['windows']);
    const answer = doTogether(given.windows, given.calendar ?? {});
    return { data: answer, lines: togetherLines(answer) };
  },
};

export const catchUp: TerminalAct = {
  name: 'catch-up', usage: 'catch-up --hours <n> [--first-week monday] [--company slug]', words: 'Sites of which nothing is known, by risk, under a weekly capacity, with the week it ends.', takes: [0, 0],
  options: { hours: { type: 'string', words: 'hours on site given to it each week (20)' }, 'first-week': { type: 'string', words: 'a Monday; the next one when left out' }, company: { type: 'string', words: 'short name of the company, when there are several' } },
  run: async ({ options }, terminal) => {
    const firstWeek = text(options['first-week']);
    const input = dutiesRoutes.catchUp.input.safeParse({ weeklyMinutes: 60 * wholeNumber('hours', options['hours'], 20, 1, 1000), ...(firstWeek ? { firstWeek } : {}) });
    if (!input.success) throw new WrongUse(input.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`).join('; '));
    const plan = await terminal.perform(planCatchUp, await terminal.house(text(options['company'])), input.data);
    return {
      data: plan,
      lines: [plan.endsOn ? `${plan.sites} sites, ${plan.minutes} minutes: ends ${plan.endsOn}; ${plan.lapseBefore} lapse before their week` : 'nothing to catch up', ...(plan.withoutProgramme > 0 ? [`${plan.withoutProgramme} sites without a programme are in no plan`] : []),
        ...plan.weeks.flatMap((week) => [`week of ${week.weekStart}: ${week.minutes} minutes`, ...week.visits.map((visit) => `  ${visit.place}. ${visit.siteName}\t${visit.minutes} min\trisk ${visit.score === null ? 'can\'t tell' : visit.score.toFixed(1)}${visit.lapsesBefore ? `\tlapses ${visit.lapses} before its week` : ''}`)])],
    };
  },
};
