import type { DeficiencyRow, Severity } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dbDay, localDayOf, own } from '../steps.js';
import { deficiencyRows } from './steps.js';

interface Asked { search?: string | undefined; limit: number; offset: number; state: 'open' | 'closed' | 'accepted' | 'all'; severity?: string | undefined; siteId?: string | undefined; overdue?: 'true' | 'false' | undefined }
interface Answer { rows: DeficiencyRow[]; total: number; summary: { severity: Severity; open: number; overdue: number; oldestDays: number | null }[] }

const SEVERITIES: readonly Severity[] = ['impairment', 'critical', 'non-critical', 'observation'];

/** Deficiencies, soonest due first; one whose acceptance has run out counts as open again, from its last day on. */
export const listDeficiencies: Act<Asked, Answer> = async (ctx, input) => {
  const { db } = ctx.tx;
  const company = await db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { timeZone: true } });
  const today = dbDay(localDayOf(ctx.now, company.timeZone));
  const open = { OR: [{ state: 'open' }, { state: 'accepted', acceptedUntil: { lt: today } }] };
  const overdue = { OR: [{ state: 'open', dueOn: { lt: today } }, { state: 'accepted', acceptedUntil: { lt: today } }] };
  const states = { open, closed: { state: 'closed' }, accepted: { state: 'accepted', acceptedUntil: { gte: today } }, all: {} };
  const matches = (text: string) => ({ contains: text, mode: 'insensitive' as const });
  const where = { ...own(ctx), AND: [
    states[input.state], ...(input.overdue === 'true' ? [overdue] : []), ...(input.search ? [{ OR: [{ title: matches(input.search) }, { site: { name: matches(input.search) } }, { site: { address: matches(input.search) } }] }] : []),
    ...(input.severity ? [{ severity: input.severity }] : []), ...(input.siteId ? [{ siteId: input.siteId }] : []),
  ] };
  const total = await db.deficiency.count({ where });
  const rows = await db.deficiency.findMany({ where, orderBy: [{ dueOn: 'asc' }, { raisedAt: 'asc' }, { id: 'asc' }], take: input.limit, skip: input.offset });
  const here = { ...own(ctx), ...(input.siteId ? { siteId: input.siteId } : {}) };
  const counts = await db.deficiency.groupBy({ by: ['severity'], where: { ...here, ...open }, _count: { _all: true }, _min: { raisedAt: true } });
  const late = await db.deficiency.groupBy({ by: ['severity'], where: { ...here, ...overdue }, _count: { _all: true } });
  return { rows: await deficiencyRows(ctx, rows), total, summary: SEVERITIES.map((severity) => {
    const count = counts.find((one) => one.severity === severity);
    return { severity, open: count?._count._all ?? 0, overdue: late.find((one) => one.severity === severity)?._count._all ?? 0, oldestDays: count?._min.raisedAt ? Math.max(0, Math.floor((ctx.now.getTime() - count._min.raisedAt.getTime()) / 86_400_000)) : null };
  }) };
};
