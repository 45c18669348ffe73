import { instantAt, localDateAt } from '@bellround/recurrence';
import { CODE_AFTER_MIN, CODE_BEFORE_MIN, Refusal, type EntryCodes, type UserRow } from '@bellround/contracts';
import type { Ctx } from '../perform.js';
import { dayText, own } from '../steps.js';

/** A user as screens show one: never with the password's hash. */
export function userRow(user: { id: string; email: string; name: string; role: string; technicianId: string | null; disabledAt: Date | null }): UserRow {
  return { id: user.id, email: user.email, name: user.name, role: user.role as UserRow['role'], technicianId: user.technicianId, disabledAt: user.disabledAt?.toISOString() ?? null };
}

// ── entry codes ─────────────────────────────────────────────────────────────

const MINUTE = 60_000;

/** A visit as far as its entry codes look at it. Instants in ms; what was not planned or did not happen is null. */
export interface CodeVisit { readonly plannedAt: number | null; readonly serviceMin: number; readonly openedAt: number | null; readonly closedAt: number | null; readonly isOpen: boolean; readonly timeZone: string }

/**
 * IDN-1. When a visit's technician may see its entry codes: from 30 min before its planned start until 60 min after its end.
 * Ended is when it was closed; while it runs over, it goes on to the end of that local day, since somebody must lock up. A
 * visit without a time begins when it is started, and starting one early does not open its codes early. Null: never.
 */
export function codeWindow(visit: CodeVisit): { from: number; to: number } | null {
  const begins = visit.plannedAt ?? visit.openedAt;
  if (begins === null) return null;
  const expected = Math.max(begins, visit.openedAt ?? begins) + visit.serviceMin * MINUTE;
  const end = visit.closedAt ?? (visit.isOpen ? Math.max(expected, endOfDay(visit.openedAt ?? begins, visit.timeZone) - CODE_AFTER_MIN * MINUTE) : expected);
  return { from: visit.plannedAt === null ? begins : begins - CODE_BEFORE_MIN * MINUTE, to: end + CODE_AFTER_MIN * MINUTE };
}

function endOfDay(instant: number, timeZone: string): number {
  const day = localDateAt(new Date(instant).toISOString(), timeZone);
  const next = dayText(new Date(Date.parse(`${day}T00:00:00Z`) + 86_400_000));
  return Date.parse(instantAt(`${next}T00:00:00`, timeZone));
}

const LIVE = new Set(['published', 'open', 'closed', 'stopped']);

/** The asker's visits at a site with the time in which each lets them see its codes; nearest first. Only a technician has any. */
export async function codeWindowsOf(ctx: Ctx, siteId: string): Promise<{ visitId: string; from: number; to: number }[]> {
  const { technicianId, role } = ctx.who;
  if (role !== 'technician' || technicianId === null) return [];
  const planned = { some: { plan: { state: 'published' }, OR: [{ technicianId }, { secondTechnicianId: technicianId }] } };
  const visits = await ctx.tx.db.visit.findMany({
    where: { ...own(ctx), siteId, state: { in: [...LIVE] }, OR: [{ technicianId }, { stops: planned }, { facts: { some: { byId: ctx.who.userId ?? '', kind: 'joined' } } }] },
    include: { site: { select: { timeZone: true } }, stops: { where: { plan: { state: 'published' } }, take: 1 } },
  });
  const windows = visits.flatMap((visit) => {
    const stop = visit.stops[0];
    const [day, startMin] = [stop?.day ?? visit.day, stop?.startMin ?? visit.startMin];
    const plannedAt = day === null || startMin === null ? null : Date.parse(instantAt(`${dayText(day)}T${clock(startMin)}`, visit.site.timeZone));
    const window = codeWindow({ plannedAt, serviceMin: visit.serviceMin, openedAt: visit.openedAt?.getTime() ?? null, closedAt: visit.closedAt?.getTime() ?? null, isOpen: visit.state === 'open', timeZone: visit.site.timeZone });
    return window ? [{ visitId: visit.id, ...window }] : [];
  });
  const away = (one: { from: number; to: number }) => Math.max(0, one.from - ctx.now.getTime(), ctx.now.getTime() - one.to);
  return windows.sort((a, b) => away(a) - away(b));
}

const clock = (min: number): string => `${String(Math.floor(min / 60)).padStart(2, '0')}:${String(min % 60).padStart(2, '0')}:00`;

/** The codes of a site that still open something, newest setting of each, with who saw them; never a text. */
export async function entryCodesOf(ctx: Ctx, siteId: string): Promise<EntryCodes> {
  const site = await ctx.tx.db.site.findUnique({ where: { companyId_id: { ...own(ctx), id: siteId } }, select: { id: true } });
  if (!site) throw new Refusal('NotFound', 'There is no site by that id.');
  const keys = await ctx.tx.db.siteKey.findMany({
    where: { ...own(ctx), siteId, kind: 'code' }, orderBy: [{ label: 'asc' }, { id: 'asc' }],
    include: { codes: { orderBy: [{ setAt: 'desc' }, { id: 'desc' }], take: 1, include: { setter: { select: { name: true } }, _count: { select: { sights: true } } } } },
  });
  const [mine] = await codeWindowsOf(ctx, siteId);
  const forMe = mine ? { visitId: mine.visitId, from: new Date(mine.from).toISOString(), to: new Date(mine.to).toISOString() } : null;
  const present = keys.flatMap((key) => (key.codes[0] && key.codes[0].sealed !== null ? [{ key, code: key.codes[0] }] : []));
  const sights = await ctx.tx.db.codeSight.findMany({ where: { ...own(ctx), code: { key: { siteId } } }, orderBy: [{ at: 'desc' }, { id: 'desc' }], take: 50, include: { code: { include: { key: true } }, user: { select: { name: true } }, visit: { select: { title: true } } } });
  const presentIds = new Set(present.map((one) => one.code.id));
  return {
    rows: present.map(({ key, code }) => ({ keyId: key.id, siteId, label: key.label, setAt: code.setAt.toISOString(), setBy: code.setter.name, seen: code._count.sights, forMe })),
    sights: sights.map((one) => ({ id: one.id, keyId: one.code.keyId, label: one.code.key.label, byName: one.user.name, at: one.at.toISOString(), visitId: one.visitId, visitTitle: one.visit.title, isOfPresentCode: presentIds.has(one.codeId) })),
  };
}

/** The key of a code at its site; NotFound for anything else, also of another company. */
export async function codeKey(ctx: Ctx, keyId: string) {
  const key = await ctx.tx.db.siteKey.findUnique({ where: { companyId_id: { ...own(ctx), id: keyId } }, include: { site: true, codes: { orderBy: [{ setAt: 'desc' }, { id: 'desc' }], take: 1 } } });
  if (!key || key.kind !== 'code') throw new Refusal('NotFound', 'There is no entry code by that id.');
  return key;
}
