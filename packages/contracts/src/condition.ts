import { z } from 'zod';
import { Id, Instant, LocalDay, PageInput, pageOf, QueryFlag } from './basics.js';
import { route } from './route.js';

/** A standby battery against what its site asks of it. A null is not known, and is told as such. */
export const BatteryColumn = z.object({
  id: Id, label: z.string(), systemName: z.string(), chemistry: z.string(), ratedAh: z.number().nullable(),
  needAh: z.number().nullable(), needWords: z.string(),
  haveAh: z.number().nullable(),
  /** measured at a check, or only to be expected at its age */
  haveBy: z.enum(['measured', 'expected']).nullable(), haveOn: LocalDay.nullable(),
  /** the day of the next check owed, and the capacity to expect then */
  nextOn: LocalDay.nullable(), ghostAh: z.number().nullable(),
  /** when the measured capacity would meet the limit, by the last slope and by all points */
  crossesEarliest: LocalDay.nullable(), crossesLatest: LocalDay.nullable(),
  madeOn: LocalDay.nullable(), history: z.array(z.object({ on: LocalDay, capacityPct: z.number() })), words: z.string(),
});
export type BatteryColumn = z.infer<typeof BatteryColumn>;

/** A wireless sensor's ground (level) and water (noise), visit by visit. */
export const ShoreSensor = z.object({
  id: Id, label: z.string(), room: z.string().nullable(), on: LocalDay, levelDbm: z.number(), noiseDbm: z.number(), marginDb: z.number(), leastDb: z.number(),
  /** the day on which the margin would meet its limit, by its own trend; null: it does not move there, or cannot be told yet */
  sinksOn: LocalDay.nullable(), history: z.array(z.object({ on: LocalDay, levelDbm: z.number(), noiseDbm: z.number() })), words: z.string(),
});
export type ShoreSensor = z.infer<typeof ShoreSensor>;

export const PathComb = z.object({
  id: Id, label: z.string(), systemName: z.string(), rank: z.int(),
  /** null: nothing can be expected of it, and why */
  comb: z.object({
    intervalH: z.number(), isLearned: z.boolean(), state: z.enum(['heard', 'silent', 'unknown']), missing: z.int(), driftMinPerDay: z.number().nullable(),
    teeth: z.array(z.object({ expectedAt: Instant, heardAt: Instant.nullable(), leanMin: z.int().nullable() })),
  }).nullable(),
  words: z.string(),
});
export type PathComb = z.infer<typeof PathComb>;

export const SiteCondition = z.object({ siteId: Id, timeZone: z.string(), asOf: LocalDay, combFrom: Instant, combTo: Instant, batteries: z.array(BatteryColumn), shore: z.array(ShoreSensor),
  /** sensors of one receiver that fell together: one finding on the receiver or its noise, not one for each */
  receiverFindings: z.array(z.object({ receiver: z.string(), deviceIds: z.array(Id), fromOn: LocalDay, toOn: LocalDay, dropDb: z.number(), words: z.string() })),
  combs: z.array(PathComb) });
export type SiteCondition = z.infer<typeof SiteCondition>;

/** One number of one part over visits: its robust slope with an interval, and when it would meet its limit. */
export const ReadingTrendRow = z.object({
  subjectId: Id, subjectName: z.string(), room: z.string().nullable(), systemName: z.string(), checkKind: z.string(), reading: z.string(), label: z.string(), unit: z.string(),
  values: z.array(z.object({ on: LocalDay, value: z.number() })),
  /** the limit in numbers: none, one, or the two of a range */
  edges: z.array(z.number()),
  /** what the line says on the last date; slopes per year, with both ends of the 95 % interval */
  atLast: z.number(), slopePerYear: z.number(), slopeLowPerYear: z.number(), slopeHighPerYear: z.number(),
  /** null: it does not surely move to a limit, or was beyond it already */
  crosses: z.object({ on: LocalDay, earliest: LocalDay, latest: LocalDay.nullable(), isNear: z.boolean() }).nullable(), words: z.string(),
});
export type ReadingTrendRow = z.infer<typeof ReadingTrendRow>;

export const conditionRoutes = {
  siteTrends: route({ name: 'siteTrends', method: 'GET', path: '/api/sites/:siteId/trends', summary: 'Every reading of a site that has three dates: slope, interval and the day it would meet its limit, soonest first', may: 'read', input: PageInput.extend({ siteId: Id, moving: QueryFlag.optional() }), output: pageOf(ReadingTrendRow).extend({ asOf: LocalDay }), problems: ['NotFound'] }),
  siteCondition: route({ name: 'siteCondition', method: 'GET', path: '/api/sites/:siteId/condition', summary: 'What a site\'s batteries, radio links and paths still have in hand', may: 'read', input: z.strictObject({ siteId: Id }), output: SiteCondition, problems: ['NotFound'] }),
};
