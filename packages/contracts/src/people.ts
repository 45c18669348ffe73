import { z } from 'zod';
import { Id, LocalDay, pageOf, PageInput, TimeOfDay } from './basics.js';
import { route } from './route.js';

export const Shift = z.strictObject({ weekday: z.int().min(1).max(7), from: TimeOfDay, to: TimeOfDay, breakMin: z.int().min(0).max(480).optional() })
  .refine((one) => one.from < one.to, { error: 'must end after it begins', path: ['to'] });
export type Shift = z.infer<typeof Shift>;

/** `valid`: on the day of the answer; a licence without a last day is can't tell, which never counts as valid. */
export const LicenceRow = z.object({ id: Id, kind: z.string(), number: z.string().nullable(), body: z.string().nullable(), validFrom: LocalDay.nullable(), validTo: LocalDay.nullable(), valid: z.enum(['valid', 'not-yet', 'ended', 'cant-tell']), daysLeft: z.int().nullable() });
export type LicenceRow = z.infer<typeof LicenceRow>;
export const AbsenceRow = z.object({ id: Id, fromDay: LocalDay, toDay: LocalDay, reason: z.string() });
export type AbsenceRow = z.infer<typeof AbsenceRow>;
export const TechnicianRow = z.object({
  id: Id, key: z.string(), name: z.string(), email: z.string().nullable(), phone: z.string().nullable(), homeLat: z.number().nullable(), homeLon: z.number().nullable(), timeZone: z.string(),
  shifts: z.array(Shift), skills: z.array(z.string()), pairOnly: z.boolean(), maxOvertimeMin: z.int(), activeFrom: LocalDay.nullable(), activeTo: LocalDay.nullable(),
  licences: z.array(LicenceRow), absences: z.array(AbsenceRow),
  /** changes with every edit; an edit names the one it was made from */
  version: z.string(),
});
export type TechnicianRow = z.infer<typeof TechnicianRow>;

const Skills = z.array(z.string().trim().min(1).max(80)).max(50);
export const EditTechnician = z.strictObject({ technicianId: Id, version: z.string(), skills: Skills, shifts: z.array(Shift).max(50), pairOnly: z.boolean(), maxOvertimeMin: z.int().min(0).max(480) });
export type EditTechnician = z.infer<typeof EditTechnician>;
export const KeepLicence = z.strictObject({ technicianId: Id, id: Id, kind: z.string().trim().min(1).max(80), number: z.string().trim().max(80).nullable().default(null), body: z.string().trim().max(120).nullable().default(null), validFrom: LocalDay.nullable().default(null), validTo: LocalDay.nullable().default(null) })
  .refine((one) => one.validFrom === null || one.validTo === null || one.validFrom <= one.validTo, { error: 'must be on or after the first valid day', path: ['validTo'] });
export type KeepLicence = z.infer<typeof KeepLicence>;
export const AddAbsence = z.strictObject({ technicianId: Id, id: Id, fromDay: LocalDay, toDay: LocalDay, reason: z.string().trim().min(1).max(200) })
  .refine((one) => one.fromDay <= one.toDay, { error: 'must be on or after the first day', path: ['toDay'] });
export type AddAbsence = z.infer<typeof AddAbsence>;

export const peopleRoutes = {
  listTechnicians: route({ name: 'listTechnicians', method: 'GET', path: '/api/technicians', summary: 'Technicians with skills, licences and absences', may: 'read', input: PageInput, output: pageOf(TechnicianRow) }),
  technician: route({ name: 'technician', method: 'GET', path: '/api/technicians/:technicianId', summary: 'One technician', may: 'read', input: z.strictObject({ technicianId: Id }), output: TechnicianRow, problems: ['NotFound'] }),
  editTechnician: route({ name: 'editTechnician', method: 'POST', path: '/api/technicians/:technicianId/edit', summary: 'Change skills and shifts of a technician', may: 'plan', input: EditTechnician, output: TechnicianRow, problems: ['NotFound', 'Stale'] }),
  keepLicence: route({ name: 'keepLicence', method: 'POST', path: '/api/technicians/:technicianId/licences', summary: 'Add a licence, or renew one of the same kind', may: 'plan', input: KeepLicence, output: TechnicianRow, problems: ['NotFound', 'IdReused'] }),
  addAbsence: route({ name: 'addAbsence', method: 'POST', path: '/api/technicians/:technicianId/absences', summary: 'Say on which days a technician is away', may: 'plan', input: AddAbsence, output: TechnicianRow, problems: ['NotFound', 'IdReused'] }),
  removeAbsence: route({ name: 'removeAbsence', method: 'POST', path: '/api/technicians/:technicianId/absences/:absenceId/remove', summary: 'Take an absence away again', may: 'plan', input: z.strictObject({ technicianId: Id, absenceId: Id }), output: TechnicianRow, problems: ['NotFound'] }),
};
