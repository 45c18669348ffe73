export type GapRule = {
  /** Promised hours between signals. */
  readonly intervalH: number;
  readonly graceH: number;
  /**
   * Newest moment at which the station's feed or history is known to have run. Silence after it is no silence of the path: the
   * feed may have stopped. Absent: the feed ran until now.
   */
  readonly heardUntil?: string;
};

export type Gap = { readonly from: string; readonly to: string; readonly hours: number; readonly open: boolean };

export type PathSilence = {
  /** 'unknown' when the history holds nothing of this path, or ended too long ago: neither good nor silent. */
  readonly state: 'heard' | 'silent' | 'unknown';
  readonly lastHeardAt: string | null;
  /** Hours from the last signal to now; null when never heard. */
  readonly silentH: number | null;
  readonly longestH: number | null;
  readonly limitH: number;
  /** Every stretch longer than the limit, oldest first; the last may be open. */
  readonly gaps: readonly Gap[];
  /** Share of the time looked at that lay within the limit of a signal, 0 to 1; null when unknown. */
  readonly availability: number | null;
  readonly words: string;
};

const hourMs = 3_600_000;

/**
 * [SIG-31] Silent stretches of one path. Instants are absolute, so a panel on local time gives 23 and 25 hours at the changes of the
 * clock and no false gap as long as the limit allows them. A stretch exactly as long as the limit is no gap. Duplicates and order
 * change nothing; signals after `now` are not counted. Where the feed ended earlier, a path silent at its end is silent, and one
 * heard at its end is unknown as soon as the limit has passed since: the feed that stops is never good and never a gap.
 */
export function findGaps(heardAt: readonly string[], rule: GapRule, now: string): PathSilence {
  const [clockMs, limitH] = [Date.parse(now), rule.intervalH + rule.graceH];
  const feedMs = rule.heardUntil === undefined ? clockMs : Date.parse(rule.heardUntil);
  const nowMs = Math.min(clockMs, feedMs);
  const given = heardAt.map((at) => Date.parse(at));
  const heard = [...new Set(given)].filter((ms) => ms <= nowMs).toSorted((a, b) => a - b);
  if (given.some(Number.isNaN) || Number.isNaN(clockMs) || Number.isNaN(feedMs)) throw new RangeError('findGaps: a time is no instant.');
  if (heard.length === 0) {
    return { state: 'unknown', lastHeardAt: null, silentH: null, longestH: null, limitH, gaps: [], availability: null, words: "Never heard in this history: can't tell." };
  }
  const ends = [...heard.slice(1), nowMs];
  const stretches = heard.map((from, i) => ({ from, to: ends[i]!, hours: (ends[i]! - from) / hourMs, open: i === heard.length - 1 }));
  const gaps = stretches.filter((s) => s.hours > limitH);
  const [last, silentH] = [heard.at(-1)!, (nowMs - heard.at(-1)!) / hourMs];
  const total = nowMs - heard[0]!;
  const without = gaps.reduce((sum, gap) => sum + (gap.hours - limitH) * hourMs, 0);
  const isStale = (clockMs - last) / hourMs > limitH;
  const state = silentH > limitH ? 'silent' : isStale ? 'unknown' : 'heard';
  return {
    state, lastHeardAt: new Date(last).toISOString(), silentH, limitH, longestH: stretches.reduce((most, s) => Math.max(most, s.hours), 0),
    gaps: gaps.map((g) => ({ from: new Date(g.from).toISOString(), to: new Date(g.to).toISOString(), hours: g.hours, open: g.open })),
    availability: total === 0 ? 1 : 1 - without / total,
    words: state === 'silent' ? `Silent for ${silenceWords(silentH)}, limit ${trim(limitH)} h.`
      : state === 'unknown' ? `The history ends ${new Date(nowMs).toISOString()}; since then can't tell. Last heard ${silenceWords((clockMs - last) / hourMs)} ago.`
      : `Heard ${silenceWords(silentH)} ago; ${gaps.length === 0 ? 'no gap' : `${gaps.length} gaps, now closed`}.`,
  };
}

/** '222.5 h = 9 d 6.5 h'; days only from two days on. */
export function silenceWords(hours: number): string {
  if (hours < 48) return `${trim(hours)} h`;
  const days = Math.floor(hours / 24);
  const rest = trim(hours - days * 24);
  return `${trim(hours)} h = ${days} d${rest === '0' ? '' : ` ${rest} h`}`;
}

function trim(value: number): string {
  return value.toFixed(1).replace(/\.0$/, '');
}

/** [SIG-32] Interval learned from a path's own history: the median stretch in hours; null with fewer than five signals. */
export function learnInterval(heardAt: readonly string[]): number | null {
  const heard = [...new Set(heardAt.map((at) => Date.parse(at)))].toSorted((a, b) => a - b);
  if (heard.length < 5) return null;
  const stretches = heard.slice(1).map((at, i) => (at - heard[i]!) / hourMs).toSorted((a, b) => a - b);
  const middle = Math.floor(stretches.length / 2);
  return stretches.length % 2 === 1 ? stretches[middle]! : (stretches[middle - 1]! + stretches[middle]!) / 2;
}

export type AccountSilence = { readonly silent: readonly string[]; readonly unknown: readonly string[]; readonly words: string };

const counts = ['none', 'one', 'two', 'three', 'four', 'five', 'six'];

/** [SIG-33] An account by its paths: 'one of two paths silent' even when the other is fine. */
export function accountSilence(paths: readonly { readonly path: string; readonly silence: PathSilence }[]): AccountSilence {
  const silent = paths.filter((p) => p.silence.state === 'silent').map((p) => p.path);
  const unknown = paths.filter((p) => p.silence.state === 'unknown').map((p) => p.path);
  const count = (n: number) => counts[n] ?? `${n}`;
  const total = `${count(paths.length)} ${paths.length === 1 ? 'path' : 'paths'}`;
  const parts = [
    ...(silent.length > 0 ? [`${count(silent.length)} of ${total} silent`] : []),
    ...(unknown.length > 0 ? [`${count(unknown.length)} of ${total} can't tell`] : []),
  ];
  return { silent, unknown, words: paths.length === 0 ? "no path known: can't tell" : parts.length === 0 ? `${total} heard` : parts.join(', ') };
}

