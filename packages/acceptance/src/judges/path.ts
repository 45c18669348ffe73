import { type Case, notEnough, num, numberReading, type Outcome, round, textReading, worst, yesNo } from '../outcome.js';
import { reportingLimitS, reportingTimes } from '../path-categories.js';
import { cellularClass, dbmOfCsq, lteClass, type LevelClass, wifiClass } from '../radio/level.js';

/** [ACC-33] One path proven by a round trip: heard at the station, in time, with a level that will hold. */
export function judgePath(it: Case): Outcome {
  const received = yesNo(it, 'receivedAtStation');
  const cellular = it.facts.path?.technology === 'cellular';
  if (received === null) return notEnough('Whether the station received it is not recorded; half a check.', ['receivedAtStation']);
  if (!received) {
    const unregistered = cellular && it.facts.path?.registered === false;
    return {
      verdict: 'fail',
      reason: unregistered
        ? 'Not received at the station: the account is not yet registered there on this path. No radio fault; excusable as not yet registered.'
        : 'Not received at the station on this path.',
      notes: levelPart(it) === null ? [] : [levelPart(it)!.reason],
    };
  }
  const parts = [timePart(it), levelPart(it)].filter((part) => part !== null);
  return worst(parts as [Outcome, ...Outcome[]]);
}

function timePart(it: Case): Outcome {
  const seconds = numberReading(it, 'roundTripS');
  if (seconds === null) return notEnough('Received; the seconds it took were not read.', ['roundTripS']);
  const own = it.facts.path?.roundTripLimitS;
  const limit = own ?? Number(it.definition.params['roundTripLimitS'] ?? 90);
  const margin = limit - seconds;
  return {
    verdict: margin < 0 ? 'fail' : margin < limit * 0.1 ? 'marginal' : 'pass',
    reason: `Received after ${num(seconds, 1)} s, limit ${num(limit, 1)} s: ${margin < 0 ? `late by ${num(-margin, 1)}` : `${num(margin, 1)} to spare`} s.`,
    margin: { value: round(margin, 2), unit: 's' },
    limitSource: own === undefined ? 'company rule' : 'limit set for this path (company rule)',
  };
}

function levelPart(it: Case): Outcome | null {
  const found = levelClass(it);
  if (found === null) return null;
  const weak = found.words === 'weak' || found.words === 'none';
  return {
    verdict: weak ? 'marginal' : 'pass',
    reason: `Level ${num(found.dbm, 1)} dBm (${found.words}).`,
    limitSource: found.source,
    notes: weak ? ['It got through this time; a weak level fails when it is needed. Move the aerial or change the network.'] : [`Level ${num(found.dbm, 1)} dBm: ${found.words}.`],
  };
}

function levelClass(it: Case): { dbm: number; words: LevelClass; source: string } | null {
  const kind = textReading(it, 'levelKind');
  const raw = numberReading(it, 'level');
  if (raw === null) return null;
  const technology = it.facts.path?.technology;
  if (kind === 'csq') {
    if (!Number.isInteger(raw) || raw < 0 || (raw > 31 && raw !== 99)) return null;
    const dbm = dbmOfCsq(raw);
    return dbm === null ? null : { dbm, words: cellularClass(dbm), source: '3GPP TS 27.007 +CSQ (SEEN-R), classes common practice' };
  }
  if (kind === 'rsrp') return { dbm: raw, words: lteClass(raw), source: 'LTE RSRP classes (SEEN-R: one published table, others differ)' };
  if (technology === 'wifi') return { dbm: raw, words: wifiClass(raw), source: 'Wi-Fi level classes (SEEN-R: four pages)' };
  return technology === 'cellular' || technology === 'radio' ? { dbm: raw, words: cellularClass(raw), source: 'common practice' } : null;
}

/** [ACC-34] One path cut: its loss is reported by the other within the category's time, and its return too; both directions. */
export function judgeChangeover(it: Case): Outcome {
  const asked = ['primaryLossReported', 'primaryRestored', 'alternateLossReported', 'alternateRestored'] as const;
  const silent = asked.filter((key) => yesNo(it, key) === false);
  const missing = asked.filter((key) => yesNo(it, key) === null);
  const parts: Outcome[] = [];
  if (silent.length > 0) parts.push({ verdict: 'fail', reason: `Not reported: ${silent.map(wordsOf).join(', ')}. A loss nobody hears of is the fault.` });
  if (missing.length > 0) parts.push(notEnough(`Not recorded: ${missing.map(wordsOf).join(', ')}.`, missing));
  parts.push(reportPart(it, 'primary'), reportPart(it, 'alternate'));
  return worst(parts as [Outcome, ...Outcome[]]);
}

function wordsOf(key: string): string {
  const words: Readonly<Record<string, string>> = {
    primaryLossReported: 'loss of the first path', primaryRestored: 'return of the first path',
    alternateLossReported: 'loss of the second path', alternateRestored: 'return of the second path',
  };
  return words[key] ?? key;
}

function reportPart(it: Case, order: 'primary' | 'alternate'): Outcome {
  const key = order === 'primary' ? 'primaryReportS' : 'alternateReportS';
  const seconds = numberReading(it, key);
  const name = order === 'primary' ? 'first path' : 'second path';
  if (seconds === null) return notEnough(`The time to report the loss of the ${name} was not read.`, [key]);
  const category = it.facts.path?.category;
  const limit = category === undefined ? Number(it.definition.params['reportLimitS'] ?? 200) : reportingLimitS(category, order);
  if (limit === null) return { verdict: 'pass', reason: `Category ${category} has no ${name}.` };
  const margin = limit - seconds;
  return {
    verdict: margin < 0 ? 'fail' : 'pass',
    reason: `Loss of the ${name} reported after ${num(seconds, 1)} s, limit ${num(limit, 1)} s: ${margin < 0 ? `late by ${num(-margin, 1)} s` : 'in time'}.`,
    margin: { value: round(margin, 2), unit: 's' },
    limitSource: category === undefined ? 'trouble within 200 s: NFPA 72, 26.6.4 (SEEN-R)' : `EN 50136-1:2012, category ${category} (${reportingTimes[category].provenance})`,
    notes: category === undefined ? ['The category of the path is not known: held against 200 s.'] : [],
  };
}

/** [ACC-45] One path cut: shown at the control unit in time, noticed by the station within its category's time, and back again. */
export function judgePathSupervision(it: Case): Outcome {
  const [shown, noticed, restored] = [yesNo(it, 'shownAtPanel'), yesNo(it, 'noticedAtStation'), yesNo(it, 'restored')];
  const silent = [...(shown === false ? ['not shown at the control unit'] : []), ...(noticed === false ? ['not noticed at the station'] : []), ...(restored === false ? ['its return not shown'] : [])];
  const missing = [...(shown === null ? ['shownAtPanel'] : []), ...(noticed === null ? ['noticedAtStation'] : []), ...(restored === null ? ['restored'] : [])];
  const parts = [
    ...(silent.length > 0 ? [{ verdict: 'fail', reason: `Path cut: ${silent.join(', ')}. A loss nobody hears of is the fault.` } as const] : []),
    ...(missing.length > 0 ? [notEnough(`Not recorded: ${missing.map((key) => ({ shownAtPanel: 'whether it was shown', noticedAtStation: "the station's word", restored: 'its return' })[key]).join(', ')}.`, missing)] : []),
    ...[panelPart(it), noticedPart(it)].filter((part) => part !== null),
  ];
  return parts.length === 0 ? { verdict: 'pass', reason: 'Loss shown, noticed and back again; no times were read.' } : worst(parts as [Outcome, ...Outcome[]]);
}

function panelPart(it: Case): Outcome | null {
  const seconds = numberReading(it, 'panelS');
  if (seconds === null) return null;
  const limit = Number(it.definition.params['panelLimitS'] ?? 200);
  return {
    verdict: seconds > limit ? 'fail' : 'pass', reason: `Shown at the control unit after ${num(seconds)} s, limit ${num(limit)} s${seconds > limit ? `: late by ${num(seconds - limit)} s` : ''}.`,
    margin: { value: round(limit - seconds, 2), unit: 's' }, limitSource: 'trouble annunciated at the premises within 200 s: NFPA 72, 26.6.4 (SEEN-R)',
  };
}

function noticedPart(it: Case): Outcome | null {
  const seconds = numberReading(it, 'noticedS');
  if (seconds === null) return null;
  const { category, order } = it.facts.path ?? {};
  const byCategory = category === undefined ? null : reportingLimitS(category, order ?? 'primary');
  const limit = byCategory ?? Number(it.definition.params['stationLimitS'] ?? 3600);
  return {
    verdict: seconds > limit ? 'fail' : 'pass', reason: `Noticed at the station after ${num(seconds)} s, limit ${num(limit)} s${seconds > limit ? `: late by ${num(seconds - limit)} s` : ''}.`,
    margin: { value: round(limit - seconds, 2), unit: 's' },
    limitSource: byCategory === null ? 'single technology known within 60 min: NFPA 72, 26.6.3, 2022 (SEEN-R)' : `EN 50136-1:2012, category ${category} (${reportingTimes[category!].provenance})`,
    notes: byCategory === null ? ['The category of the path is not known: held against 60 min.'] : [],
  };
}

/** [ACC-35] Periodic signal of a path from the station's history: no silence longer than interval and grace. */
export function judgePeriodicSignal(it: Case): Outcome {
  const [since, longest, promised] = [numberReading(it, 'hoursSinceLast'), numberReading(it, 'longestGapH'), it.facts.periodic];
  if (promised === undefined) return notEnough('How often this path should report is not known.', ['periodic']);
  if (since === null) return notEnough("The station's history says nothing of this path: unknown, not silent and not good.", ['hoursSinceLast']);
  const limit = promised.intervalH + promised.graceH;
  const gap = Math.max(since, longest ?? since);
  const margin = limit - gap;
  const silent = since > limit;
  return {
    verdict: margin < 0 ? 'fail' : 'pass',
    reason: silent
      ? `Silent for ${num(since, 1)} h, limit ${num(limit, 1)} h: over by ${num(since - limit, 1)} h.`
      : `Longest silence ${num(gap, 1)} h, limit ${num(limit, 1)} h${margin < 0 ? `: over by ${num(-margin, 1)} h` : ''}; last heard ${num(since, 1)} h ago.`,
    margin: { value: round(margin, 3), unit: 'h' }, limitSource: 'interval promised for this path (contract or company rule)',
  };
}
