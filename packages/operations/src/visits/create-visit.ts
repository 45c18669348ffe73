import { minimumPick } from '@bellround/acceptance';
import { Refusal, type CreateVisit, type VisitRow } from '@bellround/contracts';
import { dutiesOwedOn } from '@bellround/database';
import { catalogue, checkDefinition } from '@bellround/programmes';
import { retestKindOf } from '../deficiencies/steps.js';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { dbDay, localDayOf, note, own } from '../steps.js';
import { addVisitFact, bodyDigest, requireQualified, visitRows } from './steps.js';

const LEAST_MIN = 10;

/**
 * Makes a visit of chosen duties and deficiencies, or ('minimum') of all that is owed on its day with the fewest minutes of
 * checks. With a day and a technician it is theirs at once, if they may; otherwise it waits to be planned.
 */
export const createVisit: Act<CreateVisit, VisitRow> = async (ctx, input) => {
  const { db } = ctx.tx;
  const digest = bodyDigest(ctx, input);
  const key = { companyId_id: { ...own(ctx), id: input.id } };
  const before = await db.visit.findUnique({ where: key, include: { site: true } });
  if (before) {
    const made = await db.visitFact.findFirst({ where: { ...own(ctx), visitId: input.id, kind: 'made' } });
    if ((made?.detail as { digest?: string } | undefined)?.digest !== digest) throw new Refusal('IdReused', 'This id belongs to another visit.');
    return (await visitRows(ctx, [before]))[0]!;
  }
  const site = await db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: input.siteId } } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const day = input.day ?? localDayOf(ctx.now, site.timeZone);
  const wanted = input.pick === 'minimum' ? [...new Set([...input.dutyIds, ...(await dutiesOwedOn(ctx.tx, site.id, day))])] : [...new Set(input.dutyIds)];
  const duties = await db.duty.findMany({ where: { ...own(ctx), siteId: site.id, id: { in: wanted } } });
  if (duties.length < wanted.length) throw new Refusal('NotFound', 'One of the duties does not exist at this site.');
  const deficiencies = await db.deficiency.findMany({ where: { ...own(ctx), siteId: site.id, id: { in: input.deficiencyIds } } });
  if (deficiencies.length < new Set(input.deficiencyIds).size) throw new Refusal('NotFound', 'One of the deficiencies does not exist at this site.');
  if (duties.length + deficiencies.length === 0 && input.kind !== 'urgent') throw new Refusal('WrongState', input.pick === 'minimum' ? `Nothing is owed at ${site.name} on ${day}.` : 'Choose at least one duty or deficiency.');
  if (input.technicianId) await requireQualified(ctx, input.technicianId, duties, day);
  const minutes = input.pick === 'minimum' ? pickedMinutes(duties) : duties.reduce((sum, duty) => sum + duty.minutes, 0);
  const serviceMin = Math.max(LEAST_MIN, minutes + deficiencies.reduce((sum, one) => sum + (checkDefinition(retestKindOf(one.checkKind))?.minutes ?? 10), 0));
  const isGiven = input.day !== undefined && input.technicianId !== undefined;
  const visit = await db.visit.create({ include: { site: true }, data: {
    ...own(ctx), id: input.id, siteId: site.id, kind: input.kind, state: isGiven ? 'published' : 'wanted', title: input.title || titleOf(input.kind, duties.length, deficiencies.length), serviceMin, persons: input.persons,
    day: input.day ? dbDay(input.day) : null, startMin: input.startMin ?? null, technicianId: input.technicianId ?? null, createdAt: ctx.now,
  } });
  await db.visitDuty.createMany({ data: duties.map((duty) => ({ ...own(ctx), visitId: visit.id, dutyId: duty.id })) });
  await db.visitDeficiency.createMany({ data: deficiencies.map((one) => ({ ...own(ctx), visitId: visit.id, deficiencyId: one.id })) });
  const entry = await addVisitFact(ctx, { visitId: visit.id, kind: 'made', at: ctx.now, detail: { digest, dutyIds: duties.map((duty) => duty.id), deficiencyIds: deficiencies.map((one) => one.id) } });
  await note(ctx, { act: 'create-visit', about: 'visit', id: visit.id, siteId: site.id, summary: `Visit made at ${site.name}: ${visit.title}, about ${serviceMin} min` });
  await appendLeaves(ctx, [entry]);
  return (await visitRows(ctx, [visit]))[0]!;
};

function pickedMinutes(duties: readonly { id: string; subjectId: string; checkKinds: string[]; minutes: number }[]): number {
  const pick = minimumPick(duties.map((duty) => ({ id: duty.id, subjectId: duty.subjectId, checkKinds: duty.checkKinds })), catalogue);
  const unmet = new Set(pick.unmet.map((one) => one.duty));
  return pick.minutes + duties.filter((duty) => unmet.has(duty.id)).reduce((sum, duty) => sum + duty.minutes, 0);
}

function titleOf(kind: string, duties: number, deficiencies: number): string {
  const parts = [...(duties > 0 ? [`${duties} ${duties === 1 ? 'duty' : 'duties'}`] : []), ...(deficiencies > 0 ? [`${deficiencies} ${deficiencies === 1 ? 'retest' : 'retests'}`] : [])];
  return parts.length > 0 ? parts.join(', ') : kind === 'urgent' ? 'Urgent fault' : 'Visit';
}
