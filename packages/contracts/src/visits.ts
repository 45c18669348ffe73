import type { CheckDefinition, CheckFacts } from '@bellround/acceptance';
import { z } from 'zod';
import { Id, Instant, LocalDay, PageInput, pageOf, WeeklyHours } from './basics.js';
import { DeficiencyRow, Severity } from './deficiencies.js';
import { route } from './route.js';

export const Verdict = z.enum(['pass', 'marginal', 'fail', 'excused', 'not-done']);
export type Verdict = z.infer<typeof Verdict>;
export const VisitState = z.enum(['wanted', 'planned', 'published', 'open', 'closed', 'stopped', 'no-access', 'cancelled']);
export type VisitState = z.infer<typeof VisitState>;
export const VisitKind = z.enum(['programme', 'retest', 'remainder', 'urgent']);
export const CheckSubject = z.enum(['site', 'system', 'device', 'path', 'battery']);
/** What a hold covers at the station; an empty list covers everything. */
export const HoldPart = z.enum(['intrusion', 'fire', 'panic', 'hold-up', 'medical', 'co', 'environmental', 'home-automation', 'paths']);
export type HoldPart = z.infer<typeof HoldPart>;

/**
 * When something was done by the phone's clock, and what that clock says at sending. The house keeps the first raw and
 * moves it by the difference between its own clock and the second, so a wrong phone clock puts nothing out of order.
 */
const clock = { deviceClockAt: Instant.optional(), deviceClockNow: Instant.optional() };
const words = (least: number, message: string) => z.string().trim().min(least, { error: message }).max(1000);
const name = z.string().trim().min(2, { error: 'must be a name of at least 2 characters' }).max(120);

const ReadingValue = z.union([z.number(), z.boolean(), z.string().max(2000), z.null()]);

/** What came of one expected response; in the order in which the definition names them, null where nothing was said. */
export const ResponseAnswer = z.discriminatedUnion('answer', [
  z.strictObject({ answer: z.literal('seen'), afterS: z.number().min(0).max(86_400).optional() }),
  /** not yet: it did not come, or may still come when it is held back on purpose */
  z.strictObject({ answer: z.literal('not-seen') }),
  z.strictObject({ answer: z.literal('not-provable'), because: z.string().trim().min(3, { error: 'must say why it cannot be proven in this visit' }).max(400) }),
]).nullable();
export type ResponseAnswer = z.infer<typeof ResponseAnswer>;

const checkBody = {
  /** made by the phone; the same id with the same body is answered the same, whenever it comes again */
  id: Id,
  checkKind: z.string().min(1).max(80),
  subjectKind: CheckSubject,
  subjectId: Id,
  readings: z.record(z.string().max(80), ReadingValue).default({}),
  /** the meter the numbers were read on */
  instrumentId: Id.nullable().default(null),
  /** judged: the verdict is computed; excused: failed for a known reason and owed again; not-done: not tried, with the reason */
  outcome: z.enum(['judged', 'excused', 'not-done']).default('judged'),
  overrule: z.strictObject({ to: z.enum(['pass', 'marginal', 'fail']), reason: z.string().trim().max(1000).default('') }).nullable().default(null),
  excuseCode: z.string().max(80).nullable().default(null),
  reason: z.string().trim().max(1000).nullable().default(null),
  notes: z.string().trim().max(4000).nullable().default(null),
  /** what this check took out of normal besides what its definition says */
  alsoOut: z.array(z.string().trim().min(2).max(120)).max(20).default([]),
  /** what the step had to provoke, answered one by one; absent: nothing was said */
  responses: z.array(ResponseAnswer).max(20).optional(),
  /** what the phone computed; it is told when the house computes another */
  phoneVerdict: z.string().max(40).nullable().default(null),
  ...clock,
};
export const CheckBody = z.strictObject(checkBody);
export type CheckBody = z.infer<typeof CheckBody>;
export const RecordCheck = z.strictObject({ visitId: Id, ...checkBody });
export type RecordCheck = z.infer<typeof RecordCheck>;
export const RecordChecks = z.strictObject({ visitId: Id, checks: z.array(CheckBody).min(1).max(200) });
export type RecordChecks = z.infer<typeof RecordChecks>;
export const CorrectCheck = z.strictObject({ checkId: Id, ...checkBody, why: words(10, 'must say what was wrong, in at least 10 characters') });
export type CorrectCheck = z.infer<typeof CorrectCheck>;

export const CheckRow = z.object({
  id: Id, visitId: Id.nullable(), systemId: Id, subjectKind: z.string(), subjectId: Id, checkKind: z.string(),
  performedOn: LocalDay, performedAt: Instant, deviceClockAt: Instant.nullable(), recordedAt: Instant,
  technicianId: Id.nullable(), recordedBy: Id.nullable(),
  verdict: Verdict, computedVerdict: z.string().nullable(), reason: z.string(), marginValue: z.number().nullable(), marginUnit: z.string().nullable(), limitSource: z.string().nullable(),
  overruleReason: z.string().nullable(), excuseCode: z.string().nullable(), evidence: z.string(), holdId: Id.nullable(), correctsId: Id.nullable(), notes: z.string().nullable(),
  /** what the judging added: notes, findings, what was missing */
  judgement: z.object({ notes: z.array(z.string()).optional(), missing: z.array(z.string()).optional(), applicable: z.boolean().optional(), reliable: z.boolean().optional(), phoneVerdict: z.string().nullable().optional(), byStation: z.boolean().optional(), responses: z.array(z.object({ what: z.string(), where: z.string(), verdict: z.string(), words: z.string() })).optional() }),
  readings: z.array(z.object({ key: z.string(), unit: z.string().nullable(), value: ReadingValue, instrumentId: Id.nullable(), reliable: z.boolean().nullable() })),
});
export type CheckRow = z.infer<typeof CheckRow>;

export const CheckRecorded = z.object({
  check: CheckRow,
  /** raised, seen again or reopened by this check */
  deficiencies: z.array(z.object({ id: Id, title: z.string(), severity: Severity, dueOn: LocalDay, how: z.string() })),
  /** closed by this check's pass */
  closedDeficiencyIds: z.array(Id),
  /** duties that this check met */
  creditedDutyIds: z.array(Id),
  /** what this check took out of normal */
  putBack: z.array(z.object({ id: Id, what: z.string() })),
  /** true when the phone had computed another verdict: the house's stands, the phone's build is older */
  phoneDiffers: z.boolean(),
});
export type CheckRecorded = z.infer<typeof CheckRecorded>;

/** The answer to one check of a batch: recorded, or the problem's name and words. */
export const BatchAnswer = z.object({ id: Id, recorded: CheckRecorded.nullable(), problem: z.object({ name: z.string(), detail: z.string(), data: z.record(z.string(), z.unknown()).nullable() }).nullable() });

export const HoldRow = z.object({
  id: Id, visitId: Id, accountId: Id, accountNumber: z.string(), siteId: Id, siteName: z.string(), timeZone: z.string(), parts: z.array(z.string()), stationReference: z.string(), operatorName: z.string(),
  openedAt: Instant, untilAt: Instant, openedBy: z.string(), closedAt: Instant.nullable(), closeConfirmedBy: z.string().nullable(), signalsReceived: z.int().nullable(),
});
export type HoldRow = z.infer<typeof HoldRow>;

export const PutBackRow = z.object({ id: Id, what: z.string(), takenOutAt: Instant, byCheckId: Id.nullable(), putBackAt: Instant.nullable(), handedTo: z.string().nullable(), handedReason: z.string().nullable() });
export type PutBackRow = z.infer<typeof PutBackRow>;

export const VisitRow = z.object({
  id: Id, siteId: Id, siteName: z.string(), address: z.string(), timeZone: z.string(), kind: z.string(), state: VisitState, title: z.string(), serviceMin: z.int(), parentId: Id.nullable(),
  day: LocalDay.nullable(), startMin: z.int().nullable(), technicianId: Id.nullable(), technicianName: z.string().nullable(), openedAt: Instant.nullable(), closedAt: Instant.nullable(),
});
export type VisitRow = z.infer<typeof VisitRow>;

export const DutyToMeet = z.object({
  id: Id, title: z.string(), regime: z.string(), mandated: z.boolean(), systemId: Id, subjectKind: z.string(), subjectId: Id, subjectName: z.string(), checkKinds: z.array(z.string()), minutes: z.int(),
  opens: LocalDay.nullable(), due: LocalDay.nullable(), lapses: LocalDay.nullable(), metByCheckId: Id.nullable(),
});
export type DutyToMeet = z.infer<typeof DutyToMeet>;

/** One check that the visit's duties and deficiencies ask for, in the order in which it is best done. */
export const CheckToDo = z.object({ checkKind: z.string(), subjectKind: CheckSubject, subjectId: Id, subjectName: z.string(), room: z.string().nullable(), systemId: Id, meetsDutyIds: z.array(Id), retestsDeficiencyIds: z.array(Id), minutes: z.int(), done: z.boolean(),
  /** where it stands in the visit: before the hold, inside it, inside it and sounding, sounding without one, putting back; null: no legal order is known */
  phase: z.enum(['open', 'hold', 'hold-sounding', 'sounding', 'restore']).nullable() });
export type CheckToDo = z.infer<typeof CheckToDo>;

/** What still stands between the visit and its close, and what stays owed after it. */
export const VisitOwed = z.object({
  duties: z.array(z.object({ id: Id, title: z.string(), subjectName: z.string(), minutes: z.int(), lapses: LocalDay.nullable() })),
  deficiencies: z.array(z.object({ id: Id, title: z.string(), minutes: z.int() })),
  excused: z.array(z.object({ checkId: Id, checkKind: z.string(), subjectName: z.string(), excuseCode: z.string() })),
  contradicted: z.array(z.object({ checkKind: z.string(), subjectName: z.string(), words: z.string() })),
  minutes: z.int(),
  holdsOpen: z.array(HoldRow), putBack: z.array(PutBackRow), liveProofMissing: z.boolean(),
});
export type VisitOwed = z.infer<typeof VisitOwed>;

export const InstrumentRow = z.object({ id: Id, kind: z.string(), serial: z.string(), calibratedTo: LocalDay.nullable() });
export type InstrumentRow = z.infer<typeof InstrumentRow>;

const Part = z.object({ id: Id, systemId: Id, name: z.string(), kind: z.string(), detail: z.record(z.string(), z.unknown()) });
export const VisitView = z.object({
  visit: VisitRow,
  site: z.object({
    id: Id, name: z.string(), address: z.string(), locality: z.string().nullable(), postcode: z.string().nullable(), lat: z.number().nullable(), lon: z.number().nullable(), timeZone: z.string(), occupancy: z.string(), sleepingRisk: z.boolean(),
    accessHours: z.array(WeeklyHours), noiseHours: z.array(WeeklyHours).nullable(), accessNotes: z.string().nullable(), notes: z.string().nullable(),
    contacts: z.array(z.object({ name: z.string(), roles: z.array(z.string()), phone: z.string().nullable(), language: z.string().nullable() })),
  }),
  systems: z.array(z.object({ id: Id, kind: z.string(), name: z.string(), grade: z.string().nullable(), controlUnit: z.string().nullable(), firmware: z.string().nullable(), accountId: Id.nullable() })),
  accounts: z.array(z.object({ id: Id, number: z.string(), stationName: z.string(), stationPhone: z.string().nullable(), status: z.string() })),
  devices: z.array(z.object({ id: Id, systemId: Id, kind: z.string(), link: z.string(), label: z.string(), room: z.string().nullable(), zone: z.int().nullable(), zoneText: z.string().nullable(), serial: z.string().nullable() })),
  batteries: z.array(Part), paths: z.array(Part),
  duties: z.array(DutyToMeet),
  toDo: z.array(CheckToDo),
  /** checks that disturb each other and must not be done at once, in words */
  apart: z.array(z.string()),
  /** every catalogue definition that fits a subject of this site, as the judge takes it */
  definitions: z.array(z.custom<CheckDefinition>()),
  /** what is known of each subject, as the judge takes it: the phone computes the same verdict without a network */
  checkFacts: z.record(z.string(), z.custom<CheckFacts>()),
  /** last visit's values, kept apart so that a screen shows them only after the new one is entered */
  lastValues: z.array(z.object({ subjectId: Id, checkKind: z.string(), performedOn: LocalDay, verdict: Verdict, readings: z.record(z.string(), ReadingValue) })),
  instruments: z.array(InstrumentRow),
  deficiencies: z.array(DeficiencyRow),
  checks: z.array(CheckRow), holds: z.array(HoldRow), putBack: z.array(PutBackRow),
  facts: z.array(z.object({ id: Id, kind: z.string(), at: Instant, byName: z.string(), detail: z.record(z.string(), z.unknown()) })),
  attempts: z.array(z.object({ id: Id, how: z.string(), outcome: z.string(), at: Instant, words: z.string(), photoId: Id.nullable() })),
  owed: VisitOwed,
});
export type VisitView = z.infer<typeof VisitView>;

export const RoundStop = VisitRow.extend({
  order: z.int(), arriveMin: z.int().nullable(), travelMin: z.int().nullable(), endMin: z.int().nullable(), accessNotes: z.string().nullable(), lat: z.number().nullable(), lon: z.number().nullable(), checks: z.int(),
  /** '' the whole visit | silent | sounding | collect | return (its key) | silent-collect ... */
  part: z.string(),
  needs: z.array(z.string()), openDeficiencies: z.int(), holdUntil: Instant.nullable(), secondTechnicianName: z.string().nullable(),
});
export type RoundStop = z.infer<typeof RoundStop>;
const RoundSpot = z.object({ day: LocalDay, startMin: z.int(), withName: z.string() });
/** What one publication changed on this technician's round: visits that came, went, or stand elsewhere; `withName`: whose round the other side is. */
export const RoundChange = z.object({ publicationId: Id, at: Instant, byName: z.string(), first: z.boolean(), lines: z.array(z.object({ visitId: Id, siteName: z.string(), kind: z.enum(['came', 'gone', 'moved']), was: RoundSpot.nullable(), now: RoundSpot.nullable() })) });
export type RoundChange = z.infer<typeof RoundChange>;
export const MyRound = z.object({ technician: z.object({ id: Id, name: z.string(), timeZone: z.string() }).nullable(), changes: z.array(RoundChange), days: z.array(z.object({ day: LocalDay, stops: z.array(RoundStop) })) });
export type MyRound = z.infer<typeof MyRound>;

export const CreateVisit = z.strictObject({
  id: Id, siteId: Id, kind: VisitKind.default('programme'), title: z.string().trim().max(200).optional(),
  /** chosen: exactly these duties; minimum: all that are open, late, lapsed or can't be told on `day`, with the fewest minutes of checks */
  pick: z.enum(['chosen', 'minimum']).default('chosen'),
  dutyIds: z.array(Id).max(2000).default([]), deficiencyIds: z.array(Id).max(200).default([]),
  day: LocalDay.optional(), startMin: z.int().min(0).max(1439).optional(), technicianId: Id.optional(), persons: z.int().min(1).max(4).default(1),
});
export type CreateVisit = z.infer<typeof CreateVisit>;

/** The least checks that meet what was picked of a site's owed duties (all of them where nothing was picked), and what would stay owed. */
export const PickShown = z.object({
  siteId: Id, day: LocalDay,
  owed: z.array(z.object({ dutyId: Id, title: z.string(), regime: z.string(), mandated: z.boolean(), subjectName: z.string(), lapses: LocalDay.nullable(), isPicked: z.boolean(), isMet: z.boolean() })),
  checks: z.array(z.object({ checkKind: z.string(), title: z.string(), subjectId: Id, subjectName: z.string(), minutes: z.int(), meets: z.int() })),
  minutes: z.int(),
  /** false: too many duties of one part for the exact search; the checks meet them all, perhaps not in the least time */
  isLeast: z.boolean(),
  /** picked duties that no check of the catalogue meets here */
  unmet: z.array(z.object({ dutyId: Id, words: z.string() })),
});
export type PickShown = z.infer<typeof PickShown>;

export const OpenVisit = z.strictObject({ visitId: Id, id: Id, technicianId: Id.optional(), ...clock });
export type OpenVisit = z.infer<typeof OpenVisit>;
export const OpenHold = z.strictObject({ visitId: Id, id: Id, accountId: Id, parts: z.array(HoldPart).max(9).default([]), stationReference: z.string().trim().min(1, { error: "must be the station's reference for this hold" }).max(80), operatorName: name, untilAt: Instant, ...clock });
export type OpenHold = z.infer<typeof OpenHold>;
export const ExtendHold = z.strictObject({ holdId: Id, id: Id, untilAt: Instant, operatorName: name, ...clock });
export type ExtendHold = z.infer<typeof ExtendHold>;
export const CloseHold = z.strictObject({ holdId: Id, id: Id, confirmedBy: name, signalsReceived: z.int().min(0).max(100_000), ...clock });
export type CloseHold = z.infer<typeof CloseHold>;
export const PutBackDone = z.strictObject({ putBackId: Id, id: Id, ...clock });
export type PutBackDone = z.infer<typeof PutBackDone>;
export const HandOver = z.strictObject({ putBackId: Id, id: Id, to: name, reason: words(5, 'must say why it stays out of normal'), ...clock });
export type HandOver = z.infer<typeof HandOver>;
/** An item of a visit's put-back list by its words: a phone without a network does not know the id that the house gives it. */
export const PutBackByName = z.strictObject({ visitId: Id, id: Id, what: z.string().trim().min(2).max(120), handTo: z.strictObject({ to: name, reason: words(5, 'must say why it stays out of normal') }).nullable().default(null), ...clock });
export type PutBackByName = z.infer<typeof PutBackByName>;
export const LiveProof = z.strictObject({ visitId: Id, id: Id, accountId: Id, signal: words(2, 'must say which signal was sent'), confirmedBy: name, ...clock });
export type LiveProof = z.infer<typeof LiveProof>;
export const SignVisit = z.strictObject({ visitId: Id, id: Id, name, capacity: z.string().trim().max(120).default(''), ...clock });
export type SignVisit = z.infer<typeof SignVisit>;
export const StopVisit = z.strictObject({ visitId: Id, id: Id, remainderId: Id, reason: words(3, 'must say why you stop here'), ...clock });
export type StopVisit = z.infer<typeof StopVisit>;
export const CloseVisit = z.strictObject({ visitId: Id, id: Id, signedBy: name.nullable().default(null), notSignedBecause: z.string().trim().max(400).nullable().default(null), ...clock });
export type CloseVisit = z.infer<typeof CloseVisit>;
export const RecordAttempt = z.strictObject({
  siteId: Id, id: Id, visitId: Id.nullable().default(null), how: z.enum(['at-door', 'call', 'message', 'letter']),
  outcome: z.enum(['no-answer', 'refused', 'only-minors', 'wrong-contact', 'moved-appointment', 'unsafe', 'reached']),
  lat: z.number().min(-90).max(90).nullable().default(null), lon: z.number().min(-180).max(180).nullable().default(null), waitedMin: z.int().min(0).max(600).nullable().default(null), photoId: Id.nullable().default(null),
  words: words(3, 'must say in words what happened'), preventableBy: z.enum(['customer', 'ours', 'station', 'weather', 'part-supplier']), ...clock,
});
export type RecordAttempt = z.infer<typeof RecordAttempt>;
/** A device or battery replaced in the visit: the old one keeps its history, the new one starts its own age. */
export const ReplacePart = z.strictObject({
  visitId: Id, id: Id, partKind: z.enum(['device', 'battery']), partId: Id, newId: Id, reason: words(3, 'must say why it was replaced'), serial: z.string().trim().max(120).nullable().default(null),
  madeOn: LocalDay.nullable().default(null), madeOnState: z.enum(['known', 'unreadable', 'absent', 'not-asked']).default('not-asked'), ratedMah: z.int().min(1).max(1_000_000).nullable().default(null), ...clock,
}).refine((one) => (one.madeOn !== null) === (one.madeOnState === 'known'), { error: "must be given when it is known, and only then", path: ['madeOn'] });
export type ReplacePart = z.infer<typeof ReplacePart>;
/** The phone is so far from the site while a hold is open, or is back; the place itself stays on the phone. */
export const LeftSite = z.strictObject({ visitId: Id, id: Id, distanceM: z.int().min(0).max(20_000_000), isBack: z.boolean().default(false), ...clock });
export type LeftSite = z.infer<typeof LeftSite>;
export const KeepInstrument = z.strictObject({ id: Id, kind: z.string().trim().min(2, { error: 'must say what it measures, such as volt meter' }).max(80), serial: z.string().trim().min(1, { error: 'must be its serial number' }).max(80), calibratedFrom: LocalDay.nullable().default(null), calibratedTo: LocalDay.nullable().default(null), ...clock })
  .refine((one) => one.calibratedFrom === null || one.calibratedTo === null || one.calibratedFrom <= one.calibratedTo, { error: 'must not end before it begins', path: ['calibratedTo'] });
export type KeepInstrument = z.infer<typeof KeepInstrument>;
export const UploadAttachment = z.strictObject({ id: Id, contentBase64: z.base64({ error: 'must be base64 of a picture' }).min(16).max(2_900_000, { error: 'must be a picture of at most 2 MB' }) });
export type UploadAttachment = z.infer<typeof UploadAttachment>;

const Done = z.object({ visit: VisitRow, owed: VisitOwed });
const visitProblems = ['NotFound', 'VisitClosed', 'IdReused'] as const;
export const visitsRoutes = {
  listVisits: route({ name: 'listVisits', method: 'GET', path: '/api/visits', summary: 'Visits, nearest day first', may: 'read', input: PageInput.extend({ siteId: Id.optional(), technicianId: Id.optional(), state: VisitState.optional(), from: LocalDay.optional(), to: LocalDay.optional() }), output: pageOf(VisitRow) }),
  myRound: route({ name: 'myRound', method: 'GET', path: '/api/my-round', summary: "A technician's stops of the coming days", may: 'read', input: z.strictObject({ from: LocalDay.optional(), days: z.coerce.number().int().min(1).max(14).default(3), technicianId: Id.optional() }), output: MyRound, problems: ['NotFound'] }),
  showVisit: route({ name: 'showVisit', method: 'GET', path: '/api/visits/:visitId', summary: 'All that the work on site needs, also without a network', may: 'read', input: z.strictObject({ visitId: Id }), output: VisitView, problems: ['NotFound'] }),
  showPick: route({ name: 'showPick', method: 'POST', path: '/api/sites/:siteId/pick', summary: 'The least checks that meet the picked duties of a site, or all that is owed, and what stays owed', may: 'read', input: z.strictObject({ siteId: Id, day: LocalDay.optional(), dutyIds: z.array(Id).max(2000).optional() }), output: PickShown, problems: ['NotFound'] }),
  createVisit: route({ name: 'createVisit', method: 'POST', path: '/api/visits', summary: 'Make a visit of chosen duties and deficiencies, or of the least that meets all that is due', may: 'work', input: CreateVisit, output: VisitRow, problems: ['NotFound', 'IdReused', 'WrongState', 'NotLicensed'] }),
  openVisit: route({ name: 'openVisit', method: 'POST', path: '/api/visits/:visitId/open', summary: 'Start the visit, or join it; skill and licence are looked at again on this day', may: 'work', input: OpenVisit, output: Done, problems: [...visitProblems, 'NotLicensed', 'WrongState'] }),
  openHold: route({ name: 'openHold', method: 'POST', path: '/api/visits/:visitId/holds', summary: 'Put an account on test at the station, with its reference', may: 'work', input: OpenHold, output: HoldRow, problems: [...visitProblems, 'HoldOpen', 'BadInput'] }),
  extendHold: route({ name: 'extendHold', method: 'POST', path: '/api/holds/:holdId/extend', summary: 'Move the end of a hold, as the station confirmed', may: 'work', input: ExtendHold, output: HoldRow, problems: ['NotFound', 'IdReused', 'WrongState'] }),
  closeHold: route({ name: 'closeHold', method: 'POST', path: '/api/holds/:holdId/close', summary: "Take the account off test, with the station's confirmation and the count of signals it received", may: 'work', input: CloseHold, output: HoldRow, problems: ['NotFound', 'IdReused', 'WrongState'] }),
  openHolds: route({ name: 'openHolds', method: 'GET', path: '/api/holds', summary: 'Every account on test now', may: 'read', input: z.strictObject({}), output: z.object({ rows: z.array(HoldRow), now: Instant }) }),
  recordCheck: route({ name: 'recordCheck', method: 'POST', path: '/api/visits/:visitId/checks', summary: 'Append one check', may: 'work', input: RecordCheck, output: CheckRecorded, problems: [...visitProblems, 'HoldRequired', 'NotLicensed'] }),
  recordChecks: route({ name: 'recordChecks', method: 'POST', path: '/api/visits/:visitId/checks/batch', summary: 'Append many checks; each is answered on its own', may: 'work', input: RecordChecks, output: z.object({ answers: z.array(BatchAnswer) }), problems: ['NotFound'] }),
  correctCheck: route({ name: 'correctCheck', method: 'POST', path: '/api/checks/:checkId/correct', summary: 'Correct a check by a further one; both stay visible', may: 'work', input: CorrectCheck, output: CheckRecorded, problems: ['NotFound', 'IdReused', 'WrongState', 'NotAllowed'] }),
  putBackDone: route({ name: 'putBackDone', method: 'POST', path: '/api/put-back/:putBackId/done', summary: 'This is back to normal', may: 'work', input: PutBackDone, output: PutBackRow, problems: ['NotFound', 'IdReused'] }),
  handOver: route({ name: 'handOver', method: 'POST', path: '/api/put-back/:putBackId/hand-over', summary: 'This stays out of normal, handed over by name', may: 'work', input: HandOver, output: PutBackRow, problems: ['NotFound', 'IdReused'] }),
  putBackByName: route({ name: 'putBackByName', method: 'POST', path: '/api/visits/:visitId/put-back', summary: 'What is named is back to normal, or handed over by name', may: 'work', input: PutBackByName, output: z.object({ item: PutBackRow.nullable() }), problems: ['NotFound', 'IdReused'] }),
  liveProof: route({ name: 'liveProof', method: 'POST', path: '/api/visits/:visitId/live-proof', summary: 'One real signal after the hold, seen by the station as live', may: 'work', input: LiveProof, output: Done, problems: [...visitProblems, 'HoldOpen'] }),
  signVisit: route({ name: 'signVisit', method: 'POST', path: '/api/visits/:visitId/sign', summary: 'Who signed for the visit', may: 'work', input: SignVisit, output: Done, problems: [...visitProblems] }),
  stopVisit: route({ name: 'stopVisit', method: 'POST', path: '/api/visits/:visitId/stop', summary: 'Stop here: what is left becomes a remainder visit', may: 'work', input: StopVisit, output: Done.extend({ remainder: VisitRow.nullable() }), problems: [...visitProblems, 'HoldOpen', 'StillOut'] }),
  closeVisit: route({ name: 'closeVisit', method: 'POST', path: '/api/visits/:visitId/close', summary: 'Close the visit; answers what stays owed', may: 'work', input: CloseVisit, output: Done, problems: [...visitProblems, 'HoldOpen', 'StillOut', 'StillOwed'] }),
  recordAttempt: route({ name: 'recordAttempt', method: 'POST', path: '/api/sites/:siteId/attempts', summary: 'A try at access, with its evidence', may: 'work', input: RecordAttempt, output: z.object({ id: Id, visit: VisitRow.nullable() }), problems: ['NotFound', 'IdReused', 'WrongState'] }),
  leftSite: route({ name: 'leftSite', method: 'POST', path: '/api/visits/:visitId/left', summary: 'The phone drove off while an account is on test, or is back', may: 'work', input: LeftSite, output: z.object({ open: z.boolean() }), problems: ['NotFound', 'IdReused', 'WrongState'] }),
  replacePart: route({ name: 'replacePart', method: 'POST', path: '/api/visits/:visitId/replacements', summary: 'A device or battery was replaced: its history stays, the new one starts its age and owes its own duties', may: 'work', input: ReplacePart, output: Done.extend({ partId: Id }), problems: [...visitProblems, 'WrongState'] }),
  keepInstrument: route({ name: 'keepInstrument', method: 'POST', path: '/api/instruments', summary: 'Add an instrument, or its new calibration', may: 'work', input: KeepInstrument, output: InstrumentRow, problems: ['WrongState'] }),
  uploadAttachment: route({ name: 'uploadAttachment', method: 'POST', path: '/api/attachments', summary: 'Keep one picture of at most 2 MB (JPEG, PNG or WebP)', may: 'work', input: UploadAttachment, output: z.object({ id: Id, digest: z.string(), mime: z.string(), bytes: z.int() }), problems: ['IdReused', 'TooLarge'] }),
  attachment: route({ name: 'attachment', method: 'GET', path: '/api/attachments/:attachmentId', summary: 'A picture, to its own company only', may: 'read', carries: 'image', input: z.strictObject({ attachmentId: Id }), output: z.string(), problems: ['NotFound'] }),
};
