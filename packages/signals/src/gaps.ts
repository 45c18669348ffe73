export type GapRule = {
  /** Promised hours between signals. */
  readonly intervalH: number;
  readonly graceH: number;
};

export type Gap = { readonly from: string; readonly to: string; readonly hours: number; readonly open: boolean };

export type PathSilence = {
  /** 'unknown' when the history holds nothing of this path: neither good nor silent. */
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
 * change nothing; signals after `now` are not counted.
 */
export function findGaps(heardAt: readonly string[], rule: GapRule, now: string): PathSilence {
  const [nowMs, limitH] = [Date.parse(now), rule.intervalH + rule.graceH];
  const given = heardAt.map((at) => Date.parse(at));
  const heard = [...new Set(given)].filter((ms) => ms <= nowMs).toSorted((a, b) => a - b);
  if (given.some(Number.isNaN) || Number.isNaN(nowMs)) throw new RangeError('findGaps: a time is no instant.');
  if (heard.length === 0) {
    return { state: 'unknown', lastHeardAt: null, silentH: null, longestH: null, limitH, gaps: [], availability: null, words: "Never heard in this history: can't tell." };
  }
  const ends = [...heard.slice(1), nowMs];
  const stretches = heard.map((from, i) => ({ from, to: ends[i]!, hours: (ends[i]! - from) / hourMs, open: i === heard.length - 1 }));
  const gaps = stretches.filter((s) => s.hours > limitH);
  const [last, silentH] = [heard.at(-1)!, (nowMs - heard.at(-1)!) / hourMs];
  const total = nowMs - heard[0]!;
  const without = gaps.reduce((sum, gap) => sum + (gap.hours - limitH) * hourMs, 0);
  const state = silentH > limitH ? 'silent' : 'heard';
  return {
    state, lastHeardAt: new Date(last).toISOString(), silentH, limitH, longestH: stretches.reduce((most, s) => Math.max(most, s.hours), 0),
    gaps: gaps.map((g) => ({ from: new Date(g.from).toISOString(), to: new Date(g.to).toISOString(), hours: g.hours, open: g.open })),
    availability: total === 0 ? 1 : 1 - without / total,
    words: state === 'silent' ? `Silent for ${silenceWords(silentH)}, limit ${trim(limitH)} h.` : `Heard ${silenceWords(silentH)} ago; ${gaps.length === 0 ? 'no gap' : `${gaps.length} gaps, now closed`}.`,
  };
}

/** '222.5 h = 9 d 6.5 h'; days only from two days on. */
export function silenceWords(hours: number): string {
  if (hours < 48) return `${trim(hours)} h`;
  const days = Math.floor(hours / 24);
  return `${trim(hours)} h = ${days} d ${trim(hours - days * 24)} h`;
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

export type AccountGap = { readonly account: string; readonly receiver: string; readonly from: string; readonly to: string };
export type StationIncident = { readonly receiver: string; readonly from: string; readonly to: string; readonly accounts: readonly string[]; readonly ofAccounts: number; readonly words: string };

/**
 * [SIG-34] Many accounts of one receiver silent together are one incident of the station, with their names. At least `share` of the
 * receiver's accounts (and three of them) must be silent at one and the same moment; the incident is the interval that they share.
 * What is not part of an incident comes back in `apart`.
 */
export function stationIncidents(gaps: readonly AccountGap[], accountsPerReceiver: Readonly<Record<string, number>>, share = 0.5): { readonly incidents: readonly StationIncident[]; readonly apart: readonly AccountGap[] } {
  const incidents: StationIncident[] = [];
  let apart = [...gaps];
  for (const receiver of [...new Set(gaps.map((g) => g.receiver))].toSorted()) {
    const total = accountsPerReceiver[receiver] ?? new Set(gaps.filter((g) => g.receiver === receiver).map((g) => g.account)).size;
    for (;;) {
      const together = mostTogether(apart.filter((g) => g.receiver === receiver));
      const accounts = [...new Set(together.map((g) => g.account))].toSorted();
      if (accounts.length < 3 || accounts.length < share * total) break;
      const from = together.map((g) => g.from).reduce((a, b) => (Date.parse(a) > Date.parse(b) ? a : b));
      const to = together.map((g) => g.to).reduce((a, b) => (Date.parse(a) < Date.parse(b) ? a : b));
      incidents.push({ receiver, from, to, accounts, ofAccounts: total, words: `${accounts.length} of ${total} accounts of receiver ${receiver} silent together from ${from} to ${to}: one incident of the station.` });
      apart = apart.filter((g) => !together.includes(g));
    }
  }
  return { incidents, apart };
}

/** The gaps that are open at the moment when most are. */
function mostTogether(gaps: readonly AccountGap[]): AccountGap[] {
  const edges = gaps.flatMap((gap) => [{ at: Date.parse(gap.from), step: 1 }, { at: Date.parse(gap.to), step: -1 }]).toSorted((a, b) => a.at - b.at || a.step - b.step);
  let [open, most, moment] = [0, 0, NaN];
  for (const { at, step } of edges) {
    open += step;
    if (open > most) [most, moment] = [open, at];
  }
  return gaps.filter((gap) => Date.parse(gap.from) <= moment && moment < Date.parse(gap.to));
}
