import type { CostTerm, Round, RankedPlace } from '@bellround/planning';
import { z } from 'zod';
import { Id, Instant, LocalDay } from './basics.js';
import { route } from './route.js';

/** A visit, or the part of it (silent, sounding, a key's errand) that a stop of a round is. */
export const StopId = z.string().regex(/^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}(#(silent|sounding|collect|return)){0,2}$/i, { error: 'must be the id of a visit, or of a part of one' });

const words = (least: number, message: string) => z.string().trim().min(least, { error: message }).max(500);

export const PlanState = z.enum(['computing', 'draft', 'published', 'superseded', 'dropped', 'failed', 'cancelled']);
export type PlanState = z.infer<typeof PlanState>;

export const PlanHead = z.object({
  id: Id, weekStart: LocalDay, state: PlanState, revision: z.int(), createdAt: Instant, publishedAt: Instant.nullable(),
  cost: z.array(z.custom<CostTerm>()), placed: z.int(), unplaced: z.int(),
  /** of computing: seconds used of those allowed, and the best plan so far */
  progress: z.object({ seconds: z.number(), of: z.number(), iterations: z.int(), unplaced: z.int(), travelMin: z.int().nullable().optional(), cost: z.array(z.custom<CostTerm>()).optional() }).nullable(),
  /** what made it, in words ('Tess away 2 Mar'); empty for a computed plan */
  label: z.string(), madeFrom: Id.nullable(),
  /** what it was computed with that a dispatcher must know, in words */
  told: z.array(z.string()),
  /** driven legs of its rounds and how many of them are estimates; past trips that the estimates follow; why roads were not answered. null: a plan of before */
  travel: z.object({ legs: z.int(), estimated: z.int(), percent: z.int(), trips: z.int(), why: z.string().nullable() }).nullable(),
});
export type PlanHead = z.infer<typeof PlanHead>;

/** A visit as the week shows it. */
export const VisitNeeds = z.object({
  /** where its minutes come from; null: as counted from its duties */
  minutesFrom: z.string().nullable(),
  /** minutes of it that are heard, and the hours of the week in which they may be; empty: whenever access is given */
  soundMin: z.int(), noiseWindows: z.array(z.object({ day: LocalDay, startMin: z.int(), endMin: z.int() })),
  /** made in two parts, silent and sounding, since no day of the week takes it whole */
  split: z.boolean(),
  noticeDays: z.int(), noticeGivenOn: LocalDay.nullable(), equipment: z.array(z.string()), parts: z.array(z.object({ part: z.string(), n: z.int() })),
  permits: z.array(z.object({ name: z.string(), from: LocalDay.nullable(), to: LocalDay.nullable() })), key: z.boolean(),
  /** set by hand on the visit itself */
  ownEquipment: z.array(z.string()), ownSoundMin: z.int().nullable(),
});
export type VisitNeeds = z.infer<typeof VisitNeeds>;

export const WeekVisit = z.object({
  id: StopId, siteId: Id, siteName: z.string(), locality: z.string().nullable(), title: z.string(), kind: z.string(), state: z.string(), serviceMin: z.int(), persons: z.int(),
  skills: z.array(z.string()), licences: z.array(z.string()), lapsesOn: LocalDay.nullable(), dueOn: LocalDay.nullable(), overdue: z.boolean(), duties: z.int(), deficiencies: z.int(), score: z.number().nullable(),
  lat: z.number().nullable(), lon: z.number().nullable(), promise: z.string().nullable(), pinned: z.boolean(),
  /** hours of the week in which it may be done: access, noise where it sounds, promises */
  windows: z.array(z.object({ day: LocalDay, startMin: z.int(), endMin: z.int() })),
  /** null for a visit that has begun */
  needs: VisitNeeds.nullable(),
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

/** A visit that has begun or ended, at the times it really had; an open one ends when it is expected to. */
export const DoneVisit = z.object({ visitId: Id, technicianId: Id, day: LocalDay, startMin: z.int(), endMin: z.int(), state: z.string() });
export type DoneVisit = z.infer<typeof DoneVisit>;
/** When a round ends as planned, and on a bad day (one day in ten is worse). */
export const RoundFinish = z.object({ technicianId: Id, day: LocalDay, expectedMin: z.int(), badDayMin: z.int() });
export type RoundFinish = z.infer<typeof RoundFinish>;
export const DayTravel = z.object({ day: LocalDay, percent: z.int(), reason: z.string() });
export type DayTravel = z.infer<typeof DayTravel>;

export const WeekView = z.object({
  weekStart: LocalDay, days: z.array(LocalDay), today: LocalDay, plans: z.array(PlanHead),
  /** the plan shown: the one asked for, else the newest draft, else the published one */
  plan: PlanHead.nullable(), rounds: z.array(z.custom<Round>()), unplaced: z.array(UnplacedVisit),
  technicians: z.array(WeekTechnician), visits: z.array(WeekVisit), lapsing: z.array(LapsingDuty),
  done: z.array(DoneVisit), finishes: z.array(RoundFinish), dayTravel: z.array(DayTravel),
});
export type WeekView = z.infer<typeof WeekView>;

const Move = z.strictObject({
  planId: Id, revision: z.coerce.number().int(), visitId: StopId,
  /** null takes the visit out of the plan */
  technicianId: Id.nullable(), day: LocalDay.optional(), position: z.coerce.number().int().min(0).optional(), secondTechnicianId: Id.optional(),
});
export type MoveInput = z.infer<typeof Move>;
export const MoveAnswer = z.object({
  plan: PlanHead, rounds: z.array(z.custom<Round>()), unplaced: z.array(UnplacedVisit),
  /** change of each cost term, and broken rules in words (empty when it can be done) */
  delta: z.array(z.custom<CostTerm & { readonly change: number }>()), broken: z.array(z.string()),
});
export type MoveAnswer = z.infer<typeof MoveAnswer>;

/** Whom to ask for access: who permits entry first, else any present contact, else the client. */
export const AccessContact = z.object({ name: z.string(), phone: z.string().nullable(), email: z.string().nullable(), language: z.string().nullable() });
export type AccessContact = z.infer<typeof AccessContact>;
export const LooseEnd = z.object({
  kind: z.enum(['unplaced', 'returned', 'call-to-make', 'notice-due', 'permit-due', 'no-visit-yet', 'retest-unplanned', 'message-failed', 'difference']), visitId: Id.nullable(), siteId: Id.nullable(), siteName: z.string(), words: z.string(), lapsesOn: LocalDay.nullable(), since: Instant.nullable(),
  /** the visit's planned or published day and start, where it has one */
  day: LocalDay.nullable(), startMin: z.int().nullable(), contact: AccessContact.nullable(), attempts: z.int(),
});
export type LooseEnd = z.infer<typeof LooseEnd>;

/** One visit that stands elsewhere than before; null: on no round. */
export const PlanSpot = z.object({ technicianId: Id, technicianName: z.string(), day: LocalDay, startMin: z.int() });
export const PlanChange = z.object({ visitId: Id, siteId: Id, siteName: z.string(), kind: z.enum(['moved', 'shifted', 'added', 'removed']), from: PlanSpot.nullable(), to: PlanSpot.nullable(), promise: z.string().nullable() });
export type PlanChange = z.infer<typeof PlanChange>;

const Load = z.object({ visits: z.int(), travelMin: z.int(), overtimeMin: z.int(), workMin: z.int() });
export const Comparison = z.object({
  left: PlanHead, right: PlanHead,
  /** each aim in its order, of both; `better` says which is, by the order of aims */
  terms: z.array(z.object({ name: z.string(), unit: z.string(), left: z.number(), right: z.number() })), better: z.enum(['left', 'right', 'neither']), decidedBy: z.string().nullable(),
  changes: z.array(PlanChange), technicians: z.array(z.object({ id: Id, name: z.string(), left: Load, right: Load })),
  leftOut: z.array(z.object({ visitId: Id, siteName: z.string(), left: z.string().nullable(), right: z.string().nullable(), lapses: z.boolean() })),
});
export type Comparison = z.infer<typeof Comparison>;

/** What a dispatcher asks of a plan. */
export const WeekQuestion = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('away'), technicianId: Id, fromDay: LocalDay, toDay: LocalDay, reason: words(2, 'must say why, such as sick') }),
  z.strictObject({ kind: z.literal('travel'), day: LocalDay, percent: z.int().min(50, { error: 'must be from 50 to 500 % of the usual travel' }).max(500, { error: 'must be from 50 to 500 % of the usual travel' }), reason: words(2, 'must say why, such as storm') }),
  z.strictObject({ kind: z.literal('overrun'), visitId: StopId, extraMin: z.int().min(5).max(600) }),
  z.strictObject({ kind: z.literal('force'), visitId: StopId }),
  /** key lost, site shut: not before `backOn`; null: not in this week */
  z.strictObject({ kind: z.literal('closed'), visitId: StopId, backOn: LocalDay.nullable(), reason: words(2, 'must say why, such as key lost') }),
]);
export type WeekQuestion = z.infer<typeof WeekQuestion>;

export const PlanCall = z.object({ visitId: Id, siteId: Id, siteName: z.string(), contact: AccessContact.nullable(), promise: z.string().nullable(), words: z.string() });
export const WeekAnswer = z.object({
  title: z.string(), changes: z.array(PlanChange), calls: z.array(PlanCall),
  /** of an overrun: who is pushed when nothing is done, and what that breaks */
  affected: z.array(z.object({ visitId: StopId, siteName: z.string(), technicianId: Id, wasMin: z.int(), startMin: z.int(), breaks: z.array(z.string()) })),
  delta: z.array(z.custom<CostTerm & { readonly change: number }>()), rounds: z.array(z.custom<Round>()), unplaced: z.array(UnplacedVisit),
  /** broken rules in words; a plan that breaks none has an empty list */
  broken: z.array(z.string()),
});
export type WeekAnswer = z.infer<typeof WeekAnswer>;

export const WhyVisit = z.object({
  visitId: StopId, siteName: z.string(), here: PlanSpot.nullable(),
  /** why it stands where it stands, or why it is left out: one fact a line, the binding one first */
  reasons: z.array(z.string()),
  /** what taking it out would change; null where it is on no round */
  without: z.array(z.custom<CostTerm & { readonly change: number }>()).nullable(),
  places: z.array(z.custom<RankedPlace & { technicianName: string }>()),
});
export type WhyVisit = z.infer<typeof WhyVisit>;

const Urgent = { siteId: Id, serviceMin: z.int().min(5).max(720), skills: z.array(z.string().trim().min(1).max(80)).max(20).default([]), persons: z.union([z.literal(1), z.literal(2)]).default(1), byDay: LocalDay.nullable().default(null) };
export const RankUrgent = z.strictObject({ planId: Id, ...Urgent });
export type RankUrgent = z.infer<typeof RankUrgent>;
export const PlaceUrgent = z.strictObject({ planId: Id, newPlanId: Id, visitId: Id, title: words(3, 'must say what is wrong'), ...Urgent, technicianId: Id, day: LocalDay, position: z.int().min(0), secondTechnicianId: Id.optional(), secondPosition: z.int().min(0).optional() });
export type PlaceUrgent = z.infer<typeof PlaceUrgent>;
const Places = z.object({ rows: z.array(z.custom<RankedPlace & { technicianName: string }>()) });

export const PublicationRow = z.object({ id: Id, planId: Id, at: Instant, byName: z.string(), placed: z.int(), leftOut: z.int(), changes: z.array(PlanChange), rounds: z.array(z.custom<Round>()) });
export type PublicationRow = z.infer<typeof PublicationRow>;

export const AgreeDate = z.strictObject({
  visitId: Id, id: Id, day: LocalDay, fromMin: z.int().min(0).max(1439), toMin: z.int().min(1).max(1440), madeTo: words(2, 'must name who agreed'), words: z.string().trim().max(500).default(''),
  /** null: hard; given: what breaking it counts for, in minutes of driving */
  priceMin: z.int().min(0).max(100_000).nullable().default(null),
}).refine((one) => one.fromMin < one.toMin, { error: 'must be later than the beginning', path: ['toMin'] });
export type AgreeDate = z.infer<typeof AgreeDate>;

/** Opening by closing day: minutes that must be done inside against minutes that people with those skills have. */
export const SqueezeGroup = z.object({ skills: z.array(z.string()), cells: z.array(z.object({ from: LocalDay, to: LocalDay, neededMin: z.int(), availableMin: z.int(), tasks: z.int() })) });
export const SqueezeView = z.object({
  from: LocalDay, to: LocalDay, counting: z.enum(['visit', 'checks']), groups: z.array(SqueezeGroup), overdue: z.int(),
  excesses: z.array(z.object({ from: LocalDay, to: LocalDay, skills: z.array(z.string()), neededMin: z.int(), availableMin: z.int(), shortMin: z.int(), sites: z.array(z.object({ siteId: Id, siteName: z.string(), minutes: z.int(), opens: LocalDay, closes: LocalDay })) })),
  /** of the largest squeeze; each checked again on every opening-closing pair */
  waysOut: z.array(z.object({ kind: z.string(), words: z.string(), left: z.array(z.string()) })),
});
export type SqueezeView = z.infer<typeof SqueezeView>;

/** Work of like skills, place and weeks; `area` null: elsewhere, or not by area. */
const CapacityDemand = z.array(z.object({ id: z.string(), skills: z.array(z.string()), area: z.string().nullable(), opensWeek: z.int(), closesWeek: z.int(), minutes: z.number(), visits: z.int() }));
const CapacityPeople = z.array(z.object({ id: Id, name: z.string(), skills: z.array(z.string()), minutesPerWeek: z.number(), weeksOff: z.array(z.int()), skillEnds: z.record(z.string(), z.int()) }));
const CapacityUncertainty = z.object({ noAccess: z.number(), repeat: z.number(), sick: z.number(), minutesSpread: z.number(), breakdownMinutes: z.array(z.number()), leaveWeeks: z.number().optional() });

/** What the weeks ahead hold, as the forecast takes it. Weeks count from `fromMonday`. */
export const CapacityFacts = z.object({
  fromMonday: LocalDay, weeks: z.int(), skills: z.array(z.string()), demand: CapacityDemand, people: CapacityPeople, uncertainty: CapacityUncertainty,
  /** the same as it was at Mondays of the past year, and what then came week by week: minutes still owed of what lapsed, urgent ones, and whether something lapsed */
  past: z.array(z.object({ fromMonday: LocalDay, demand: CapacityDemand, people: CapacityPeople, uncertainty: CapacityUncertainty, came: z.array(z.object({ neededMin: z.number(), lapsed: z.boolean() })) })),
  /** where each of them comes from: how many cases of the company's own, or a starting value */
  sources: z.array(z.object({ name: z.string(), value: z.string(), from: z.string() })),
});
export type CapacityFacts = z.infer<typeof CapacityFacts>;

export const planningRoutes = {
  showWeek: route({ name: 'showWeek', method: 'GET', path: '/api/weeks/:weekStart', summary: 'A week: its plans, rounds, what is left out and why, and what lapses', may: 'read', input: z.strictObject({ weekStart: LocalDay, planId: Id.optional() }), output: WeekView, problems: ['NotFound'] }),
  startPlan: route({ name: 'startPlan', method: 'POST', path: '/api/weeks/:weekStart/plans', summary: 'Compute a plan for the week; it runs in the queue and can be cancelled', may: 'plan', input: z.strictObject({ weekStart: LocalDay, planId: Id, seed: z.int().min(1).optional(), seconds: z.number().min(1).max(600).default(8) }), output: PlanHead, problems: ['IdReused'] }),
  cancelPlan: route({ name: 'cancelPlan', method: 'POST', path: '/api/plans/:planId/cancel', summary: 'Stop computing; the best plan so far is kept as a draft', may: 'plan', input: z.strictObject({ planId: Id }), output: PlanHead, problems: ['NotFound', 'WrongState'] }),
  previewMove: route({ name: 'previewMove', method: 'POST', path: '/api/plans/:planId/preview-move', summary: 'What moving a visit would cost and which rules it would break; nothing is changed', may: 'plan', input: Move, output: MoveAnswer, problems: ['NotFound', 'Stale', 'WrongState'] }),
  moveStop: route({ name: 'moveStop', method: 'POST', path: '/api/plans/:planId/move', summary: 'Move a visit in a draft; refused when a rule would break', may: 'plan', input: Move, output: MoveAnswer, problems: ['NotFound', 'Stale', 'WrongState', 'RuleBroken'] }),
  pinStop: route({ name: 'pinStop', method: 'POST', path: '/api/plans/:planId/pin', summary: 'Hold a visit where it is in every later plan of the week, or let it go', may: 'plan', input: z.strictObject({ planId: Id, revision: z.int(), visitId: StopId, pinned: z.boolean() }), output: PlanHead, problems: ['NotFound', 'Stale', 'WrongState'] }),
  publishPlan: route({ name: 'publishPlan', method: 'POST', path: '/api/plans/:planId/publish', summary: 'Make a draft the week\'s rounds, after every rule was checked again', may: 'plan', input: z.strictObject({ planId: Id, revision: z.int() }), output: PlanHead, problems: ['NotFound', 'Stale', 'WrongState', 'RuleBroken'] }),
  bestPlacesFor: route({ name: 'bestPlacesFor', method: 'GET', path: '/api/plans/:planId/places/:visitId', summary: 'Where a visit fits best, ranked with its cost', may: 'plan', input: z.strictObject({ planId: Id, visitId: StopId }), output: z.object({ rows: z.array(z.custom<RankedPlace & { technicianName: string }>()) }), problems: ['NotFound', 'WrongState'] }),
  copyPlan: route({ name: 'copyPlan', method: 'POST', path: '/api/plans/:planId/copy', summary: 'Make a draft with the rounds of a plan, to change by hand', may: 'plan', input: z.strictObject({ planId: Id, newPlanId: Id }), output: PlanHead, problems: ['NotFound', 'WrongState', 'IdReused'] }),
  dropPlan: route({ name: 'dropPlan', method: 'POST', path: '/api/plans/:planId/drop', summary: 'Put a draft aside; it stays in the record', may: 'plan', input: z.strictObject({ planId: Id, revision: z.int() }), output: PlanHead, problems: ['NotFound', 'Stale', 'WrongState'] }),
  comparePlans: route({ name: 'comparePlans', method: 'GET', path: '/api/plans/:planId/compare/:otherPlanId', summary: 'Two plans of one week side by side: every aim, every visit that stands elsewhere', may: 'read', input: z.strictObject({ planId: Id, otherPlanId: Id }), output: Comparison, problems: ['NotFound', 'WrongState'] }),
  askWeek: route({ name: 'askWeek', method: 'POST', path: '/api/plans/:planId/ask', summary: 'Somebody away, a storm, an overrun, a visit that must be in: the repair with fewest changes, and whom to call; nothing is changed', may: 'plan', input: z.strictObject({ planId: Id, question: WeekQuestion }), output: WeekAnswer, problems: ['NotFound', 'WrongState', 'Stale'] }),
  keepAnswer: route({ name: 'keepAnswer', method: 'POST', path: '/api/plans/:planId/keep-answer', summary: 'Keep that repair as a draft, and what was said (away, travel, minutes) as a fact', may: 'plan', input: z.strictObject({ planId: Id, newPlanId: Id, question: WeekQuestion }), output: PlanHead, problems: ['NotFound', 'WrongState', 'IdReused'] }),
  endDayTravel: route({ name: 'endDayTravel', method: 'POST', path: '/api/day-travel/:day/end', summary: 'Travel of this day is as usual again', may: 'plan', input: z.strictObject({ day: LocalDay }), output: z.object({ ended: z.boolean() }) }),
  whyVisit: route({ name: 'whyVisit', method: 'GET', path: '/api/plans/:planId/why/:visitId', summary: 'Why a visit stands where it stands, or why it is left out', may: 'read', input: z.strictObject({ planId: Id, visitId: StopId }), output: WhyVisit, problems: ['NotFound'] }),
  rankUrgent: route({ name: 'rankUrgent', method: 'POST', path: '/api/plans/:planId/rank-urgent', summary: 'The best places for an urgent visit that does not exist yet', may: 'plan', input: RankUrgent, output: Places, problems: ['NotFound', 'WrongState'] }),
  placeUrgent: route({ name: 'placeUrgent', method: 'POST', path: '/api/plans/:planId/place-urgent', summary: 'Make the urgent visit and put it on a round; a published plan is copied to a draft first', may: 'plan', input: PlaceUrgent, output: PlanHead, problems: ['NotFound', 'WrongState', 'IdReused', 'RuleBroken'] }),
  listPublications: route({ name: 'listPublications', method: 'GET', path: '/api/weeks/:weekStart/publications', summary: 'What was published for a week, when, by whom, and what changed', may: 'read', input: z.strictObject({ weekStart: LocalDay }), output: z.object({ rows: z.array(PublicationRow) }) }),
  agreeDate: route({ name: 'agreeDate', method: 'POST', path: '/api/visits/:visitId/agree', summary: 'Keep what was agreed with the client: day and hours. It replaces what was agreed before; both stay on record', may: 'plan', input: AgreeDate, output: z.object({ promise: z.string() }), problems: ['NotFound', 'IdReused', 'VisitClosed'] }),
  showSqueeze: route({ name: 'showSqueeze', method: 'GET', path: '/api/squeeze', summary: 'Where more must be done than can be, with the proof and ways out that were checked again', may: 'read', input: z.strictObject({ from: LocalDay.optional(), days: z.coerce.number().int().min(5).max(120).default(42), counting: z.enum(['visit', 'checks']).default('visit') }), output: SqueezeView }),
  capacityFacts: route({ name: 'capacityFacts', method: 'GET', path: '/api/capacity', summary: 'The work and the people of the coming weeks, with what is uncertain and where that comes from', may: 'read', input: z.strictObject({ weeks: z.coerce.number().int().min(4).max(104).default(52), leaveWeeks: z.coerce.number().int().min(0).max(12).default(0).describe('weeks of leave that each person still takes within 52 weeks, not booked yet') }), output: CapacityFacts }),
  listLooseEnds: route({ name: 'listLooseEnds', method: 'GET', path: '/api/loose-ends', summary: 'Whatever waits for a dispatcher', may: 'plan', input: z.strictObject({}), output: z.object({ rows: z.array(LooseEnd), total: z.int() }) }),
};
