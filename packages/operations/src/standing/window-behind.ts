import { Refusal, type WindowBehind } from '@bellround/contracts';
import { attemptsBetween, windowsOfSites } from '@bellround/database';
import { addDays, type LocalDate } from '@bellround/recurrence';
import type { Act } from '../perform.js';
import { localDayOf, own } from '../steps.js';
import { asOfDay, attributionOf, dutyCase, dutyChecks, standingFacts, windowShown } from './steps.js';

/** One window of a duty with the checks behind it: those credited, those of its time that were not and why, and, when it ended late or missed, who could have prevented that. */
export const windowBehind: Act<{ dutyId: string; n: number }, WindowBehind> = async (ctx, input) => {
  const duty = await ctx.tx.db.duty.findUnique({ where: { companyId_id: { ...own(ctx), id: input.dutyId } }, include: { site: true } });
  const windows = duty ? (await windowsOfSites(ctx.tx, [duty.siteId], '0001-01-01', '9999-12-31', true)).filter((window) => window.dutyId === duty.id).map(windowShown) : [];
  const window = windows.find((one) => one.n === input.n);
  if (!duty || !window) throw new Refusal('NotFound', 'There is no such window of a duty.');
  const today = localDayOf(ctx.now, duty.site.timeZone);
  const facts = await standingFacts(ctx.tx, [duty.siteId]);
  const found = dutyCase(facts, facts.duties.find((fact) => fact.id === duty.id)!);
  // From the check it counts from, or its opening, to the proof that met it; what came after belongs to the next.
  const first = window.governsFrom < window.opens ? window.governsFrom : window.opens;
  const last = window.metOn ?? (window.governsTo !== null && window.governsTo < today ? window.governsTo : today);
  const checks = (await dutyChecks(ctx.tx, facts, found, windows, last)).filter((check) => check.performedOn >= addDays(first as LocalDate, -1) || check.metWindow === input.n);
  const bad = window.outcome === 'late' || window.outcome === 'missed' || (window.metOn === null && window.lapses < today);
  const { settings } = await asOfDay(ctx, undefined);
  return {
    dutyId: duty.id, title: duty.title, siteId: duty.siteId, siteName: duty.site.name, window, checks,
    attribution: bad ? attributionOf(await attemptsBetween(ctx.tx, duty.siteId, window.opens, window.metOn ?? today), settings) : null,
  };
};
