import { readFileSync } from 'node:fs';
import { Refusal, type Silences } from '@bellround/contracts';
import { listSilences } from '@bellround/operations';
import { accountSilence, compareZones, contactIdWords, findGaps, kindsOfDevice, letterWords, mapHistory, mappingProblems, stationIncidents, zip, type Arrival, type EventKind, type HistoryMapping, type StationEvent, type Step, type ZoneLists } from '@bellround/signals';
import { fileAt, required, text, wholeNumber, WrongUse, type TerminalAct } from './act.js';
import { csvRows, instant, numberCell } from './csv-rows.js';

const HISTORY = { mapping: { type: 'string' as const, words: "JSON file that says which column of the station's history holds what" } };

export const roundTrip: TerminalAct = {
  name: 'round-trip', usage: 'round-trip <steps.csv> <events.csv> [--mapping map.json] [--now <instant>] [--offset <seconds>]',
  words: 'Matches what was tripped on site with what the station heard, and says of each: right, wrong text, path, kind, zone or account, late, pending, not received; and what was heard twice or by nobody\'s doing.', takes: [2, 2],
  options: { ...HISTORY, now: { type: 'string', words: "the station's clock now; without it all is over and nothing is pending" }, offset: { type: 'string', words: "seconds the phone is slow, where the pairs don't tell" } },
  run: async ({ words, options }) => {
    const [stepsFile, eventsFile] = words as [string, string];
    const mapping = text(options['mapping']);
    const steps = (await csvRows(stepsFile, ['at', 'account', 'zone'])).map((row, i) => stepOf(stepsFile, row, i + 2));
    const arrivals = mapping === undefined
      ? (await csvRows(eventsFile, ['at', 'account', 'zone'])).map((row, i) => arrivalOf(eventsFile, row, i + 2))
      : (await history(eventsFile, mapping)).events.map((event, i): Arrival => ({ id: `row ${i + 1}`, at: event.receivedAt, account: event.account, zone: event.zone, text: event.text, path: event.path, restore: event.qualifier === 'restore', kind: event.kind }));
    const now = text(options['now']);
    const offset = text(options['offset']);
    if (offset !== undefined && !Number.isFinite(Number(offset))) throw new WrongUse(`--offset is '${offset}'; accepted is a number of seconds`);
    const zipped = zip(steps, arrivals, { ...(now === undefined ? {} : { now: instant('--now', 0, 'now', now) }), ...(offset === undefined ? {} : { knownOffsetS: Number(offset) }) });
    return { data: zipped, failed: zipped.steps.some((step) => step.verdict !== 'right' && step.verdict !== 'pending'), lines: zippedLines(zipped) };
  },
};

function zippedLines(zipped: ReturnType<typeof zip>): string[] {
  const counts = new Map<string, number>();
  for (const { verdict } of zipped.steps) counts.set(verdict, (counts.get(verdict) ?? 0) + 1);
  const tally = [...counts].map(([verdict, n]) => `${n} ${verdict}`);
  return [
    zipped.offsetS === null ? `phone's clock: can't tell from ${zipped.offsetPairs} pairs` : `phone's clock: ${Math.abs(zipped.offsetS)} s ${zipped.offsetS < 0 ? 'fast' : 'slow'} (+/- ${zipped.offsetSpreadS ?? 0} s, from ${zipped.offsetPairs} pairs)`,
    ...zipped.steps.map((step) => `${step.step}\t${step.verdict}\t${step.arrival ?? ''}\t${step.delayS === null ? '' : `${step.delayS} s`}\t${step.words}${step.waitsUntil === null ? '' : ` Until ${step.waitsUntil}.`}`),
    ...zipped.twice.map((id) => `${id}\ttwice`), ...zipped.unexplained.map((id) => `${id}\tunexplained: nobody tripped it`), ...zipped.routine.map((id) => `${id}\troutine of the account`),
    `${tally.join(', ')}${zipped.unexplained.length > 0 ? `, ${zipped.unexplained.length} unexplained` : ''}${zipped.twice.length > 0 ? `, ${zipped.twice.length} twice` : ''}`,
  ];
}

function stepOf(file: string, row: Record<string, string>, n: number): Step {
  const kinds = row['device_kind'] ? kindsOfDevice(row['device_kind']) : undefined;
  const pendingS = numberCell(file, n, 'pending_s', row['pending_s']);
  return {
    id: row['id'] || `row ${n}`, at: instant(file, n, 'at', row['at']), account: row['account']!, zone: row['zone']!, text: row['text'] || null, path: row['path'] || null,
    limitS: numberCell(file, n, 'limit_s', row['limit_s']) ?? 90, ...(pendingS === undefined ? {} : { pendingS }), ...(kinds === undefined ? {} : { kinds }),
  };
}

function arrivalOf(file: string, row: Record<string, string>, n: number): Arrival {
  const code = (row['code'] ?? '').toUpperCase();
  const kind: EventKind | undefined = code === '' ? undefined : contactIdWords[code]?.kind ?? letterWords[code]?.kind ?? 'unknown';
  const restore = ['yes', 'true', '1', 'r', 'restore'].includes((row['restore'] ?? '').toLowerCase()) || letterWords[code]?.restore === true;
  return { id: row['id'] || `row ${n}`, at: instant(file, n, 'at', row['at']), account: row['account']!, zone: row['zone'] || null, text: row['text'] || null, path: row['path'] || null, restore, ...(kind === undefined ? {} : { kind }) };
}

async function history(file: string, mappingFile: string): Promise<{ events: readonly StationEvent[]; problems: readonly string[]; repeated: number }> {
  const mapping = JSON.parse(readFileSync(fileAt(mappingFile), 'utf8')) as HistoryMapping;
  const rows = await csvRows(file, [], true);
  const wrong = mappingProblems(mapping, Object.keys(rows[0] ?? {}));
  if (wrong.length > 0) throw new Refusal('BadInput', wrong.join(' '));
  const { events, problems, repeated } = mapHistory(rows, mapping);
  return { events, repeated, problems: problems.map((one) => `row ${one.row + 1}, ${one.field}: '${one.value}': ${one.words}`) };
}

export const silence: TerminalAct = {
  name: 'silence', usage: 'silence [--company slug] [--days n] | silence <history.csv> --mapping map.json --interval <hours> [--grace <hours>] [--now <instant>] [--feed-until <instant>]',
  words: "Finds gaps of periodic signals, in the house's own data or in a station's history file, by account and path; accounts of a receiver that are silent together are one incident of the station.", takes: [0, 1],
  options: {
    ...HISTORY, interval: { type: 'string', words: 'promised hours between signals' }, grace: { type: 'string', words: 'hours of grace (1)' }, now: { type: 'string', words: 'as of; the last event of the history when not given' },
    'feed-until': { type: 'string', words: 'newest moment at which the history is known to be whole' }, company: { type: 'string', words: 'short name of the company, when there are several' }, days: { type: 'string', words: 'days looked at in the house (35)' }, any: { type: 'boolean', words: 'count every signal of a path, not only periodic ones' },
  },
  run: async ({ words, options }, terminal) => {
    if (words.length === 0) {
      const found = await terminal.perform(listSilences, await terminal.house(text(options['company'])), { days: wholeNumber('days', options['days'], 35, 1, 400) });
      return { data: found, failed: found.incidents.length + found.silent.length > 0, lines: houseLines(found) };
    }
    const { events, problems, repeated } = await history(words[0]!, required('mapping', options['mapping']));
    if (events.length === 0) throw new Refusal('BadInput', `${words[0]!} holds no event that reads: ${problems[0] ?? 'it is empty'}`);
    const hours = (name: string, given: string | undefined, usual?: number): number => {
      const value = given === undefined ? usual : Number(given);
      if (value === undefined || !Number.isFinite(value) || value < 0) throw new WrongUse(`--${name} is '${given ?? ''}'; accepted is a number of hours`);
      return value;
    };
    const until = text(options['feed-until']);
    const rule = { intervalH: hours('interval', text(options['interval'])), graceH: hours('grace', text(options['grace']), 1), ...(until === undefined ? {} : { heardUntil: instant('--feed-until', 0, 'instant', until) }) };
    const now = text(options['now']) === undefined ? events.at(-1)!.receivedAt : instant('--now', 0, 'instant', text(options['now']));
    return silenceAnswer(events, rule, now, options['any'] === true, problems, repeated);
  },
};

function houseLines(found: Silences): string[] {
  return [
    ...found.feeds.map((feed) => `receiver ${feed.receiver}: ${feed.paths} paths, history to ${feed.heardUntil ?? "nothing read: can't tell"}`),
    ...found.incidents.map((incident) => `${incident.words} ${incident.accounts.map((one) => one.accountNumber).join(', ')}`),
    ...found.silent.flatMap((account) => [`${account.accountNumber}, ${account.siteName}: ${account.words}`, ...account.paths.map((path) => `  ${path.label}: ${path.words}`)]),
    ...found.unknown.map((account) => `${account.accountNumber}, ${account.siteName}: ${account.words}`),
    `${found.counts.paths} paths: ${found.counts.heard} heard, ${found.counts.silent} silent, ${found.counts.unknown} can't tell; ${found.closed.length} closed gaps since ${found.sinceAt}`,
  ];
}

function silenceAnswer(events: readonly StationEvent[], rule: Parameters<typeof findGaps>[1], now: string, isAny: boolean, problems: readonly string[], repeated: number) {
  const byPath = new Map<string, { account: string; path: string; receiver: string; heard: string[] }>();
  for (const event of events) {
    const key = `${event.account}\t${event.path ?? '1'}`;
    const known = byPath.get(key) ?? { account: event.account, path: event.path ?? '1', receiver: event.receiver ?? 'all', heard: [] };
    if (isAny || event.periodic) known.heard.push(event.receivedAt);
    byPath.set(key, known);
  }
  const paths = [...byPath.values()].map((one) => ({ ...one, silence: findGaps(one.heard, rule, now) }));
  const perReceiver: Record<string, number> = {};
  for (const [receiver, accounts] of grouped(paths, (one) => one.receiver)) perReceiver[receiver] = new Set(accounts.map((one) => one.account)).size;
  const found = stationIncidents(paths.flatMap((one) => one.silence.gaps.map((gap) => ({ account: one.account, receiver: one.receiver, from: gap.from, to: gap.to }))), perReceiver);
  const accounts = [...grouped(paths, (one) => one.account)].map(([account, own]) => ({ account, ...accountSilence(own.map((one) => ({ path: one.path, silence: one.silence }))) }));
  const own = new Set(found.apart.map((gap) => gap.account));
  return {
    data: { now, accounts, incidents: found.incidents, apart: found.apart, problems, repeated }, failed: found.incidents.length > 0 || found.apart.length > 0,
    lines: [
      ...found.incidents.map((incident) => `${incident.words} ${incident.accounts.join(', ')}`),
      ...paths.filter((one) => own.has(one.account) && (one.silence.gaps.length > 0 || one.silence.state !== 'heard')).map((one) => `${one.account}, path ${one.path}: ${one.silence.words}`),
      ...accounts.filter((one) => own.has(one.account) && (one.silent.length > 0 || one.unknown.length > 0)).map((one) => `${one.account}: ${one.words}`),
      `${accounts.length} accounts, ${paths.length} paths, ${found.incidents.length} incidents of the station, ${found.apart.length} gaps of their own; ${repeated} rows repeated, ${problems.length} held`, ...problems.slice(0, 20),
    ],
  };
}

function grouped<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) groups.set(keyOf(item), [...(groups.get(keyOf(item)) ?? []), item]);
  return groups;
}

export const zoneLists: TerminalAct = {
  name: 'zone-lists', usage: 'zone-lists [--panel p.csv] [--ours o.csv] [--station s.csv]', words: "Compares the zones of the control unit, of our list and of the station's list (columns zone and text); a list that is not given is unknown.", takes: [0, 0],
  options: { panel: { type: 'string', words: "control unit's list" }, ours: { type: 'string', words: 'our list' }, station: { type: 'string', words: "station's list" } },
  run: async ({ options }) => {
    const read = async (name: 'panel' | 'ours' | 'station') => {
      const path = text(options[name]);
      return path === undefined ? null : (await csvRows(path, ['zone', 'text'])).map((row) => ({ zone: row['zone']!, text: row['text'] || null }));
    };
    const lists: ZoneLists = { panel: await read('panel'), ours: await read('ours'), station: await read('station') };
    const compared = compareZones(lists);
    return { data: compared, failed: compared.differences.length > 0, lines: [...compared.differences.flatMap((one) => [one.words, ...one.corrections.map((c) => `  ${c.words}`)]), compared.words] };
  },
};
