import { Refusal, type LicenceRow, type Shift, type TechnicianRow } from '@bellround/contracts';
import type { Prisma } from '@bellround/database';
import { daysBetween, localDate } from '@bellround/recurrence';
import type { Ctx } from '../perform.js';
import { dayText, dayTextOrNull, localDayOf, own } from '../steps.js';

export const WITH_LICENCES = { licences: { orderBy: { kind: 'asc' } }, absences: { orderBy: { fromDay: 'asc' } } } as const satisfies Prisma.TechnicianInclude;
type Technician = Prisma.TechnicianGetPayload<{ include: typeof WITH_LICENCES }>;

/** A technician as screens show one, licences judged on the day of `ctx.now` in the technician's zone. */
export function technicianRow(ctx: Pick<Ctx, 'now' | 'sha256'>, one: Technician): TechnicianRow {
  const today = localDayOf(ctx.now, one.timeZone);
  const work = { skills: one.skills, shifts: one.shifts as Shift[], pairOnly: one.pairOnly, maxOvertimeMin: one.maxOvertimeMin };
  return {
    id: one.id, key: one.externalKey, name: one.name, email: one.email, phone: one.phone, homeLat: one.homeLat, homeLon: one.homeLon, timeZone: one.timeZone, ...work,
    activeFrom: dayTextOrNull(one.activeFrom), activeTo: dayTextOrNull(one.activeTo), licences: one.licences.map((licence) => licenceRow(licence, today)),
    absences: one.absences.map((absence) => ({ id: absence.id, fromDay: dayText(absence.fromDay), toDay: dayText(absence.toDay), reason: absence.reason })),
    version: ctx.sha256(JSON.stringify(work)).slice(0, 16),
  };
}

/** The last valid day counts as valid; without one nobody can tell, and that never counts as valid. */
function licenceRow(licence: Technician['licences'][number], today: string): LicenceRow {
  const [validFrom, validTo] = [dayTextOrNull(licence.validFrom), dayTextOrNull(licence.validTo)];
  const valid = validTo === null ? 'cant-tell' : today > validTo ? 'ended' : validFrom !== null && today < validFrom ? 'not-yet' : 'valid';
  return { id: licence.id, kind: licence.kind, number: licence.number, body: licence.body, validFrom, validTo, valid, daysLeft: validTo === null ? null : daysBetween(localDate(today), localDate(validTo)) };
}

/** The technician by id, locked against a second edit. Throws NotFound. */
export async function lockTechnician(ctx: Ctx, technicianId: string): Promise<Technician> {
  await ctx.tx.sql('select 1 from technician where company_id = current_company() and id = $1::uuid for update', [technicianId]);
  return technicianById(ctx, technicianId);
}

export async function technicianById(ctx: Ctx, technicianId: string): Promise<Technician> {
  const technician = await ctx.tx.db.technician.findUnique({ where: { companyId_id: { ...own(ctx), id: technicianId } }, include: WITH_LICENCES });
  if (!technician) throw new Refusal('NotFound', 'There is no technician by that id.');
  return technician;
}
