import { addDays, instantAt, type LocalDate } from '@bellround/recurrence';
import type { Day, DemoPath, DemoSite } from './fleet.js';
import { Draw } from './random.js';

/** One periodic signal as the station's history has it. */
export interface DemoSignal { accountId: string; accountNumber: string; receivedAt: string; path: string }
export interface DemoSignals {
  readonly signals: readonly DemoSignal[];
  /** which of the station's receivers each path reports to, by path */
  readonly receivers: ReadonlyMap<string, string>;
  /** what a reader should find in them */
  readonly told: { readonly accounts: number; readonly silentPaths: readonly string[]; readonly drifting: readonly string[]; readonly lostNight: Day; readonly lostAccounts: readonly string[] };
}

const DAYS = 28;
/** The night on which receiver 2 heard almost nobody: the station's own fault, not that of its accounts. */
const NIGHTS_AGO = 9;
/** Of twelve accounts eleven are in the history; of the twelfth nothing can be told. */
const LEFT_OUT = 12;
const SEED = 602;

/** Four weeks of nightly test signals: a few silent paths, a few drifting clocks, one night that many accounts share. */
export function makeSignals(sites: readonly DemoSite[], today: Day, timeZone: string): DemoSignals {
  const draw = new Draw(SEED);
  const signals: DemoSignal[] = [];
  const receivers = new Map<string, string>();
  const [silentPaths, drifting, lostAccounts]: [string[], string[], string[]] = [[], [], []];
  const lostNight = addDays(today, -NIGHTS_AGO);
  let accounts = 0;
  sites.forEach((site, at) => {
    const isSecond = at % 3 === 2;
    const paths = site.systems.flatMap((system) => system.paths);
    for (const path of paths) receivers.set(path.id, isSecond ? 'Receiver 2' : 'Receiver 1');
    if (at % LEFT_OUT === 7) return;
    accounts += 1;
    const isLost = isSecond && draw.chance(0.93);
    if (isLost) lostAccounts.push(site.accountNumber);
    for (const path of paths) {
      const minute = draw.int(65, 290);
      const drift = at % 40 === 11 && path.rank === 1 ? draw.between(1.5, 3.5) : 0;
      // The second path of some, so that the account is heard and half of it is not; of one account its only path.
      const silentFor = (at % 30 === 4 && path.rank === 2) || (at === 61 && path.rank === 1) ? draw.int(4, 15) : 0;
      if (drift > 0) drifting.push(path.externalKey);
      if (silentFor > 0) silentPaths.push(path.externalKey);
      for (let ago = DAYS; ago >= silentFor; ago -= 1) {
        const jitter = draw.between(-1, 1);
        const night = addDays(today, -ago);
        if (isLost && night === lostNight) continue;
        signals.push({ accountId: site.accountId, accountNumber: site.accountNumber, path: nameOf(path, paths), receivedAt: momentOf(night, minute + jitter + drift * (DAYS - ago), timeZone) });
      }
    }
  });
  return { signals, receivers, told: { accounts, silentPaths, drifting, lostNight, lostAccounts } };
}

/** A history names a path by its label; where an account has two of one label, by its key. */
const nameOf = (path: DemoPath, paths: readonly DemoPath[]): string => (paths.filter((one) => one.label === path.label).length > 1 ? path.externalKey : path.label);

function momentOf(night: LocalDate, minute: number, timeZone: string): string {
  const whole = Math.floor(minute);
  const two = (value: number) => String(value).padStart(2, '0');
  return instantAt(`${night}T${two(Math.floor(whole / 60))}:${two(whole % 60)}:${two(Math.floor((minute - whole) * 60))}`, timeZone);
}
