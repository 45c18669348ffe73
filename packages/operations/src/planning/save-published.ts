import { Refusal, type PlanChange, type PlanHead } from '@bellround/contracts';
import { stampPublishedVisits } from '@bellround/database';
import type { Round } from '@bellround/planning';
import type { Act, Ctx } from '../perform.js';
import { dayInWords, MAIL_FOOT } from '../reminders/steps.js';
import { dayText, later, note, own } from '../steps.js';
import { changesBetween, clockText, factsOf, loadWeek, lockPlan, planHead, type LoadedWeek } from './steps.js';

/**
 * Makes a draft the week's rounds that was checked on the facts of `checked`; null: those facts are not those of now (a licence may have
 * lapsed, an absence been entered), so it must be checked again. What is published is kept for the record with what changed against
 * the plan before, and each technician concerned is told once.
 */
export const savePublished: Act<{ planId: string; revision: number; checked: string }, PlanHead | null> = async (ctx, input) => {
  const row = await lockPlan(ctx, input.planId);
  if (row.state === 'published') return withCounts(ctx, row.id);
  await lockPlan(ctx, input.planId, input.revision);
  if (row.state !== 'draft') throw new Refusal('WrongState', `This plan is ${row.state}; only a draft can be published.`);
  const week = await loadWeek(ctx, dayText(row.weekStart), row);
  const reasons = await ctx.tx.db.planUnplaced.findMany({ where: { ...own(ctx), planId: row.id } });
  const stored = row.rounds as unknown as Round[];
  if (factsOf(ctx, week) !== input.checked) return null;
  const replaced = await ctx.tx.db.weekPlan.findMany({ where: { ...own(ctx), weekStart: row.weekStart, state: 'published' }, select: { id: true, rounds: true } });
  const ahead = (rounds: Round[]) => ({ rounds: rounds.filter((round) => round.day >= week.today) });
  const changes = changesBetween(week, ahead(replaced.flatMap((one) => one.rounds as unknown as Round[])), ahead(stored));
  await ctx.tx.db.weekPlan.updateMany({ where: { ...own(ctx), id: { in: replaced.map((one) => one.id) } }, data: { state: 'superseded' } });
  await ctx.tx.db.weekPlan.update({ where: { companyId_id: { ...own(ctx), id: row.id } }, data: { state: 'published', publishedAt: ctx.now, publishedBy: ctx.who.userId, revision: { increment: 1 } } });
  await stampPublishedVisits(ctx.tx, row.id, replaced.map((one) => one.id));
  await ctx.tx.db.publication.create({ data: {
    ...own(ctx), id: ctx.newId(), planId: row.id, replacedPlanId: replaced[0]?.id ?? null, weekStart: row.weekStart, at: ctx.now, byId: ctx.who.userId, byName: ctx.who.name,
    rounds: stored as object, unplaced: reasons.map(({ visitId, rule, words, lapses }) => ({ visitId, rule, words, lapses })), cost: row.cost as object, changes: changes as object } });
  const told = await tellTechnicians(ctx, week, row.id, changes, replaced.length === 0);
  const head = await withCounts(ctx, row.id);
  await note(ctx, { act: 'publish-plan', about: 'week', id: row.id, summary: `The week of ${head.weekStart} was published: ${head.placed} visits, ${head.unplaced} left out; ${changes.length} changes, ${told} technicians told` });
  return head;
};

/** One mail per technician whose round changed, once per plan; one without an address is a failed message that a dispatcher sees. */
async function tellTechnicians(ctx: Ctx, week: LoadedWeek, planId: string, changes: readonly PlanChange[], first: boolean): Promise<number> {
  const concerned = new Map<string, string[]>();
  for (const change of changes) for (const [technicianId, words] of linesOf(change)) concerned.set(technicianId, [...(concerned.get(technicianId) ?? []), words]);
  const people = await ctx.tx.db.technician.findMany({ where: { ...own(ctx), id: { in: [...concerned.keys()] } }, orderBy: { name: 'asc' } });
  const made = await ctx.tx.db.message.createMany({ skipDuplicates: true, data: people.map((person) => ({
    ...own(ctx), id: ctx.newId(), dedupeKey: `rounds:${planId}:${person.id}`, kind: 'rounds', toName: person.name, toEmail: person.email ?? '', createdAt: ctx.now,
    state: person.email ? 'waiting' : 'failed', lastError: person.email ? null : `No e-mail address for ${person.name}: enter it with the technician, and tell the changes by phone.`,
    subject: first ? `Your rounds of the week of ${dayInWords(week.weekStart)}` : `Changes in your rounds of the week of ${dayInWords(week.weekStart)}`,
    body: [`Dear ${person.name},`, '', first ? 'your rounds are published:' : 'your rounds have changed:', '', ...concerned.get(person.id)!.map((line) => `- ${line}`), '', 'My round in the app has the whole of it. Codes, keys and access notes are there and never in a mail.', '', MAIL_FOOT].join('\n') })) });
  if (people.some((person) => person.email)) await later(ctx, 'send-messages', {});
  return made.count;
}

/** What a change means for each technician it concerns. */
function linesOf(change: PlanChange): [technicianId: string, words: string][] {
  const at = (spot: NonNullable<PlanChange['from']>) => `${dayInWords(spot.day)} ${clockText(spot.startMin)}`;
  const { from, to, siteName } = change;
  if (from && to && from.technicianId === to.technicianId) return [[to.technicianId, `${siteName}: now ${at(to)} (was ${at(from)})`]];
  return [
    ...(from ? [[from.technicianId, `${siteName}: not yours any more (was ${at(from)})${to ? `; ${to.technicianName} goes` : ''}`] as [string, string]] : []),
    ...(to ? [[to.technicianId, `${siteName}: ${at(to)}${from ? `, taken over from ${from.technicianName}` : ''}`] as [string, string]] : []),
  ];
}

async function withCounts(ctx: Ctx, planId: string): Promise<PlanHead> {
  return planHead(await ctx.tx.db.weekPlan.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: planId } }, include: { _count: { select: { stops: true, unplaced: true } } } }));
}
