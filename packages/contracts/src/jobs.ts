import { z } from 'zod';
import { Id, LocalDay } from './basics.js';

/**
 * A job of the queue, declared once: its payload carries ids only, since a job may run late, twice or out of order.
 * The worker refuses to start when a declared job has no handler, or a handler no declaration.
 */
export interface Job<P extends z.ZodType = z.ZodType> {
  readonly name: string;
  readonly payload: P;
  readonly attempts: number;
}

function job<P extends z.ZodType>(name: string, payload: P, attempts = 5): Job<P> {
  return { name, payload, attempts };
}

export const JOBS = {
  /** recompute windows and credits of one site's duties, then its exposure */
  standingRefresh: job('standing-refresh', z.strictObject({ companyId: Id, siteId: Id })),
  /** the whole company: after an import or a programme applied to the fleet */
  fleetRefresh: job('fleet-refresh', z.strictObject({ companyId: Id })),
  nightlySweep: job('nightly-sweep', z.strictObject({ companyId: Id, day: LocalDay })),
  weeklyOverdue: job('weekly-overdue', z.strictObject({ companyId: Id, day: LocalDay })),
  sendMessages: job('send-messages', z.strictObject({ companyId: Id })),
  planWeek: job('plan-week', z.strictObject({ companyId: Id, planId: Id }), 2),
  watchHolds: job('watch-holds', z.strictObject({ companyId: Id })),
  /** reports that a station must still hear of a check: heard, or a deficiency when their time is over */
  settleDelayed: job('settle-delayed', z.strictObject({ companyId: Id })),
  /** measures meanwhile that ended, clocks of impairments that ran out, deferrals that are over */
  watchDeficiencies: job('watch-deficiencies', z.strictObject({ companyId: Id })),
  /** what stations heard of subjects that owe an open remote duty, recorded without a visit */
  readHistories: job('read-histories', z.strictObject({ companyId: Id })),
  fitRisk: job('fit-risk', z.strictObject({ companyId: Id })),
} as const;
export type JobName = (typeof JOBS)[keyof typeof JOBS]['name'];
