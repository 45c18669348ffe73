import type { LooseEnd } from '@bellround/contracts';
import { lapsingDuties } from '@bellround/database';
import { addDays, localDate } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { dayTextOrNull, localDayOf, own } from '../steps.js';

const AHEAD_DAYS = 28;
const MOST = 500;

/** Whatever waits for a dispatcher, most pressing first: what lapses without a visit, what a plan left out, what came back. */
export const listLooseEnds: Act<object, { rows: LooseEnd[]; total: number }> = async (ctx) => {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const today = localDayOf(ctx.now, company.timeZone);
  const [plan] = await ctx.tx.db.weekPlan.findMany({ where: { ...own(ctx), state: { in: ['draft', 'published'] } }, orderBy: { createdAt: 'desc' }, take: 1 });
  // one after the other: a transaction is one connection
  const unplaced = plan ? await ctx.tx.db.planUnplaced.findMany({ where: { ...own(ctx), planId: plan.id, visit: { state: { in: ['wanted', 'planned'] } } }, include: { visit: { include: { site: true } } }, take: MOST }) : [];
  const returned = await ctx.tx.db.visit.findMany({ where: { ...own(ctx), state: 'no-access', remainders: { none: {} } }, include: { site: true, attempts: { orderBy: { at: 'desc' }, take: 1 } }, orderBy: { createdAt: 'desc' }, take: MOST });
  const retests = await ctx.tx.db.deficiency.findMany({ where: { ...own(ctx), state: 'open', severity: { in: ['impairment', 'critical'] }, visits: { none: { visit: { state: { in: ['wanted', 'planned', 'published', 'open'] } } } } }, include: { site: true }, orderBy: { dueOn: 'asc' }, take: MOST });
  const failed = await ctx.tx.db.message.findMany({ where: { ...own(ctx), state: 'failed' }, orderBy: { createdAt: 'desc' }, take: 100 });
  const differences = await ctx.tx.db.listDifference.findMany({ where: { ...own(ctx), settledAt: null, goneOn: null }, take: 100, orderBy: { firstSeenOn: 'asc' } });
  const lapsing = await lapsingDuties(ctx.tx, today, addDays(localDate(today), AHEAD_DAYS), MOST);
  const rows: LooseEnd[] = [
    ...lapsing.filter((line) => line.visit_id === null).map((line): LooseEnd => ({ kind: 'no-visit-yet', visitId: null, siteId: line.site_id, siteName: line.site_name, words: `${line.title} (${line.regime}) lapses in ${line.days_left} days and no visit is on its way${line.attempts > 0 ? `; ${line.attempts} attempts so far` : ''}`, lapsesOn: line.lapses, since: null })),
    ...unplaced.map((one): LooseEnd => ({ kind: 'unplaced', visitId: one.visitId, siteId: one.visit.siteId, siteName: one.visit.site.name, words: `Left out of the plan: ${one.words}${one.lapses ? '; a mandated duty lapses because of it' : ''}`, lapsesOn: null, since: plan?.createdAt.toISOString() ?? null })),
    ...returned.map((visit): LooseEnd => ({ kind: 'returned', visitId: visit.id, siteId: visit.siteId, siteName: visit.site.name, words: `No access: ${visit.attempts[0]?.words ?? 'no words left'}; agree another date`, lapsesOn: null, since: visit.attempts[0]?.at.toISOString() ?? visit.createdAt.toISOString() })),
    ...retests.map((one): LooseEnd => ({ kind: 'retest-unplanned', visitId: null, siteId: one.siteId, siteName: one.site.name, words: `${one.severity}: ${one.title}; no visit is planned to put it right (due ${dayTextOrNull(one.dueOn)})`, lapsesOn: dayTextOrNull(one.dueOn), since: one.raisedAt.toISOString() })),
    ...failed.map((message): LooseEnd => ({ kind: 'message-failed', visitId: null, siteId: message.siteId, siteName: '', words: `${message.subject}: ${message.lastError ?? 'not sent'}`, lapsesOn: null, since: message.createdAt.toISOString() })),
    ...differences.map((one): LooseEnd => ({ kind: 'difference', visitId: null, siteId: one.siteId, siteName: one.name, words: `Account ${one.accountNumber}: ${one.kind.replaceAll('-', ' ')}`, lapsesOn: null, since: one.firstSeenOn.toISOString() })),
  ];
  return { rows, total: rows.length };
};
