export type AccountGap = { readonly account: string; readonly receiver: string; readonly from: string; readonly to: string };

export type StationIncident = {
  /** The receivers touched, joined by ' and '. */
  readonly receiver: string;
  readonly receivers: readonly string[];
  readonly from: string;
  readonly to: string;
  readonly accounts: readonly string[];
  readonly ofAccounts: number;
  readonly words: string;
};

export type IncidentOptions = {
  /** Least share of a receiver's accounts that must be silent at one moment; 0.5 when absent. */
  readonly share?: number;
  /** Least number of accounts; 3 when absent. */
  readonly least?: number;
  /** A member whose own silence outlasts the incident by more than this comes back in `apart` with what is left of it; 1 h when absent. */
  readonly tailH?: number;
};

export type IncidentsFound = { readonly incidents: readonly StationIncident[]; readonly apart: readonly AccountGap[] };

const hourMs = 3_600_000;

/**
 * [SIG-34] Many accounts of one receiver silent together are one incident of the station, with their names. At least `share` of the
 * receiver's accounts (and `least` of them) must be silent at one and the same moment; the incident lasts from the middle of their
 * beginnings to the middle of their ends. Incidents of several receivers that overlap for most of their time have one cause and
 * become one. What is no part of an incident comes back in `apart`.
 */
export function stationIncidents(gaps: readonly AccountGap[], accountsPerReceiver: Readonly<Record<string, number>>, options: number | IncidentOptions = {}): IncidentsFound {
  const { share = 0.5, least = 3, tailH = 1 } = typeof options === 'number' ? { share: options } : options;
  const single: Found[] = [];
  let apart = [...gaps];
  for (const receiver of [...new Set(gaps.map((g) => g.receiver))].toSorted()) {
    const total = accountsPerReceiver[receiver] ?? new Set(gaps.filter((g) => g.receiver === receiver).map((g) => g.account)).size;
    for (;;) {
      const together = mostTogether(apart.filter((g) => g.receiver === receiver));
      const accounts = [...new Set(together.map((g) => g.account))].toSorted();
      if (accounts.length < least || accounts.length < share * total) break;
      const from = middle(together.map((g) => Date.parse(g.from)));
      const to = middle(together.map((g) => Date.parse(g.to)));
      single.push({ receivers: [receiver], from, to, accounts, ofAccounts: total });
      apart = [...apart.filter((g) => !together.includes(g)), ...together.flatMap((gap) => tailOf(gap, to, tailH))];
    }
  }
  return { incidents: joined(single).map(told), apart };
}

type Found = { readonly receivers: readonly string[]; readonly from: number; readonly to: number; readonly accounts: readonly string[]; readonly ofAccounts: number };

/** What an account's silence has left after the incident: its own fault, not the station's. */
function tailOf(gap: AccountGap, incidentTo: number, tailH: number): AccountGap[] {
  return Date.parse(gap.to) - incidentTo > tailH * hourMs ? [{ ...gap, from: new Date(incidentTo).toISOString() }] : [];
}

/** Incidents that share more than half of the shorter one's time are one; asked again until none joins. */
function joined(found: readonly Found[]): Found[] {
  const left = found.toSorted((a, b) => a.from - b.from || (a.receivers[0]! < b.receivers[0]! ? -1 : 1));
  for (let i = 0; i < left.length; i += 1) {
    for (let j = i + 1; j < left.length; j += 1) {
      const [a, b] = [left[i]!, left[j]!];
      const overlap = Math.min(a.to, b.to) - Math.max(a.from, b.from);
      if (overlap <= 0.5 * Math.min(a.to - a.from, b.to - b.from)) continue;
      const isSameReceiver = a.receivers.some((receiver) => b.receivers.includes(receiver));
      if (isSameReceiver) continue;
      left[i] = { receivers: [...a.receivers, ...b.receivers].toSorted(), from: Math.min(a.from, b.from), to: Math.max(a.to, b.to), accounts: [...new Set([...a.accounts, ...b.accounts])].toSorted(), ofAccounts: a.ofAccounts + b.ofAccounts };
      left.splice(j, 1);
      j = i;
    }
  }
  return left;
}

function told(found: Found): StationIncident {
  const [from, to] = [new Date(found.from).toISOString(), new Date(found.to).toISOString()];
  const receiver = found.receivers.join(' and ');
  const of = found.receivers.length === 1 ? `receiver ${receiver}` : `receivers ${receiver}`;
  return { ...found, receiver, from, to, words: `${found.accounts.length} of ${found.ofAccounts} accounts of ${of} silent together from ${from} to ${to}: one incident of the station.` };
}

function middle(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor((values.length - 1) / 2)]!;
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
