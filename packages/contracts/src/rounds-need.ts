import { z } from 'zod';
import { Id, Instant, LocalDay, WeeklyHours } from './basics.js';
import { route } from './route.js';

// What rounds need to know of sites, visits, vans and the company's way of planning.

const Words = (least: number, most: number, error: string) => z.string().trim().min(least, { error }).max(most);
const Equipment = z.array(Words(1, 80, 'must name the equipment')).max(40);
const Degrees = (most: number) => z.number().min(-most).max(most).nullable();
const bothOrNone = (one: { lat: number | null; lon: number | null }) => (one.lat === null) === (one.lon === null);

const Permit = z.object({ id: Id, name: z.string(), fromDay: LocalDay.nullable(), toDay: LocalDay.nullable() });
export const HOLDER_KINDS = ['technician', 'office', 'site', 'client'] as const;
const SiteKey = z.object({
  id: Id, kind: z.enum(['key', 'fob']), label: z.string(), needed: z.boolean(), collectAt: z.string().nullable(), lat: z.number().nullable(), lon: z.number().nullable(), hours: z.array(WeeklyHours).nullable(),
  handMin: z.int(), broughtBack: z.boolean(), holder: z.object({ kind: z.enum(HOLDER_KINDS), technicianId: Id.nullable(), name: z.string(), since: Instant }).nullable(),
});
/** What coming to a site takes. `version` changes with every edit of notice and equipment. */
export const SiteNeeds = z.object({ siteId: Id, version: z.string(), noticeDays: z.int(), equipment: z.array(z.string()), permits: z.array(Permit), keys: z.array(SiteKey) });
export type SiteNeeds = z.infer<typeof SiteNeeds>;

export const EditSiteNeeds = z.strictObject({ siteId: Id, version: z.string(), noticeDays: z.int().min(0).max(90), equipment: Equipment });
export type EditSiteNeeds = z.infer<typeof EditSiteNeeds>;
export const KeepPermit = z.strictObject({ siteId: Id, id: Id, name: Words(2, 120, 'must name the permit'), fromDay: LocalDay.nullable(), toDay: LocalDay.nullable() })
  .refine((one) => one.toDay === null || (one.fromDay !== null && one.fromDay <= one.toDay), { error: 'must be on or after the first day, which a permit with a last day has', path: ['toDay'] });
export type KeepPermit = z.infer<typeof KeepPermit>;
export const KeepKey = z.strictObject({
  siteId: Id, id: Id, kind: z.enum(['key', 'fob']), label: Words(1, 120, 'must say which key'), needed: z.boolean(), collectAt: z.string().trim().max(200).nullable(), lat: Degrees(90), lon: Degrees(180),
  hours: z.array(WeeklyHours).max(50).nullable(), handMin: z.int().min(0).max(120), broughtBack: z.boolean(),
}).refine(bothOrNone, { error: 'both coordinates are given, or neither', path: ['lat'] });
export type KeepKey = z.infer<typeof KeepKey>;
export const HandKey = z.strictObject({ keyId: Id, id: Id, holderKind: z.enum(HOLDER_KINDS), technicianId: Id.nullable(), holderName: Words(2, 120, 'must say who has it') })
  .refine((one) => (one.holderKind === 'technician') === (one.technicianId !== null), { error: 'must name the technician who has it, and nobody otherwise', path: ['technicianId'] });
export type HandKey = z.infer<typeof HandKey>;

export const EditVisit = z.strictObject({
  visitId: Id, serviceMin: z.int().min(5).max(1440), persons: z.union([z.literal(1), z.literal(2)]),
  /** minutes of it that are heard; null: as its duties say */
  soundingMin: z.int().min(0).max(1440).nullable(), equipment: Equipment, noticeGivenOn: LocalDay.nullable(),
}).refine((one) => one.soundingMin === null || one.soundingMin <= one.serviceMin, { error: 'must not be longer than the visit', path: ['soundingMin'] });
export type EditVisit = z.infer<typeof EditVisit>;
export const VisitPlanFacts = z.object({ visitId: Id, serviceMin: z.int(), persons: z.int(), soundingMin: z.int().nullable(), equipment: z.array(z.string()), noticeGivenOn: LocalDay.nullable(), minutesFrom: z.string().nullable() });
export type VisitPlanFacts = z.infer<typeof VisitPlanFacts>;

const End = z.enum(['home', 'depot']);
export const Van = z.object({ technicianId: Id, version: z.string(), startsAt: End, endsAt: End, equipment: z.array(z.string()), stock: z.array(z.object({ part: z.string(), quantity: z.int(), countedAt: Instant })) });
export type Van = z.infer<typeof Van>;
export const KeepVan = z.strictObject({ technicianId: Id, version: z.string(), startsAt: End, endsAt: End, equipment: Equipment, stock: z.array(z.strictObject({ part: Words(1, 120, 'must name the part'), quantity: z.int().min(0).max(100_000) })).max(300) });
export type KeepVan = z.infer<typeof KeepVan>;

const Depot = z.strictObject({ address: Words(2, 300, 'must say where the depot is'), lat: z.number().min(-90).max(90), lon: z.number().min(-180).max(180) });
/** Travel as plans count it: the estimate against the default and the trips it was learned from, by length too; places whose road times are kept, and their pairs without one. */
const TravelShown = z.object({
  source: z.enum(['road', 'estimate']), percent: z.int(), trips: z.int(), bands: z.array(z.object({ upToKm: z.number().nullable(), percent: z.int(), trips: z.int(), kmh: z.number() })), places: z.int(), missing: z.int(), noWay: z.int(),
});
/** How the company plans. */
export const PlanningRulesShown = z.object({ version: z.string(), depot: Depot.nullable(), slack: z.union([z.int(), z.literal('forecast')]).nullable(), learnMinutes: z.boolean(), learnTravel: z.boolean(), learned: z.array(z.object({ kind: z.string(), percent: z.int(), visits: z.int(), ownWeight: z.number() })), travel: TravelShown });
export type PlanningRulesShown = z.infer<typeof PlanningRulesShown>;
export const SavePlanningRules = z.strictObject({ version: z.string(), depot: Depot.nullable(), slack: z.union([z.int().min(0).max(2000), z.literal('forecast')]).nullable(), learnMinutes: z.boolean(), learnTravel: z.boolean() });
export type SavePlanningRules = z.infer<typeof SavePlanningRules>;

export const SeeRound = z.strictObject({ publicationIds: z.array(Id).min(1).max(100) });
export type SeeRound = z.infer<typeof SeeRound>;

export const roundsNeedRoutes = {
  siteNeeds: route({ name: 'siteNeeds', method: 'GET', path: '/api/sites/:siteId/needs', summary: 'What coming to a site takes: notice, permits, equipment, keys and who has them', may: 'read', input: z.strictObject({ siteId: Id }), output: SiteNeeds, problems: ['NotFound'] }),
  editSiteNeeds: route({ name: 'editSiteNeeds', method: 'POST', path: '/api/sites/:siteId/needs', summary: 'Change notice and equipment of a site', may: 'plan', input: EditSiteNeeds, output: SiteNeeds, problems: ['NotFound', 'Stale'] }),
  keepPermit: route({ name: 'keepPermit', method: 'POST', path: '/api/sites/:siteId/permits', summary: 'Add a permit that work at a site needs, or say when it was granted', may: 'plan', input: KeepPermit, output: SiteNeeds, problems: ['NotFound', 'IdReused'] }),
  removePermit: route({ name: 'removePermit', method: 'POST', path: '/api/sites/:siteId/permits/:permitId/remove', summary: 'This permit is not needed', may: 'plan', input: z.strictObject({ siteId: Id, permitId: Id }), output: SiteNeeds, problems: ['NotFound'] }),
  keepKey: route({ name: 'keepKey', method: 'POST', path: '/api/sites/:siteId/keys', summary: 'Add a key of a site, or say where and when it is collected', may: 'plan', input: KeepKey, output: SiteNeeds, problems: ['NotFound', 'IdReused'] }),
  handKey: route({ name: 'handKey', method: 'POST', path: '/api/keys/:keyId/hand', summary: 'Record who has a key now; who had it before stays on record', may: 'plan', input: HandKey, output: SiteNeeds, problems: ['NotFound', 'IdReused'] }),
  editVisit: route({ name: 'editVisit', method: 'POST', path: '/api/visits/:visitId/plan', summary: 'Change minutes, people, sounding minutes, equipment and notice of a visit that has not begun', may: 'plan', input: EditVisit, output: VisitPlanFacts, problems: ['NotFound', 'VisitClosed'] }),
  van: route({ name: 'van', method: 'GET', path: '/api/technicians/:technicianId/van', summary: 'Where rounds begin and end, and what is on the van', may: 'read', input: z.strictObject({ technicianId: Id }), output: Van, problems: ['NotFound'] }),
  keepVan: route({ name: 'keepVan', method: 'POST', path: '/api/technicians/:technicianId/van', summary: 'Change where rounds begin and end, and count what is on the van', may: 'plan', input: KeepVan, output: Van, problems: ['NotFound', 'Stale'] }),
  planningRules: route({ name: 'planningRules', method: 'GET', path: '/api/planning-rules', summary: 'Depot, slack for breakdowns, and what is learned of minutes and travel', may: 'read', input: z.strictObject({}), output: PlanningRulesShown }),
  savePlanningRules: route({ name: 'savePlanningRules', method: 'POST', path: '/api/planning-rules', summary: 'Change how the company plans', may: 'plan', input: SavePlanningRules, output: PlanningRulesShown, problems: ['Stale'] }),
  forgetRoadTimes: route({ name: 'forgetRoadTimes', method: 'POST', path: '/api/planning-rules/forget-road-times', summary: 'Forget travel by road, so that the next plan asks the table service anew', may: 'plan', input: z.strictObject({}), output: z.object({ forgotten: z.int() }) }),
  seeRound: route({ name: 'seeRound', method: 'POST', path: '/api/my-round/seen', summary: 'The technician has seen these changes of the round', may: 'work', input: SeeRound, output: z.object({ seen: z.int() }) }),
};
