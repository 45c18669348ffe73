import { instantAt } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { dayText, later, note, own } from '../steps.js';

/** Dispatchers hear of it so long after the phone left, owners so long after (company rule). */
const LEFT_MS = { dispatcher: 5 * 60_000, owner: 30 * 60_000 };
/** Without a word from the phone: after the planned end (company rule). */
const OVERRAN_MS = { dispatcher: 10 * 60_000, owner: 35 * 60_000 };
const LIFE_MS = 36 * 3_600_000;

/**
 * Visits whose account is on test, or that have something out of normal, while nobody seems to be there any more: the phone drove off,
 * or the planned end is over. HOLD-5: dispatchers first, owners when it is still so; each hears of a visit and cause once. A silent
 * phone changes nothing: the house asks its own clock.
 */
export const watchLeaving: Act<object, { told: number }> = async (ctx) => {
  const { db } = ctx.tx;
  const open = await db.visit.findMany({ where: { ...own(ctx), state: 'open', openedAt: { gte: new Date(ctx.now.getTime() - LIFE_MS) }, OR: [{ holds: { some: { closedAt: null } } }, { putBack: { some: { putBackAt: null, handedTo: null } } }] },
    include: { site: true, holds: { where: { closedAt: null }, include: { account: true } }, putBack: { where: { putBackAt: null, handedTo: null } }, facts: { where: { kind: { in: ['left-site', 'back-on-site'] } }, orderBy: { at: 'desc' }, take: 1 } } });
  const due = open.flatMap((visit) => causesOf(visit, ctx.now).map((cause) => ({ visit, cause })));
  if (due.length === 0) return { told: 0 };
  const people = await db.user.findMany({ where: { ...own(ctx), role: { in: ['owner', 'dispatcher'] }, disabledAt: null } });
  let told = 0;
  for (const { visit, cause } of due) {
    const out = [...visit.holds.map((hold) => `account ${hold.account.number} on test until ${hold.untilAt.toISOString()} (station's reference ${hold.stationReference})`), ...visit.putBack.map((item) => item.what)];
    const made = await db.message.createMany({ skipDuplicates: true, data: people.filter((person) => person.role === cause.role).map((person) => ({
      ...own(ctx), id: ctx.newId(), kind: 'left-on-test', siteId: visit.siteId, createdAt: ctx.now, state: 'waiting', toName: person.name, toEmail: person.email, dedupeKey: `left:${visit.id}:${cause.key}:${person.id}`,
      subject: `Left on test? ${visit.site.name}`, body: `${cause.words} at ${visit.site.name}, and still out of normal: ${out.join('; ')}.\n\nCall the technician now. If nobody is there, call the station, give the account back and see one live signal.\n\nThis is not an alarm-receiving centre: in an emergency call the emergency services.`,
    })) });
    if (made.count > 0) await note(ctx, { act: 'left-on-test', about: 'visit', id: visit.id, siteId: visit.siteId, summary: `${visit.site.name}: ${cause.words.toLowerCase()}, still out of normal: ${out.join('; ')}` });
    told += made.count;
  }
  if (told > 0) await later(ctx, 'send-messages', {});
  return { told };
};

interface Watched { readonly day: Date | null; readonly startMin: number | null; readonly serviceMin: number; readonly openedAt: Date | null; readonly site: { timeZone: string }; readonly facts: readonly { kind: string; at: Date; detail: unknown }[] }
interface Cause { readonly key: string; readonly role: 'dispatcher' | 'owner'; readonly words: string }

/** Who must hear what by now. */
function causesOf(visit: Watched, now: Date): Cause[] {
  const roles = ['dispatcher', 'owner'] as const;
  const away = visit.facts[0]?.kind === 'left-site' ? visit.facts[0] : null;
  const left = away === null ? [] : roles.filter((role) => now.getTime() >= away.at.getTime() + LEFT_MS[role]).map((role): Cause => ({ key: `left:${away.at.toISOString()}`, role, words: `The phone went ${(away.detail as { distanceM?: number }).distanceM ?? 500} m away at ${away.at.toISOString()}` }));
  const end = plannedEnd(visit);
  const overran = roles.filter((role) => now.getTime() >= end + OVERRAN_MS[role]).map((role): Cause => ({ key: 'overran', role, words: `The visit should have ended at ${new Date(end).toISOString()}` }));
  return left.length > 0 ? left : overran;
}

/** Planned end, or that long after it was really started, whichever is later. */
function plannedEnd({ day, startMin, serviceMin, openedAt, site }: Watched): number {
  const lasts = serviceMin * 60_000;
  const begun = openedAt!.getTime() + lasts;
  if (day === null || startMin === null) return begun;
  const two = (n: number) => String(n).padStart(2, '0');
  return Math.max(begun, Date.parse(instantAt(`${dayText(day)}T${two(Math.floor(startMin / 60))}:${two(startMin % 60)}:00`, site.timeZone)) + lasts);
}
