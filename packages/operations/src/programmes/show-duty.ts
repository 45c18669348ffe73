import { Refusal, type DutyShown } from '@bellround/contracts';
import { dutiesOfSites, subjectNames, windowsOfSites } from '@bellround/database';
import { cadenceInWords, shareProgress, type Cadence, type LocalDate } from '@bellround/recurrence';
import type { Act, Ctx } from '../perform.js';
import { dayText, dayTextOrNull, localDayOf, own } from '../steps.js';
import { dutyCase, dutyChecks, standingFacts, standingFrom, windowShown, type DutyCase } from '../standing/steps.js';
import { programmeById } from './steps.js';

/** One duty: where its windows lie and why, how each ended, and which checks are credited to it or why not. */
export const showDuty: Act<{ dutyId: string; asOf?: string | undefined }, DutyShown> = async (ctx, input) => {
  const duty = await ctx.tx.db.duty.findUnique({ where: { companyId_id: { ...own(ctx), id: input.dutyId } }, include: { site: true, system: true, application: true } });
  if (!duty) throw new Refusal('NotFound', 'There is no duty by that id.');
  const asOf = input.asOf ?? localDayOf(ctx.now, duty.site.timeZone);
  const programme = await programmeById(ctx, duty.application.programmeId);
  const facts = await standingFacts(ctx.tx, [duty.siteId]);
  const found = dutyCase(facts, facts.duties.find((fact) => fact.id === duty.id)!);
  const windows = (await windowsOfSites(ctx.tx, [duty.siteId], '0001-01-01', '9999-12-31', true)).filter((window) => window.dutyId === duty.id).map(windowShown);
  const { standing, now } = standingFrom(windows, asOf);
  const named = (await dutiesOfSites(ctx.tx, [duty.siteId])).find((row) => row.id === duty.id);
  const { rule } = found;
  return {
    id: duty.id, title: duty.title, regime: duty.regime, mandated: duty.mandated, standing, asOf, siteId: duty.siteId, siteName: duty.site.name, systemId: duty.systemId, systemName: duty.system.name,
    subjectKind: duty.subjectKind, subjectId: duty.subjectId, subject: named?.subject ?? duty.system.name, cadence: cadenceInWords(duty.cadence as unknown as Cadence),
    why: now?.why ?? (found.history.pauses?.length ? 'nothing is owed while the site is suspended' : 'no window governs this day'), basisOn: dayTextOrNull(duty.basisOn), validFrom: dayText(duty.validFrom), validTo: found.duty.validTo,
    checkKinds: duty.checkKinds, meets: rule.meets, minutes: duty.minutes, skills: duty.skills, licences: duty.licences, remotely: duty.remotely, sounds: duty.sounds, minEvidence: rule.minEvidence, by: rule.by,
    clause: rule.source.clause, provenance: rule.source.provenance, caution: programme.body.caution, programmeId: programme.id, programmeTitle: programme.title, programmeVersion: programme.version,
    windows, checks: await dutyChecks(ctx.tx, facts, found, windows, asOf), onReturn: rule.onReturn ?? 'continue', share: await shareShown(ctx, found, asOf as LocalDate),
  };
};

/** A share's part of the current period, its units by name. */
async function shareShown(ctx: Ctx, { rule, history }: DutyCase, asOf: LocalDate): Promise<DutyShown['share']> {
  if (rule.cadence.kind !== 'share' || !history.units) return null;
  const part = shareProgress(rule.cadence, history, asOf);
  const active = history.units.filter((unit) => unit.from <= asOf && (unit.to === null || unit.to >= asOf)).length;
  const names = new Map((await subjectNames(ctx.tx, [...part.done, ...part.next])).map((row) => [row.id, row.name]));
  const named = (keys: readonly string[]) => keys.map((key) => names.get(key) ?? key);
  return { periodFrom: part.periodFrom, periodTo: part.periodTo, cycleFrom: part.cycleFrom, cycleTo: part.cycleTo, units: active, needed: part.needed, done: named(part.done), next: named(part.next) };
}
