import { Refusal, type TechnicianRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText, note, own } from '../steps.js';
import { technicianById, technicianRow } from './steps.js';

/** Takes an absence away again; the activity list keeps that it was there. Throws NotFound. */
export const removeAbsence: Act<{ technicianId: string; absenceId: string }, TechnicianRow> = async (ctx, { technicianId, absenceId }) => {
  const technician = await technicianById(ctx, technicianId);
  const known = technician.absences.find((one) => one.id === absenceId);
  if (!known) throw new Refusal('NotFound', 'There is no such absence of this technician.');
  await ctx.tx.db.absence.delete({ where: { companyId_id: { ...own(ctx), id: absenceId } } });
  await note(ctx, { act: 'remove-absence', about: 'technician', id: technicianId, summary: `${technician.name} is not away ${dayText(known.fromDay)} to ${dayText(known.toDay)} after all` });
  return technicianRow(ctx, await technicianById(ctx, technicianId));
};
