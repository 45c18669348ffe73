import { ageDue, capacityForecast, type LocalDate } from '@bellround/acceptance';
import { batteryCapacities, type BatteryCapacity } from '@bellround/database';
import type { Ctx } from './perform.js';

// Batteries to take along: what the readings of earlier visits say will not last. Shared by the round and the visit; no act.

/** Below this share of the rated capacity a battery is replaced: IEEE 450, IEEE 1188 (SEEN-R). */
const LIMIT_PCT = 80;
/** Within 5 years of manufacture: NFPA 72, 2007, table 10.4.4 item 6(d)(1) (SEEN-R). */
const AGE_MONTHS = 60;
/** The next visit after this one may be so far away: what does not last until then is replaced now (company rule). */
const UNTIL_NEXT_DAYS = 365;

/**
 * Replacement batteries for visits, in words, by visit: of those whose capacity is forecast below its limit before the visit after
 * next, and of those whose date of manufacture is past its age or unknown.
 */
export async function batteryPartsFor(ctx: Ctx, stops: readonly { visitId: string; siteId: string; day: string }[]): Promise<Map<string, string[]>> {
  const batteries = stops.length === 0 ? [] : await batteryCapacities(ctx.tx, [...new Set(stops.map((stop) => stop.siteId))]);
  return new Map(stops.map((stop) => [stop.visitId, batteries.filter((battery) => battery.siteId === stop.siteId).flatMap((battery) => partFor(battery, stop.day as LocalDate))]));
}

function partFor(battery: BatteryCapacity, on: LocalDate): string[] {
  const part = `${battery.nominalMv === null ? '' : `${battery.nominalMv / 1000} V `}${battery.ratedMah === null ? '' : `${battery.ratedMah / 1000} Ah `}battery for ${battery.label}`;
  const forecast = capacityForecast(battery.readings.map((reading) => ({ on: reading.on as LocalDate, value: reading.capacityPct })), LIMIT_PCT);
  if (forecast?.earliest && forecast.earliest <= plusDays(on, UNTIL_NEXT_DAYS)) return [`${part}: forecast below ${LIMIT_PCT} % ${forecast.earliest === forecast.latest ? `from ${forecast.earliest}` : `between ${forecast.earliest} and ${forecast.latest}`}`];
  // Nothing known of its age at all is told by the check itself; a part is taken along where it was seen or dated.
  if (battery.madeOn === null && battery.firstSeenOn === null) return [];
  const age = ageDue({ madeOn: (battery.madeOn ?? undefined) as LocalDate | undefined, firstSeenOn: (battery.firstSeenOn ?? undefined) as LocalDate | undefined }, AGE_MONTHS, on);
  return age.due ? [`${part}: ${age.words}`] : [];
}

const plusDays = (day: string, days: number): string => new Date(Date.parse(`${day}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
