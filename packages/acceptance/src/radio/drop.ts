import type { LocalDate } from '../definition.js';
import { round } from '../outcome.js';

export type MarginPoint = { readonly on: LocalDate; readonly marginDb: number; readonly levelDbm?: number; readonly noiseDbm?: number };

export type Step = {
  readonly fromOn: LocalDate;
  readonly toOn: LocalDate;
  readonly dropDb: number;
  readonly cause: 'noise rose' | 'level fell' | 'both' | "can't tell";
};

/** [ACC-31] A larger fall between two visits than this is a step (common practice), dB. */
export const STEP_DB = 6;

/**
 * [ACC-31] A one-off drop of the margin larger than `thresholdDb` between two neighbouring visits: something changed between
 * those dates. The margin counts, not the level: a steady level in rising noise is a drop. 6 dB is common practice.
 * The drop must also stand out from the series' own usual step, so that a steep even decline is a trend and no step.
 */
export function stepsDown(points: readonly MarginPoint[], thresholdDb = STEP_DB): Step[] {
  const ordered = points.toSorted((a, b) => (a.on < b.on ? -1 : 1));
  const drops = ordered.slice(1).map((point, i) => ordered[i]!.marginDb - point.marginDb);
  return drops.flatMap((dropDb, i) => {
    const others = drops.filter((_, j) => j !== i).map((d) => Math.max(0, d)).toSorted((a, b) => a - b);
    const usual = others.length === 0 ? 0 : others[Math.floor(others.length / 2)]!;
    if (dropDb - usual <= thresholdDb) return [];
    const [before, after] = [ordered[i]!, ordered[i + 1]!];
    return [{ fromOn: before.on, toOn: after.on, dropDb: round(dropDb, 3), cause: causeOf(before, after, dropDb) }];
  });
}

/** [ACC-31] The drop that today's reading ends, if it ends one. */
export function dropNow(history: readonly MarginPoint[], now: MarginPoint, thresholdDb = STEP_DB): Step | null {
  return stepsDown([...history.filter((point) => point.on < now.on), now], thresholdDb).find((step) => step.toOn === now.on) ?? null;
}

function causeOf(before: MarginPoint, after: MarginPoint, dropDb: number): Step['cause'] {
  const lost = before.levelDbm !== undefined && after.levelDbm !== undefined ? before.levelDbm - after.levelDbm : null;
  const risen = before.noiseDbm !== undefined && after.noiseDbm !== undefined ? after.noiseDbm - before.noiseDbm : null;
  if (lost === null && risen === null) return "can't tell";
  const [levelShare, noiseShare] = [lost ?? dropDb - risen!, risen ?? dropDb - lost!];
  if (noiseShare >= 0.75 * dropDb) return 'noise rose';
  return levelShare >= 0.75 * dropDb ? 'level fell' : 'both';
}

/** `receiver` tells receivers apart; its name is for words, since two may have one name. */
export type DeviceDrop = { readonly device: string; readonly receiver: string; readonly receiverName?: string; readonly fromOn: LocalDate; readonly toOn: LocalDate; readonly dropDb: number };
export type DropFinding = {
  readonly kind: 'receiver' | 'device';
  readonly receiver: string;
  readonly devices: readonly string[];
  readonly fromOn: LocalDate;
  readonly toOn: LocalDate;
  readonly medianDropDb: number;
  readonly words: string;
};

/** [ACC-32] So many devices of one receiver make a drop the receiver's (common practice). */
export const LEAST_TOGETHER = 3;
/** [ACC-32] Drops within this of their median are alike, dB (common practice). */
export const SPREAD_DB = 4;

/** [ACC-32] With how many of the `others` on its receiver a drop goes together: alike within the spread of their median. 0: it stands alone. */
export function fellWith(dropDb: number, others: readonly number[]): number {
  const middle = medianOf([dropDb, ...others]);
  const alike = others.filter((drop) => Math.abs(drop - middle) <= SPREAD_DB).length;
  return Math.abs(dropDb - middle) <= SPREAD_DB && alike + 1 >= LEAST_TOGETHER ? alike : 0;
}

function medianOf(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)]!;
}

/**
 * [ACC-32] Drops of several devices on one receiver in overlapping intervals and of like size (within `spreadDb` of their
 * median) are one finding on the receiver or its noise, not one per device. At least `least` devices; fewer stay apart.
 */
export function dropFindings(drops: readonly DeviceDrop[], least = LEAST_TOGETHER, spreadDb = SPREAD_DB): DropFinding[] {
  const receivers = [...new Set(drops.map((drop) => drop.receiver))];
  return receivers.flatMap((receiver) => {
    const all = drops.filter((drop) => drop.receiver === receiver);
    const middle = medianOf(all.map((d) => d.dropDb));
    const alike = all.filter((d) => Math.abs(d.dropDb - middle) <= spreadDb);
    const from = alike.map((d) => d.fromOn).toSorted().at(-1)!;
    const to = alike.map((d) => d.toOn).toSorted()[0]!;
    const together = alike.length >= least && from < to ? alike : [];
    const apart = all.filter((d) => !together.includes(d)).map((d): DropFinding => ({
      kind: 'device', receiver, devices: [d.device], fromOn: d.fromOn, toOn: d.toOn, medianDropDb: d.dropDb,
      words: `${d.device}: margin fell by ${round(d.dropDb, 1)} dB between ${d.fromOn} and ${d.toOn}; something changed there.`,
    }));
    if (together.length === 0) return apart;
    const common: DropFinding = {
      kind: 'receiver', receiver, devices: together.map((d) => d.device), fromOn: from, toOn: to, medianDropDb: middle,
      words: `${together.length} devices on receiver ${together[0]!.receiverName ?? receiver} fell by about ${round(middle, 1)} dB together between ${from} and ${to}: look at the receiver or its noise, not at the devices.`,
    };
    return [common, ...apart];
  });
}
