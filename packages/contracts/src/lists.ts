import { z } from 'zod';
import { Id, Instant, LocalDay, pageOf, PageInput } from './basics.js';
import { route } from './route.js';

/** In the order in which they are shown: what nobody has proven first. */
export const DIFFERENCE_KINDS = ['station-not-schedule', 'schedule-not-station', 'station-not-invoices', 'invoices-not-station'] as const;
export const DifferenceKind = z.enum(DIFFERENCE_KINDS);
export type DifferenceKind = z.infer<typeof DifferenceKind>;

export const DIFFERENCE_WORDS: Record<DifferenceKind, { title: string; means: string }> = {
  'station-not-schedule': { title: 'Listened to, not on the schedule', means: 'The station listens; nobody is due to prove it. Counted as untested.' },
  'schedule-not-station': { title: 'On the schedule, not at the station', means: 'Visits are planned for an account the station does not have.' },
  'station-not-invoices': { title: 'Listened to, not invoiced', means: 'The station listens and nobody pays for it.' },
  'invoices-not-station': { title: 'Invoiced, not at the station', means: 'A client pays for listening that does not happen.' },
};

export const DifferenceRow = z.object({
  id: Id, kind: DifferenceKind, station: z.string().nullable(), accountNumber: z.string(), name: z.string(), siteId: Id.nullable(), siteName: z.string().nullable(),
  firstSeenOn: LocalDay, lastSeenOn: LocalDay, assignee: z.object({ id: Id, name: z.string() }).nullable(),
  settledAt: Instant.nullable(), settledBy: z.string().nullable(), settlement: z.string().nullable(), goneOn: LocalDay.nullable(),
});
export type DifferenceRow = z.infer<typeof DifferenceRow>;

export const ListRow = z.object({ id: Id, kind: z.enum(['station', 'invoice']), station: z.string().nullable(), listedOn: LocalDay, fileName: z.string(), importedAt: Instant, entries: z.int(), live: z.int() });
export type ListRow = z.infer<typeof ListRow>;

/** The three lists on one day. Null: that list was never imported, so nothing can be said against it. */
export const ListComparison = z.object({
  asOf: LocalDay,
  counts: z.object({
    station: z.int().nullable(), schedule: z.int(), invoices: z.int().nullable(),
    /** on the station's list and on the schedule: the flattering denominator */
    bothListed: z.int().nullable(),
    /** on both, but the site owes no duty: nothing is due there, so nothing can be on time */
    withoutDuties: z.int(),
  }),
  differences: z.array(z.object({ kind: DifferenceKind, count: z.int(), unsettled: z.int() })),
  lists: z.array(ListRow),
  stations: z.array(z.object({ key: z.string(), name: z.string() })),
});
export type ListComparison = z.infer<typeof ListComparison>;

export const listsRoutes = {
  lists: route({ name: 'lists', method: 'GET', path: '/api/lists', summary: 'Station, schedule and invoices compared, with counts', may: 'read', input: z.strictObject({ asOf: LocalDay.optional() }), output: ListComparison }),
  compareLists: route({ name: 'compareLists', method: 'POST', path: '/api/lists/compare', summary: 'Compare the lists again, now', may: 'plan', input: z.strictObject({}), output: ListComparison }),
  listDifferences: route({ name: 'listDifferences', method: 'GET', path: '/api/lists/differences', summary: 'Each account on which the lists disagree', may: 'read', input: PageInput.extend({ kind: DifferenceKind.optional(), show: z.enum(['unsettled', 'settled', 'gone', 'all']).default('unsettled') }), output: pageOf(DifferenceRow) }),
  assignDifference: route({ name: 'assignDifference', method: 'POST', path: '/api/lists/differences/:differenceId/assign', summary: 'Name the person who settles a difference', may: 'plan', input: z.strictObject({ differenceId: Id, userId: Id.nullable() }), output: DifferenceRow, problems: ['NotFound'] }),
  settleDifference: route({ name: 'settleDifference', method: 'POST', path: '/api/lists/differences/:differenceId/settle', summary: 'Say how a difference was settled', may: 'plan', input: z.strictObject({ differenceId: Id, words: z.string().trim().min(3, { error: 'say how it was settled' }).max(500) }), output: DifferenceRow, problems: ['NotFound', 'WrongState'] }),
};
