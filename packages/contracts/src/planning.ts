import type { CostTerm, Round, RankedPlace } from '@bellround/planning';
import { z } from 'zod';
import { Id, Instant, LocalDay } from './basics.js';
import { route } from './route.js';

export const PlanState = z.enum(['computing', 'draft', 'published', 'superseded', 'failed', 'cancelled']);
export type PlanState = z.infer<typeof PlanState>;

export const PlanHead = z.object({
  id: Id, weekStart: LocalDay, state: PlanState, revision: z.int(), createdAt: Instant, publishedAt: Instant.nullable(),
  cost: z.array(z.custom<CostTerm>()), placed: z.int(), unplaced: z.int(),
  progress: z.object({ seconds: z.number(), of: z.number(), iterations: z.int(), unplaced: z.int() }).nullable(),
});
export type PlanHead = z.infer<typeof PlanHead>;

/** A visit as the week shows it. */
export const WeekVisit = z.object({
  id: Id, siteId: Id, siteName: z.string(), locality: z.string().nullable(), title: z.string(), kind: z.string(), state: z.string(), serviceMin: z.int(), persons: z.int(),
  skills: z.array(z.string()), licences: z.array(z.string()), lapsesOn: LocalDay.nullable(), dueOn: LocalDay.nullable(), overdue: z.boolean(), duties: z.int(), deficiencies: z.int(), score: z.number().nullable(),
  lat: z.number().nullable(), lon: z.number().nullable(), promise: z.string().nullable(), pinned: z.boolean(),
});
export type WeekVisit = z.infer<typeof WeekVisit>;

export const WeekTechnician = z.object({
  id: Id, name: z.string(), skills: z.array(z.string()), pairOnly: z.boolean(), homeLat: z.number().nullable(), homeLon: z.number().nullable(),
  shifts: z.array(z.object({ day: LocalDay, startMin: z.int(), endMin: z.int() })),
  absent: z.array(LocalDay), licences: z.array(z.object({ kind: z.string(), validTo: LocalDay.nullable() })),
});
export type WeekTechnician = z.infer<typeof WeekTechnician>;

export const UnplacedVisit = z.object({ visitId: Id, rule: z.string(), words: z.string(), lapses: z.boolean() });

export const LapsingDuty = z.object({ dutyId: Id, siteId: Id, siteName: z.string(), title: z.string(), regime: z.string(), lapses: LocalDay, daysLeft: z.int(), visitId: Id.nullable(), visitState: z.string().nullable(), visitDay: LocalDay.nullable(), attempts: z.int() });
export type LapsingDuty = z.infer<typeof LapsingDuty>;

export const WeekView = z.object({
  weekStart: LocalDay, days: z.array(LocalDay), today: LocalDay, plans: z.array(PlanHead),
  /** the plan shown: the one asked for, else the newest draft, else the published one */
  plan: PlanHead.nullable(), rounds: z.array(z.custom<Round>()), unplaced: z.array(UnplacedVisit),
  technicians: z.array(WeekTechnician), visits: z.array(WeekVisit), lapsing: z.array(LapsingDuty),
});
export type WeekView = z.infer<typeof WeekView>;

const Move = z.strictObject({
  planId: Id, revision: z.coerce.number().int(), visitId: Id,
  /** null takes the visit out of the plan */
  technicianId: Id.nullable(), day: LocalDay.optional(), position: z.coerce.number().int().min(0).optional(), secondTechnicianId: Id.optional(),
});
export const MoveAnswer = z.object({
  plan: PlanHead, rounds: z.array(z.custom<Round>()), unplaced: z.array(UnplacedVisit),
  /** change of each cost term, and broken rules in words (empty when it can be done) */
  delta: z.array(z.custom<CostTerm & { readonly change: number }>()), broken: z.array(z.string()),
});
export type MoveAnswer = z.infer<typeof MoveAnswer>;

export const LooseEnd = z.object({ kind: z.enum(['unplaced', 'returned', 'no-visit-yet', 'retest-unplanned', 'message-failed', 'difference']), visitId: Id.nullable(), siteId: Id.nullable(), siteName: z.string(), words: z.string(), lapsesOn: LocalDay.nullable(), since: Instant.nullable() });
export type LooseEnd = z.infer<typeof LooseEnd>;

export const planningRoutes = {
  showWeek: route({ name: 'showWeek', method: 'GET', path: '/api/weeks/:weekStart', summary: 'A week: its plans, rounds, what is left out and why, and what lapses', may: 'read', input: z.strictObject({ weekStart: LocalDay, planId: Id.optional() }), output: WeekView, problems: ['NotFound'] }),
  startPlan: route({ name: 'startPlan', method: 'POST', path: '/api/weeks/:weekStart/plans', summary: 'Compute a plan for the week; it runs in the queue and can be cancelled', may: 'plan', input: z.strictObject({ weekStart: LocalDay, planId: Id, seed: z.int().min(1).optional(), seconds: z.number().min(1).max(600).default(8) }), output: PlanHead, problems: ['IdReused'] }),
  cancelPlan: route({ name: 'cancelPlan', method: 'POST', path: '/api/plans/:planId/cancel', summary: 'Stop computing; the best plan so far is kept as a draft', may: 'plan', input: z.strictObject({ planId: Id }), output: PlanHead, problems: ['NotFound', 'WrongState'] }),
  previewMove: route({ name: 'previewMove', method: 'POST', path: '/api/plans/:planId/preview-move', summary: 'What moving a visit would cost and which rules it would break; nothing is changed', may: 'plan', input: Move, output: MoveAnswer, problems: ['NotFound', 'Stale', 'WrongState'] }),
  moveStop: route({ name: 'moveStop', method: 'POST', path: '/api/plans/:planId/move', summary: 'Move a visit in a draft; refused when a rule would break', may: 'plan', input: Move, output: MoveAnswer, problems: ['NotFound', 'Stale', 'WrongState', 'RuleBroken'] }),
  pinStop: route({ name: 'pinStop', method: 'POST', path: '/api/plans/:planId/pin', summary: 'Hold a visit where it is in every later plan of the week, or let it go', may: 'plan', input: z.strictObject({ planId: Id, revision: z.int(), visitId: Id, pinned: z.boolean() }), output: PlanHead, problems: ['NotFound', 'Stale', 'WrongState'] }),
  publishPlan: route({ name: 'publishPlan', method: 'POST', path: '/api/plans/:planId/publish', summary: 'Make a draft the week\'s rounds, after every rule was checked again', may: 'plan', input: z.strictObject({ planId: Id, revision: z.int() }), output: PlanHead, problems: ['NotFound', 'Stale', 'WrongState', 'RuleBroken'] }),
  bestPlacesFor: route({ name: 'bestPlacesFor', method: 'GET', path: '/api/plans/:planId/places/:visitId', summary: 'Where a visit fits best, ranked with its cost', may: 'plan', input: z.strictObject({ planId: Id, visitId: Id }), output: z.object({ rows: z.array(z.custom<RankedPlace & { technicianName: string }>()) }), problems: ['NotFound', 'WrongState'] }),
  listLooseEnds: route({ name: 'listLooseEnds', method: 'GET', path: '/api/loose-ends', summary: 'Whatever waits for a dispatcher', may: 'plan', input: z.strictObject({}), output: z.object({ rows: z.array(LooseEnd), total: z.int() }) }),
};
