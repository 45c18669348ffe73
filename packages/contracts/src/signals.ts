import type { StepVerdict as EngineVerdict, ZoneComparison } from '@bellround/signals';
import { z } from 'zod';
import { Id, Instant, TimeZone } from './basics.js';
import { route } from './route.js';
import { Severity } from './deficiencies.js';

/** Largest history taken at once, characters. */
export const MOST_HISTORY = 2_000_000;

const column = z.string().trim().min(1, { error: 'must name a column of the file' }).max(120);
/** Which column of a station's history holds what; kept per station. */
export const HistoryMapping = z.strictObject({
  account: column, receivedAt: column, time: column.optional(), code: column.optional(), zone: column.optional(), area: column.optional(), text: column.optional(), path: column.optional(), receiver: column.optional(), qualifier: column.optional(),
  dateForm: z.enum(['iso', 'dd.mm.yyyy', 'dd/mm/yyyy', 'mm/dd/yyyy']), timeZone: TimeZone, restoreWords: z.array(z.string().max(40)).max(20).optional(),
});
export type HistoryMapping = z.infer<typeof HistoryMapping>;

/** One event as a station, or a program that reads its feed, tells it. */
export const StationEventBody = z.strictObject({
  receivedAt: Instant, account: z.string().regex(/^[0-9A-Za-z-]{1,20}$/, { error: 'must be an account of up to 20 letters, digits and dashes' }), code: z.string().trim().max(12).nullable().default(null),
  zone: z.string().trim().max(12).nullable().default(null), text: z.string().trim().max(200).nullable().default(null), path: z.string().trim().max(60).nullable().default(null), qualifier: z.enum(['new', 'restore']).default('new'),
});
export type StationEventBody = z.infer<typeof StationEventBody>;

const history = z.string().min(3, { error: 'must hold a header line and at least one row' }).max(MOST_HISTORY, { error: `must hold at most ${MOST_HISTORY} characters; send a shorter stretch of time` });
/** A station's history for a visit: pasted or from a file with its mapping, or events one by one. Sending the same again changes nothing. */
export const TakeStationEvents = z.strictObject({
  visitId: Id,
  csv: z.strictObject({ text: history, mapping: HistoryMapping, keepMapping: z.boolean().default(true) }).nullable().default(null),
  events: z.array(StationEventBody).max(5000).default([]),
}).refine((one) => one.csv !== null || one.events.length > 0, { error: 'must hold the history as text, or events', path: ['csv'] });
export type TakeStationEvents = z.infer<typeof TakeStationEvents>;

export const StepVerdict = z.enum(['right', 'wrong-text', 'wrong-path', 'wrong-kind', 'wrong-zone', 'wrong-account', 'late', 'pending', 'not-received']);
export type StepVerdict = z.infer<typeof StepVerdict>;
type Same<A, B> = (<T>() => T extends A ? 1 : 2) extends <T>() => T extends B ? 1 : 2 ? true : never;
const sameVerdicts: Same<EngineVerdict, StepVerdict> = true;
void sameVerdicts;

export const HeardEvent = z.object({ id: Id, at: Instant, account: z.string(), zone: z.string().nullable(), text: z.string().nullable(), path: z.string().nullable(), kind: z.string().nullable(), code: z.string(), restore: z.boolean() });
export type HeardEvent = z.infer<typeof HeardEvent>;
/** One step on site and what the station heard of it. */
export const RoundTripStep = z.object({
  checkId: Id, subjectId: Id, subjectName: z.string(), checkKind: z.string(), title: z.string(), at: Instant, account: z.string(), zone: z.string(), text: z.string().nullable(), limitS: z.number(),
  verdict: StepVerdict, eventId: Id.nullable(), delayS: z.number().nullable(), twice: z.boolean(), waitsUntil: Instant.nullable(), words: z.string(),
});
export type RoundTripStep = z.infer<typeof RoundTripStep>;
export const DelayedRow = z.object({ id: Id, what: z.string(), subjectName: z.string(), account: z.string(), fromAt: Instant, dueAt: Instant, state: z.enum(['waiting', 'heard', 'missing']), heardAt: Instant.nullable(), deficiencyId: Id.nullable() });
export type DelayedRow = z.infer<typeof DelayedRow>;
export const RoundTrip = z.object({
  /** seconds to add to the phone's clock; null: can't tell from so few pairs */
  offsetS: z.number().nullable(), offsetPairs: z.int(), offsetSpreadS: z.number().nullable(),
  steps: z.array(RoundTripStep), events: z.array(HeardEvent), unexplained: z.array(Id), twice: z.array(Id), routine: z.array(Id),
  /** activated and not comparable: no zone or account on record */
  cantTell: z.array(z.object({ subjectName: z.string(), words: z.string() })),
  delayed: z.array(DelayedRow),
  /** the comparison as somebody recorded it last; null: not recorded, nothing follows from it yet */
  recorded: z.object({ at: Instant, byName: z.string(), counts: z.record(z.string(), z.int()) }).nullable(),
  stations: z.array(z.object({ id: Id, name: z.string(), mapping: HistoryMapping.nullable() })),
});
export type RoundTrip = z.infer<typeof RoundTrip>;

export const TakenEvents = z.object({ taken: z.int(), repeated: z.int(), problems: z.array(z.object({ row: z.int(), field: z.string(), value: z.string(), words: z.string() })), elsewhere: z.int(), settledDelayed: z.int(), roundTrip: RoundTrip });
export type TakenEvents = z.infer<typeof TakenEvents>;
export const RecordRoundTrip = z.strictObject({ visitId: Id, id: Id });
export type RecordRoundTrip = z.infer<typeof RecordRoundTrip>;
export const RoundTripRecorded = z.object({ roundTrip: RoundTrip, raised: z.array(z.object({ id: Id, title: z.string(), severity: Severity })), closedDeficiencyIds: z.array(Id), correctedCheckIds: z.array(Id) });
export type RoundTripRecorded = z.infer<typeof RoundTripRecorded>;

export const ZoneRow = z.strictObject({ zone: z.string().trim().min(1, { error: 'must be a zone number' }).max(12), text: z.string().trim().max(120).nullable().default(null) });
/** panel and station: what that list says; site: what was seen there, each text 'found' or 'not-found' */
export const KeepZoneList = z.strictObject({ systemId: Id, id: Id, list: z.enum(['panel', 'station', 'site']), rows: z.array(ZoneRow).min(1, { error: 'must hold at least one zone' }).max(2000) })
  .refine((one) => one.list !== 'site' || one.rows.every((row) => row.text === 'found' || row.text === 'not-found'), { error: "must each be 'found' or 'not-found' for what was seen on site", path: ['rows'] });
export type KeepZoneList = z.infer<typeof KeepZoneList>;
export const ZoneLists = z.object({ systemId: Id, systemName: z.string(), comparison: z.custom<ZoneComparison>(), read: z.object({ panel: Instant.nullable(), station: Instant.nullable() }), seen: z.array(z.object({ zone: z.string(), state: z.enum(['found', 'not-found']), at: Instant })) });
export type ZoneLists = z.infer<typeof ZoneLists>;
export const CorrectZone = z.strictObject({ systemId: Id, id: Id, act: z.enum(['add', 'rename', 'remove']), zone: z.string().trim().regex(/^\d{1,5}$/, { error: 'must be a zone number from 0 to 99999' }), text: z.string().trim().min(1).max(120).nullable().default(null), reason: z.string().trim().min(5, { error: 'must say why, in at least 5 characters' }).max(400) });
export type CorrectZone = z.infer<typeof CorrectZone>;

export const EvidenceItem = z.object({ key: z.string(), what: z.string(), words: z.string(), who: z.enum(['technician', 'station', 'office', 'customer', 'time']), checkId: Id.nullable() });
export const Evidence = z.object({ missing: z.array(EvidenceItem) });
export type Evidence = z.infer<typeof Evidence>;

export const signalsRoutes = {
  showRoundTrip: route({ name: 'showRoundTrip', method: 'GET', path: '/api/visits/:visitId/round-trip', summary: 'What was tripped on site beside what the station heard; nothing follows from it until it is recorded', may: 'read', input: z.strictObject({ visitId: Id }), output: RoundTrip, problems: ['NotFound'] }),
  takeStationEvents: route({ name: 'takeStationEvents', method: 'POST', path: '/api/visits/:visitId/station-events', summary: "Take a station's history for the accounts of this visit's site", may: 'work', input: TakeStationEvents, output: TakenEvents, problems: ['NotFound', 'ImportRefused'] }),
  recordRoundTrip: route({ name: 'recordRoundTrip', method: 'POST', path: '/api/visits/:visitId/round-trip', summary: 'Record the comparison: what was not heard is not proven, wrong text becomes a deficiency of the station’s data', may: 'work', input: RecordRoundTrip, output: RoundTripRecorded, problems: ['NotFound', 'IdReused', 'WrongState'] }),
  showZoneLists: route({ name: 'showZoneLists', method: 'GET', path: '/api/systems/:systemId/zone-lists', summary: 'Control unit, our list and the station’s list of zones, compared', may: 'read', input: z.strictObject({ systemId: Id }), output: ZoneLists, problems: ['NotFound'] }),
  keepZoneList: route({ name: 'keepZoneList', method: 'POST', path: '/api/systems/:systemId/zone-lists', summary: 'Keep a list of zones as the control unit or the station says it', may: 'work', input: KeepZoneList, output: ZoneLists, problems: ['NotFound', 'IdReused'] }),
  correctZone: route({ name: 'correctZone', method: 'POST', path: '/api/systems/:systemId/zones', summary: 'Approve one correction of our list of zones', may: 'plan', input: CorrectZone, output: ZoneLists, problems: ['NotFound', 'WrongState'] }),
  showEvidence: route({ name: 'showEvidence', method: 'GET', path: '/api/visits/:visitId/evidence', summary: 'The proofs that a visit lacks, each with who can still supply it', may: 'read', input: z.strictObject({ visitId: Id }), output: Evidence, problems: ['NotFound'] }),
};
