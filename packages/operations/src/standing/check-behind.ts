import { Refusal, type CheckBehindShown } from '@bellround/contracts';
import { subjectNames } from '@bellround/database';
import { catalogue } from '@bellround/programmes';
import type { Act } from '../perform.js';
import { dayText, own } from '../steps.js';
import { creditedBy } from './steps.js';

const valueOf = (reading: { number: number | null; flag: boolean | null; text: string | null }): string =>
  reading.number !== null ? String(reading.number) : reading.flag !== null ? (reading.flag ? 'yes' : 'no') : reading.text ?? 'not read';

/** One check as it was recorded: readings, verdict, margin and the source of its limit, what it is credited to, and what corrects it. */
export const checkBehind: Act<{ checkId: string }, CheckBehindShown> = async (ctx, input) => {
  const check = await ctx.tx.db.check.findUnique({
    where: { companyId_id: { ...own(ctx), id: input.checkId } },
    include: { readings: true, corrections: { orderBy: { recordedAt: 'asc' } }, raised: true },
  });
  if (!check) throw new Refusal('NotFound', 'There is no check by that id.');
  const [site, system, names, technician, user, instruments, credits] = [
    await ctx.tx.db.site.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: check.siteId } } }),
    await ctx.tx.db.system.findUniqueOrThrow({ where: { companyId_id: { ...own(ctx), id: check.systemId } } }),
    await subjectNames(ctx.tx, [check.subjectId]),
    check.technicianId ? await ctx.tx.db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id: check.technicianId } } }) : null,
    check.recordedBy ? await ctx.tx.db.user.findUnique({ where: { companyId_id: { ...own(ctx), id: check.recordedBy } } }) : null,
    await ctx.tx.db.instrument.findMany({ where: { ...own(ctx), id: { in: check.readings.flatMap((reading) => reading.instrumentId ?? []) } } }),
    await creditedBy(ctx, check.id),
  ];
  const definition = catalogue.find((one) => one.key === check.checkKind);
  const instrumentOf = new Map(instruments.map((one) => [one.id, `${one.kind} ${one.serial}`]));
  return {
    id: check.id, title: definition?.title ?? check.checkKind, checkKind: check.checkKind, siteId: check.siteId, siteName: site.name, systemName: system.name,
    subjectKind: check.subjectKind, subjectId: check.subjectId, subject: names[0]?.name ?? system.name, performedOn: dayText(check.performedOn), performedAt: check.performedAt.toISOString(),
    recordedAt: check.recordedAt.toISOString(), deviceClockAt: check.deviceClockAt?.toISOString() ?? null, by: technician?.name ?? user?.name ?? null, recordedBy: user?.name ?? null,
    verdict: check.verdict, computedVerdict: check.computedVerdict, reason: check.reason, margin: check.marginValue === null ? null : { value: check.marginValue, unit: check.marginUnit ?? '' }, limitSource: check.limitSource,
    overruleReason: check.overruleReason, excuseCode: check.excuseCode, evidence: check.evidence, source: check.source, notes: check.notes, visitId: check.visitId,
    readings: check.readings.map((reading) => ({
      key: reading.key, label: definition?.readings.find((one) => one.key === reading.key)?.label ?? reading.key, value: valueOf(reading), unit: reading.unit,
      instrument: reading.instrumentId ? instrumentOf.get(reading.instrumentId) ?? null : null, reliable: reading.reliable,
    })),
    credits, correctsId: check.correctsId, corrections: check.corrections.map((one) => ({ id: one.id, verdict: one.verdict, recordedAt: one.recordedAt.toISOString() })),
    deficiencies: check.raised.map((one) => ({ id: one.id, title: one.title, severity: one.severity, state: one.state })),
  };
};
