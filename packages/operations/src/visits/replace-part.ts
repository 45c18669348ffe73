import { Refusal, type ReplacePart, type VisitOwed, type VisitRow } from '@bellround/contracts';
import { programmeBodies } from '@bellround/database';
import type { Programme } from '@bellround/programmes';
import type { LocalDate } from '@bellround/recurrence';
import { addFacts } from '../deficiencies/steps.js';
import type { Act, BulkCtx, Ctx } from '../perform.js';
import { emptyTally, layOnAll } from '../programmes/steps.js';
import { appendLeaves, type LedgerEntry } from '../proof/steps.js';
import { refreshSite } from '../standing/steps.js';
import { dbDay, later, localDayOf, note, own } from '../steps.js';
import { addVisitFact, bodyDigest, doneAt, factGivenBefore, lockVisit, requireOpen, visitAndOwed } from './steps.js';

interface Part { readonly id: string; readonly systemId: string; readonly label: string; readonly externalKey: string; readonly removedOn: Date | null }

/**
 * A device or battery replaced in the visit. VIS-13: the old one keeps its checks, readings and dates and owes nothing from this
 * day on; the new one starts its age, owes the duties of the programmes laid on its system, and is checked in this visit; what was
 * broken on the old one stays open until the new one is proven. Throws VisitClosed, WrongState, IdReused.
 */
export const replacePart: Act<ReplacePart, { visit: VisitRow; owed: VisitOwed; partId: string }> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const digest = bodyDigest(ctx, input);
  if (await factGivenBefore(ctx, input.id, digest)) return { ...(await visitAndOwed(ctx, visit.id)), partId: input.newId };
  requireOpen(visit);
  const at = doneAt(ctx, input);
  const day = localDayOf(at, visit.site.timeZone);
  if (input.madeOn !== null && input.madeOn > day) throw new Refusal('BadInput', `madeOn: ${input.madeOn} is after today (${day}).`, { errors: [{ path: 'madeOn', message: `must not be after ${day}` }] });
  const old = await swap(ctx, visit.siteId, input, day);
  const entries = await moveDeficiencies(ctx, input, old, at);
  await redoDuties(ctx, visit.id, input, old.systemId, day);
  await refreshSite(ctx, visit.siteId);
  // Exposure and risk are counted again of the new age.
  await later(ctx, 'standing-refresh', { siteId: visit.siteId });
  const fact = await addVisitFact(ctx, { id: input.id, visitId: visit.id, kind: 'replaced', at, detail: { digest, partKind: input.partKind, partId: old.id, newId: input.newId, label: old.label, reason: input.reason } });
  await note(ctx, { act: 'replace-part', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${old.label} at ${visit.site.name} was replaced: ${input.reason}` });
  await appendLeaves(ctx, [...entries, fact]);
  return { ...(await visitAndOwed(ctx, visit.id)), partId: input.newId };
};

/** Takes the old one out and puts the new one in its place: same system, place, zone and label, with dates of its own. */
async function swap(ctx: Ctx, siteId: string, input: ReplacePart, day: string): Promise<Part> {
  const { db } = ctx.tx;
  const key = { companyId_id: { ...own(ctx), id: input.partId } };
  const include = { system: { select: { siteId: true } } };
  const found = input.partKind === 'device' ? await db.device.findUnique({ where: key, include }) : await db.battery.findUnique({ where: key, include });
  if (!found || found.system.siteId !== siteId) throw new Refusal('NotFound', `There is no ${input.partKind} by that id at this site.`);
  if (found.removedOn !== null) throw new Refusal('WrongState', `${found.label} was taken out on ${found.removedOn.toISOString().slice(0, 10)} already.`);
  const fresh = { ...own(ctx), id: input.newId, externalKey: `${found.externalKey}/${day}/${input.newId.slice(-6)}`, madeOn: input.madeOn === null ? null : dbDay(input.madeOn), madeOnState: input.madeOnState, firstSeenOn: dbDay(day), createdAt: ctx.now };
  const gone = { removedOn: dbDay(day), replacedById: input.newId };
  if ('chemistry' in found) {
    if (await db.battery.findUnique({ where: { companyId_id: { ...own(ctx), id: input.newId } }, select: { id: true } })) throw new Refusal('IdReused', 'The id for the new battery belongs to another; make a new one.');
    await db.battery.create({ data: { ...fresh, systemId: found.systemId, deviceId: found.deviceId, label: found.label, chemistry: found.chemistry, ratedMah: input.ratedMah ?? found.ratedMah, nominalMv: found.nominalMv, fittedOn: dbDay(day) } });
    await db.battery.update({ where: key, data: gone });
    return found;
  }
  if (await db.device.findUnique({ where: { companyId_id: { ...own(ctx), id: input.newId } }, select: { id: true } })) throw new Refusal('IdReused', 'The id for the new device belongs to another; make a new one.');
  const { kind, link, label, room, heightM, zoneId, systemId, supplyMv, lat, lon } = found;
  await db.device.create({ data: { ...fresh, kind, link, label, room, heightM, zoneId, systemId, supplyMv, lat, lon, serial: input.serial, installedOn: dbDay(day) } });
  await db.device.update({ where: key, data: gone });
  // A wireless device comes with the cell that is in it.
  await db.battery.updateMany({ where: { ...own(ctx), deviceId: found.id, removedOn: null }, data: { removedOn: dbDay(day) } });
  return found;
}

/** A new part is not yet a sound one: what was broken waits for the check of the new part, under the same deficiency. */
async function moveDeficiencies(ctx: Ctx, input: ReplacePart, old: Part, at: Date): Promise<LedgerEntry[]> {
  const { db } = ctx.tx;
  const open = await db.deficiency.findMany({ where: { ...own(ctx), subjectId: old.id, state: { not: 'closed' } }, select: { id: true } });
  if (open.length === 0) return [];
  await db.deficiency.updateMany({ where: { ...own(ctx), id: { in: open.map((one) => one.id) } }, data: { subjectId: input.newId } });
  await db.visitDeficiency.createMany({ skipDuplicates: true, data: open.map((one) => ({ ...own(ctx), visitId: input.visitId, deficiencyId: one.id })) });
  return addFacts(ctx, open.map((one) => ({ deficiencyId: one.id, kind: 'part-replaced', at, words: `${old.label} was replaced (${input.reason}); it stays open until the new one is proven`, detail: { oldId: old.id, newId: input.newId } })));
}

/** The programmes of the system, laid anew on what is fitted now; the new part's duties join this visit where the old one's stood. */
async function redoDuties(ctx: Ctx, visitId: string, input: ReplacePart, systemId: string, day: string): Promise<void> {
  const { db } = ctx.tx;
  const laid = await db.programmeApplication.findMany({ where: { ...own(ctx), systemId, validFrom: { lte: dbDay(day) }, OR: [{ validTo: null }, { validTo: { gte: dbDay(day) } }] }, select: { programmeId: true } });
  // Laying asks the session for SQL only, which a transaction has too.
  const session = { ...ctx, bulk: ctx.tx } as unknown as BulkCtx;
  for (const { id, body } of await programmeBodies(ctx.tx, [...new Set(laid.map((one) => one.programmeId))])) {
    await layOnAll(session, { programmeId: id, programme: body as Programme, from: day as LocalDate, filter: { systemIds: [systemId], standsOn: id } }, emptyTally(false, day as LocalDate));
  }
  const before = await db.duty.findMany({ where: { ...own(ctx), subjectId: input.partId, visitDuties: { some: { visitId } } }, select: { ruleKey: true } });
  const fresh = await db.duty.findMany({ where: { ...own(ctx), subjectId: input.newId, ruleKey: { in: before.map((one) => one.ruleKey) } }, select: { id: true } });
  if (fresh.length > 0) await db.visitDuty.createMany({ skipDuplicates: true, data: fresh.map((one) => ({ ...own(ctx), visitId, dutyId: one.id })) });
}
