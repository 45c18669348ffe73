import type { LooseEnd } from '@bellround/contracts';
import { accessLines, lapsingDuties, type AccessLine } from '@bellround/database';
import { addDays, localDate } from '@bellround/recurrence';
import type { Act, Ctx } from '../perform.js';
import { dayInWords } from '../reminders/steps.js';
import { dayText, dayTextOrNull, dbDay, localDayOf, own } from '../steps.js';
import { clockText } from './steps.js';

const AHEAD_DAYS = 28;
const MOST = 500;

const NO_VISIT = { day: null, startMin: null, contact: null, attempts: 0 } as const;

/** Whatever waits for a dispatcher, most pressing first: what lapses without a visit, what a plan left out, what came back, whom to call. */
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
  const notices = await noticesToGive(ctx, today, plan?.state === 'draft' ? plan.id : null);
  const permits = await ctx.tx.db.sitePermit.findMany({ where: { ...own(ctx), OR: [{ fromDay: null }, { toDay: { lt: dbDay(today) } }], site: { closedOn: null, visits: { some: { state: { in: ['wanted', 'planned', 'published'] } } } } }, include: { site: true }, orderBy: { enteredAt: 'asc' }, take: MOST });
  const calls = await callsToMake(ctx, today, plan?.state === 'draft' ? plan.id : null);
  const access = new Map((await accessLines(ctx.tx, [...new Set([...returned, ...unplaced.map((one) => one.visit), ...calls, ...notices, ...permits].map((visit) => visit.siteId))], today)).map((line) => [line.site_id, line]));
  const reach = (siteId: string) => contactOf(access.get(siteId));
  const rows: LooseEnd[] = [
    ...lapsing.filter((line) => line.visit_id === null).map((line): LooseEnd => ({ kind: 'no-visit-yet', visitId: null, siteId: line.site_id, siteName: line.site_name, words: `${line.title} (${line.regime}) lapses in ${line.days_left} days and no visit is on its way${line.attempts > 0 ? `; ${line.attempts} attempts so far` : ''}`, lapsesOn: line.lapses, since: null, ...NO_VISIT, attempts: line.attempts })),
    ...notices.map((one): LooseEnd => ({ kind: 'notice-due', visitId: one.visitId, siteId: one.siteId, siteName: one.siteName, words: `${one.title}: notice of ${one.leadDays} days for ${dayInWords(one.day)}${one.isDraft ? ' (draft)' : ''} must be given by ${dayInWords(one.by)}${one.by < today ? '; that day has passed' : ''}`, lapsesOn: one.by, since: null, day: one.day, startMin: one.startMin, ...reach(one.siteId) })),
    ...permits.map((one): LooseEnd => ({ kind: 'permit-due', visitId: null, siteId: one.siteId, siteName: one.site.name, words: one.fromDay === null ? `The permit ${one.name} is not granted yet; nothing can be planned there before` : `The permit ${one.name} ended on ${dayInWords(dayText(one.toDay!))}; nothing can be planned there any more`, lapsesOn: null, since: one.enteredAt.toISOString(), ...NO_VISIT, ...reach(one.siteId) })),
    ...unplaced.map((one): LooseEnd => ({ kind: 'unplaced', visitId: one.visitId, siteId: one.visit.siteId, siteName: one.visit.site.name, words: `Left out of the plan: ${one.words}${one.lapses ? '; a mandated duty lapses because of it' : ''}`, lapsesOn: null, since: plan?.createdAt.toISOString() ?? null, ...NO_VISIT, ...reach(one.visit.siteId) })),
    ...returned.map((visit): LooseEnd => ({ kind: 'returned', visitId: visit.id, siteId: visit.siteId, siteName: visit.site.name, words: `No access: ${visit.attempts[0]?.words ?? 'no words left'}; agree another date`, lapsesOn: null, since: visit.attempts[0]?.at.toISOString() ?? visit.createdAt.toISOString(), day: dayTextOrNull(visit.day), startMin: visit.startMin, ...reach(visit.siteId) })),
    ...calls.map((visit): LooseEnd => ({ kind: 'call-to-make', visitId: visit.visitId, siteId: visit.siteId, siteName: visit.siteName, words: callWords(visit, access.get(visit.siteId)), lapsesOn: null, since: null, day: visit.day, startMin: visit.startMin, ...reach(visit.siteId) })),
    ...retests.map((one): LooseEnd => ({ kind: 'retest-unplanned', visitId: null, siteId: one.siteId, siteName: one.site.name, words: `${one.severity}: ${one.title}; no visit is planned to put it right (due ${dayTextOrNull(one.dueOn)})`, lapsesOn: dayTextOrNull(one.dueOn), since: one.raisedAt.toISOString(), ...NO_VISIT })),
    ...failed.map((message): LooseEnd => ({ kind: 'message-failed', visitId: null, siteId: message.siteId, siteName: '', words: `${message.subject}: ${message.lastError ?? 'not sent'}`, lapsesOn: null, since: message.createdAt.toISOString(), ...NO_VISIT })),
    ...differences.map((one): LooseEnd => ({ kind: 'difference', visitId: null, siteId: one.siteId, siteName: one.name, words: `Account ${one.accountNumber}: ${one.kind.replaceAll('-', ' ')}`, lapsesOn: null, since: one.firstSeenOn.toISOString(), ...NO_VISIT })),
  ];
  return { rows, total: rows.length };
};

interface NoticeToGive { visitId: string; siteId: string; siteName: string; title: string; day: string; startMin: number; leadDays: number; by: string; isDraft: boolean }

/** Visits of published rounds and of the newest draft whose site wants notice that nobody has given yet, soonest first. */
async function noticesToGive(ctx: Ctx, today: string, draftId: string | null): Promise<NoticeToGive[]> {
  const stops = await ctx.tx.db.planStop.findMany({
    where: { ...own(ctx), day: { gte: dbDay(today) }, part: { in: ['', 'silent', 'sounding'] }, visit: { state: { in: ['wanted', 'planned', 'published'] }, noticeGivenOn: null, site: { noticeDays: { gt: 0 } } }, OR: [{ plan: { state: 'published' } }, ...(draftId === null ? [] : [{ planId: draftId }])] },
    include: { visit: { include: { site: true } }, plan: { select: { state: true } } }, orderBy: [{ day: 'asc' }, { startMin: 'asc' }], take: MOST });
  const seen = new Set<string>();
  return stops.filter(({ visitId }) => !seen.has(visitId) && seen.add(visitId)).map(({ visit, plan, day, startMin }) => ({
    visitId: visit.id, siteId: visit.siteId, siteName: visit.site.name, title: visit.title, day: dayText(day), startMin, leadDays: visit.site.noticeDays, by: addDays(localDate(dayText(day)), -visit.site.noticeDays), isDraft: plan.state === 'draft',
  })).sort((a, b) => (a.by < b.by ? -1 : 1));
}

interface CallToMake { visitId: string; siteId: string; siteName: string; title: string; day: string; startMin: number; endMin: number; isDraft: boolean }

/** Visits of the coming days whose client has agreed to nothing yet: on published rounds, and on the newest draft. */
async function callsToMake(ctx: Ctx, today: string, draftId: string | null): Promise<CallToMake[]> {
  const stops = await ctx.tx.db.planStop.findMany({
    where: { ...own(ctx), day: { gte: dbDay(today) }, visit: { state: { in: ['wanted', 'planned', 'published'] } }, OR: [{ plan: { state: 'published' } }, ...(draftId === null ? [] : [{ planId: draftId }])] },
    include: { visit: { include: { site: true } }, plan: { select: { state: true } } }, orderBy: [{ day: 'asc' }, { startMin: 'asc' }], take: MOST });
  const promises = await ctx.tx.db.promise.findMany({ where: { ...own(ctx), siteId: { in: [...new Set(stops.map((stop) => stop.visit.siteId))] }, OR: [{ day: null }, { day: { gte: dbDay(today) } }] } });
  const withdrawn = new Set(promises.map((one) => one.withdrawsId));
  const agreed = promises.filter((one) => !withdrawn.has(one.id) && one.day !== null);
  const seen = new Set<string>();
  return stops.filter(({ visitId, visit }) => !agreed.some((one) => one.visitId === visitId || (one.visitId === null && one.siteId === visit.siteId)) && !seen.has(visitId) && seen.add(visitId))
    .map(({ visit, plan, day, startMin, endMin }) => ({ visitId: visit.id, siteId: visit.siteId, siteName: visit.site.name, title: visit.title, day: dayText(day), startMin, endMin, isDraft: plan.state === 'draft' }));
}

function callWords(one: CallToMake, line: AccessLine | undefined): string {
  const tried = line && line.attempts > 0 ? `; ${line.attempts === 1 ? '1 attempt' : `${line.attempts} attempts`} so far${line.last_words ? `, the last: ${line.last_words}` : ''}` : '';
  return `${one.title}: ask for access on ${dayInWords(one.day)}, ${clockText(one.startMin)} to ${clockText(one.endMin)}${one.isDraft ? ' (draft)' : ''}${tried}`;
}

function contactOf(line: AccessLine | undefined): Pick<LooseEnd, 'contact' | 'attempts'> {
  return { contact: line ? { name: line.name, phone: line.phone, email: line.email, language: line.language } : null, attempts: line?.attempts ?? 0 };
}
