import { Refusal, type PlanRetest } from '@bellround/contracts';
import { lockDeficiencyRows } from '@bellround/database';
import { checkDefinition } from '@bellround/programmes';
import type { Act } from '../perform.js';
import { appendLeaves } from '../proof/steps.js';
import { dayTextOrNull, dbDay, note, own } from '../steps.js';
import { addFacts, retestKindOf } from './steps.js';

interface Answer { visitId: string; title: string; serviceMin: number; day: string | null }

/** One retest visit for several deficiencies of a site. With day and technician it stands on that round; otherwise it waits to be planned. */
export const planRetest: Act<PlanRetest, Answer> = async (ctx, input) => {
  const { db } = ctx.tx;
  const ids = [...new Set(input.deficiencyIds)].sort();
  await lockDeficiencyRows(ctx.tx, ids);
  const before = await db.visit.findUnique({ where: { companyId_id: { ...own(ctx), id: input.id } }, include: { deficiencies: true } });
  if (before) {
    const same = before.kind === 'retest' && before.deficiencies.map((one) => one.deficiencyId).sort().join() === ids.join();
    if (!same) throw new Refusal('IdReused', 'This id belongs to another visit.');
    return { visitId: before.id, title: before.title, serviceMin: before.serviceMin, day: dayTextOrNull(before.day) };
  }
  const rows = await db.deficiency.findMany({ where: { ...own(ctx), id: { in: ids } }, include: { site: { select: { name: true } }, visits: { include: { visit: { select: { state: true, title: true } } } } } });
  if (rows.length < ids.length) throw new Refusal('NotFound', 'One of the deficiencies does not exist.');
  if (new Set(rows.map((row) => row.siteId)).size > 1) throw new Refusal('WrongState', 'A visit is at one site; choose deficiencies of the same site.');
  const closed = rows.find((row) => row.state === 'closed');
  if (closed) throw new Refusal('WrongState', `'${closed.title}' is closed already.`);
  const waiting = rows.find((row) => row.visits.some(({ visit }) => ['wanted', 'planned', 'published', 'open'].includes(visit.state)));
  if (waiting) throw new Refusal('WrongState', `'${waiting.title}' waits for a visit already; move that one instead.`);
  if (input.technicianId && !(await db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id: input.technicianId } }, select: { id: true } }))) throw new Refusal('NotFound', 'There is no technician by that id.');
  const kinds = new Map(rows.map((row) => [`${row.subjectId}:${retestKindOf(row.checkKind)}`, checkDefinition(retestKindOf(row.checkKind))?.minutes ?? 10]));
  const serviceMin = Math.max(10, [...kinds.values()].reduce((sum, minutes) => sum + minutes, 0) + 10);
  const title = rows.length === 1 ? `Retest: ${rows[0]!.title}` : `Retest of ${rows.length} deficiencies`;
  const isGiven = input.day !== undefined && input.technicianId !== undefined;
  await db.visit.create({ data: {
    ...own(ctx), id: input.id, siteId: rows[0]!.siteId, kind: 'retest', state: isGiven ? 'published' : 'wanted', title, serviceMin, day: input.day ? dbDay(input.day) : null, startMin: input.startMin ?? null, technicianId: input.technicianId ?? null, createdAt: ctx.now,
  } });
  await db.visitDeficiency.createMany({ data: rows.map((row) => ({ ...own(ctx), visitId: input.id, deficiencyId: row.id })) });
  const entries = await addFacts(ctx, rows.map((row) => ({ deficiencyId: row.id, kind: 'retest-planned', words: input.day ? `retest planned for ${input.day}` : 'retest waits to be planned', detail: { visitId: input.id } })));
  await note(ctx, { act: 'plan-retest', about: 'visit', id: input.id, siteId: rows[0]!.siteId, summary: `${title} at ${rows[0]!.site.name}` });
  await appendLeaves(ctx, entries);
  return { visitId: input.id, title, serviceMin, day: input.day ?? null };
};
