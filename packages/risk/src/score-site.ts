/** The score of a site and of a fleet. Rules SCO-1..12 in SPEC.md. */
import { buildChain, type Chain, LINKS } from './chain.js';
import type { ComponentClass, LinkName } from './component-classes.js';
import { type Cause, CAUSES, type ComponentState, type Gap, HOURS_PER_DAY, HOURS_PER_YEAR } from './component-state.js';
import { type Breakdown, breakdownFor, exposureOver } from './exposure.js';
import type { RiskModel } from './fit-model.js';
import { causeInWords, componentInWords, gapInWords, hoursInWords, LINK_WORDS, percent, placesInWords } from './sentences.js';
import { requireSite, requireWhen, type ScoreWhen, type SiteInput, type SystemInput } from './site-input.js';

/** One cause of one component; the shares of a site sum to 1. `componentId` starting 'assumed:' stands for a missing record. */
export interface Share {
  readonly systemId: string;
  readonly componentId: string;
  readonly class: ComponentClass;
  readonly cause: Cause;
  readonly share: number;
}

/** One link as drawn: `soundness` is the chance that it works, averaged to the next proof; null is can't tell. */
export interface ChainLink {
  readonly systemId: string;
  readonly link: LinkName;
  readonly soundness: number | null;
  /** Its share of the system's exposure, 0..1. */
  readonly share: number;
  readonly weakest: boolean;
  readonly sentence: string;
}

/** `exposureH`: unprotected hours from today until a proof on `day`; `totalToHorizonH`: those and what follows it up to the horizon. */
export interface CurvePoint {
  readonly day: number;
  readonly exposureH: number;
  readonly totalToHorizonH: number;
}

export interface SiteScore {
  readonly siteId: string;
  readonly modelVersion: string;
  /** Expected unprotected hours from today to the next planned proof, over all systems; of what is unknown the bad side is counted. */
  readonly exposureH: number;
  /** The same if every missing value turned out good; equal to exposureH when nothing is missing or when it was not asked for. */
  readonly exposureIfKnownGoodH: number;
  /** Pace: mean unprotected share until the next proof, times the hours of a year. */
  readonly exposurePerYearH: number;
  /** Expected unprotected hours of the 365 days from today, with proofs at the planned day and every `everyDays` after. */
  readonly yearAheadH: number;
  /** Pace weighted by the site's weight and life safety: what sites are ranked by. */
  readonly weightedPerYearH: number;
  /** 0 sound .. 100 unprotected: see scoreOf. */
  readonly score: number;
  readonly shares: readonly Share[];
  readonly reasons: readonly string[];
  readonly missing: readonly string[];
  readonly links: readonly ChainLink[];
  readonly curve: readonly CurvePoint[];
  readonly horizonDay: number;
}

export interface ScoreOptions {
  /** Whether to compute what each missing value would change (one more evaluation each). Default true; false in scoreSites. */
  readonly gaps?: boolean;
  /** Days of the curve; by default eight days from today to the horizon. An empty list leaves the curve out. */
  readonly curveDays?: readonly number[];
}

/** At least this far the curve looks, days. */
const LEAST_HORIZON_DAYS = 28;

/**
 * 0..100 on a logarithmic scale: 100 is never protected (weighted by 1), and every 20 points less is a tenth of the exposure; at or below
 * 1/100 000 of the time it is 0. So 80 is one hour in ten, 60 one in a hundred, 40 one in a thousand.
 */
export function scoreOf(weightedPerYearH: number): number {
  if (!(weightedPerYearH > 0)) return 0;
  return Math.max(0, Math.min(100, 100 + 20 * Math.log10(weightedPerYearH / HOURS_PER_YEAR)));
}

/** Scores one site. @throws RiskInputError */
export function scoreSite(model: RiskModel, site: SiteInput, when: ScoreWhen, options: ScoreOptions = {}): SiteScore {
  requireSite(site);
  requireWhen(when);
  const systems: readonly SystemInput[] = site.systems.length > 0 ? site.systems : [{ systemId: 'assumed:system', kind: 'not recorded', components: [] }];
  const chains = systems.map((system) => buildChain(model, site, system, when));
  const nextH = Math.max(1, when.nextProofDay - when.today) * HOURS_PER_DAY;
  const scored = chains.map((chain) => {
    const breakdown = breakdownFor(chain);
    return { chain, breakdown, exposureH: exposureOver(chain, 0, nextH, -1, breakdown) };
  });
  const exposureH = scored.reduce((sum, one) => sum + one.exposureH, 0);
  const weightedH = scored.reduce((sum, one) => sum + one.exposureH * one.chain.weight, 0);
  const perYear = HOURS_PER_YEAR / nextH;
  const horizonDay = Math.max(when.nextProofDay, when.today + LEAST_HORIZON_DAYS);
  const shares = siteShares(scored, weightedH);
  const askGaps = options.gaps ?? true;
  const { missing, ifGoodH } = gapsOf(model, site, systems, when, scored, exposureH, nextH, askGaps);
  return {
    siteId: site.siteId,
    modelVersion: model.version,
    exposureH,
    exposureIfKnownGoodH: ifGoodH,
    exposurePerYearH: exposureH * perYear,
    yearAheadH: scored.reduce((sum, one) => sum + yearAhead(one, nextH, when.everyDays ?? 365), 0),
    weightedPerYearH: weightedH * perYear,
    score: scoreOf(weightedH * perYear),
    shares,
    reasons: reasonsOf(scored, shares),
    missing,
    links: scored.flatMap((one) => linksOf(one, nextH, when)),
    curve: curveOf(chains, when, horizonDay, options.curveDays ?? defaultDays(when.today, horizonDay)),
    horizonDay,
  };
}

interface Scored {
  readonly chain: Chain;
  readonly breakdown: Breakdown;
  readonly exposureH: number;
}

function siteShares(scored: readonly Scored[], weightedH: number): Share[] {
  const shares: Share[] = [];
  for (const { chain, breakdown } of scored) {
    chain.states.forEach(({ input }, i) => {
      for (let c = 0; c < CAUSES.length; c++) {
        const share = ((breakdown.byCause[i * CAUSES.length + c] as number) * chain.weight) / weightedH;
        if (share > 0) shares.push({ systemId: chain.system.systemId, componentId: input.id, class: input.class, cause: CAUSES[c] as Cause, share });
      }
    });
  }
  return shares.sort((a, b) => b.share - a.share);
}

// Reasons name components, largest first, until nine tenths are explained; never more than five.
const EXPLAINED = 0.9;
const MOST_REASONS = 5;

function reasonsOf(scored: readonly Scored[], shares: readonly Share[]): string[] {
  const key = (systemId: string, componentId: string) => `${systemId}\n${componentId}`;
  const totals = new Map<string, { share: number; cause: Cause }>();
  const counts = new Map<ComponentClass, number>();
  const states = new Map<string, ComponentState>();
  for (const { chain } of scored) {
    for (const state of chain.states) {
      states.set(key(chain.system.systemId, state.input.id), state);
      counts.set(state.input.class, (counts.get(state.input.class) ?? 0) + 1);
    }
  }
  // Shares come largest first, so the first cause seen of a component is its main one.
  for (const { systemId, componentId, share, cause } of shares) {
    const at = key(systemId, componentId);
    const before = totals.get(at);
    totals.set(at, { share: (before?.share ?? 0) + share, cause: before?.cause ?? cause });
  }
  const reasons: string[] = [];
  let explained = 0;
  for (const [at, { share, cause }] of [...totals].sort((a, b) => b[1].share - a[1].share)) {
    if (reasons.length >= MOST_REASONS || explained >= EXPLAINED) break;
    const state = states.get(at) as ComponentState;
    const words = componentInWords(state, (counts.get(state.input.class) as number) > 1);
    const because = cause === 'outside-checks' || cause === 'reported-fault' ? `, mostly by ${causeInWords(CAUSES.indexOf(cause))}` : '';
    reasons.push(`${words}: ${percent(share)} of the exposure${because}`);
    explained += share;
  }
  return reasons;
}

function gapsOf(model: RiskModel, site: SiteInput, systems: readonly SystemInput[], when: ScoreWhen, scored: readonly Scored[], exposureH: number, nextH: number, ask: boolean): { missing: string[]; ifGoodH: number } {
  const missing: { words: string; less: number }[] = [];
  let ifGoodH = exposureH;
  scored.forEach(({ chain, exposureH: beforeH }, at) => {
    const system = systems[at] as SystemInput;
    const open = chain.states.flatMap((state, i) => state.gaps.map((gap) => ({ state, gap, i })));
    if (open.length === 0) return;
    const fixed = (some: readonly { gap: Gap; i: number }[]) => exposureOver(buildChain(model, site, withGood(system, chain, some, when), when), 0, nextH, -1, null);
    const places = open.filter(({ gap }) => gap.field === 'environment');
    if (places.length > 1) {
      const less = ask && exposureH > 0 ? Math.max(0, beforeH - fixed(places)) / exposureH : null;
      missing.push({ words: placesInWords(places.length, less), less: less ?? 0 });
    }
    for (const one of open) {
      if (one.gap.field === 'environment' && places.length > 1) continue;
      const less = ask && exposureH > 0 ? Math.max(0, beforeH - fixed([one])) / exposureH : null;
      missing.push({ words: gapInWords(one.state, one.gap, less), less: less ?? 0 });
    }
    if (ask) ifGoodH -= beforeH - fixed(open);
  });
  // What would change most is asked for first.
  return { missing: missing.sort((a, b) => b.less - a.less).map((one) => one.words), ifGoodH: Math.min(ifGoodH, exposureH) };
}

/** The system with the given gaps filled by good values; a missing component becomes one installed and proven today. */
function withGood(system: SystemInput, chain: Chain, some: readonly { gap: Gap; i: number }[], when: ScoreWhen): SystemInput {
  const components = [...system.components];
  for (const { gap, i } of some) {
    const known = components[i];
    if (known !== undefined && i < system.components.length) components[i] = { ...known, ...gap.good };
    else {
      const { input } = chain.states[i] as ComponentState;
      const id = `found:${input.id}`;
      components.push({ ...input, id, installedDay: when.today, lastProofDay: when.today, ageYears: 0, temperatureC: 20, marginDb: 20, coverage: 0.95, selfReported: true, supervisionH: 1 });
    }
  }
  return { ...system, components };
}

function linksOf({ chain, breakdown, exposureH }: Scored, nextH: number, when: ScoreWhen): ChainLink[] {
  const { systemId } = chain.system;
  const countsOnly = (at: number) => at < 4 || chain.soundersCount;
  let weakest = 0;
  for (let at = 1; at < LINKS.length; at++) if (countsOnly(at) && (breakdown.linkShareH[at] as number) > (breakdown.linkShareH[weakest] as number)) weakest = at;
  const links = LINKS.flatMap((link, at): ChainLink[] => {
    const members = chain.states.map((state, i) => ({ state, i })).filter(({ state }) => state.input.role === link);
    if (members.length === 0) return [];
    const share = exposureH > 0 ? (breakdown.linkShareH[at] as number) / exposureH : 0;
    const downH = breakdown.linkDownH[at] as number;
    const hours = ({ i }: { i: number }) => {
      let sum = 0;
      for (let c = 0; c < CAUSES.length; c++) sum += breakdown.byCause[i * CAUSES.length + c] as number;
      return sum;
    };
    const worst = members.reduce((a, b) => (hours(b) > hours(a) ? b : a));
    const why = countsOnly(at) ? `${percent(share)} of this system's exposure, first by ${componentInWords(worst.state, members.length > 1)}` : 'shown, not counted: the alarm reaches the station without it';
    return [{ systemId, link, soundness: 1 - Math.min(1, downH / nextH), share, weakest: at === weakest, sentence: `${LINK_WORDS[link]}: ${hoursInWords(downH)} down expected to the next proof; ${why}` }];
  });
  // The way of the alarm: the station stands between path and sounder.
  const sounder = links.findIndex((one) => one.link === 'sounder');
  links.splice(sounder < 0 ? links.length : sounder, 0, stationLink(chain.system, when));
  return links;
}

// A household system sends a signal at least monthly (NFPA 72 household table as restated in open text); silence beyond that says nothing.
const SILENT_DAYS = 31;

function stationLink({ systemId, lastHeardDay = null }: SystemInput, when: ScoreWhen): ChainLink {
  const base = { systemId, link: 'station', share: 0, weakest: false } as const;
  if (lastHeardDay === null) return { ...base, soundness: null, sentence: "station: can't tell, no signal from this system on record" };
  const days = Math.max(0, when.today - lastHeardDay);
  const ago = days === 0 ? 'today' : `${days} ${days === 1 ? 'day' : 'days'} ago`;
  if (days > SILENT_DAYS) return { ...base, soundness: null, sentence: `station: can't tell, this system was last heard ${ago}` };
  return { ...base, soundness: 1, sentence: `station: last heard this system ${ago}` };
}

function yearAhead({ chain, exposureH }: Scored, nextH: number, everyDays: number): number {
  const endH = 365 * HOURS_PER_DAY;
  let sum = nextH <= endH ? exposureH : exposureOver(chain, 0, endH, -1, null);
  for (let at = nextH; at < endH; at += everyDays * HOURS_PER_DAY) sum += exposureOver(chain, at, Math.min(at + everyDays * HOURS_PER_DAY, endH), at, null);
  return sum;
}

function defaultDays(today: number, horizonDay: number): number[] {
  const span = horizonDay - today;
  return [...new Set([0, 1, 3, 7, 14, 28, Math.round(span / 2), span])].filter((day) => day <= span).map((day) => today + day).sort((a, b) => a - b);
}

function curveOf(chains: readonly Chain[], when: ScoreWhen, horizonDay: number, days: readonly number[]): CurvePoint[] {
  const horizonH = (horizonDay - when.today) * HOURS_PER_DAY;
  let untilH = 0;
  let fromH = 0;
  return [...days].sort((a, b) => a - b).map((day) => {
    const atH = Math.max(0, day - when.today) * HOURS_PER_DAY;
    for (const chain of chains) untilH += exposureOver(chain, fromH, atH, -1, null);
    fromH = Math.max(fromH, atH);
    const after = chains.reduce((sum, chain) => sum + exposureOver(chain, atH, horizonH, atH, null), 0);
    return { day, exposureH: untilH, totalToHorizonH: untilH + after };
  });
}

/** Scores a fleet in order; `when` says for each site when it is looked at. Gaps are named but not recomputed, unless asked. */
export function scoreSites(model: RiskModel, sites: readonly SiteInput[], when: (site: SiteInput, at: number) => ScoreWhen, options: ScoreOptions = {}): SiteScore[] {
  const settled = { gaps: false, ...options };
  return sites.map((site, at) => scoreSite(model, site, when(site, at), settled));
}

/** Place of each value in the fleet, 0..100: the share of values below it, ties counted half. */
export function percentiles(values: readonly number[]): number[] {
  const sorted = Float64Array.from(values).sort();
  const below = (value: number, orEqual: boolean): number => {
    let [low, high] = [0, sorted.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      const at = sorted[middle] as number;
      if (at < value || (orEqual && at === value)) low = middle + 1;
      else high = middle;
    }
    return low;
  };
  return values.map((value) => (50 * (below(value, false) + below(value, true))) / sorted.length);
}
