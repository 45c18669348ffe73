import { Refusal, type AddAbsence, type TechnicianRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dayText, dbDay, note, own } from '../steps.js';
import { technicianById, technicianRow } from './steps.js';

/** Says on which days a technician is away. Same id and body again: same answer. Throws NotFound, IdReused. */
export const addAbsence: Act<AddAbsence, TechnicianRow> = async (ctx, { technicianId, id, ...input }) => {
  const technician = await technicianById(ctx, technicianId);
  const known = await ctx.tx.db.absence.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (known) {
    const same = known.technicianId === technicianId && dayText(known.fromDay) === input.fromDay && dayText(known.toDay) === input.toDay && known.reason === input.reason;
    if (!same) throw new Refusal('IdReused', 'This id was used for another absence.');
    return technicianRow(ctx, technician);
  }
  await ctx.tx.db.absence.create({ data: { ...own(ctx), id, technicianId, fromDay: dbDay(input.fromDay), toDay: dbDay(input.toDay), reason: input.reason, enteredAt: ctx.now } });
  await note(ctx, { act: 'add-absence', about: 'technician', id: technicianId, summary: `${technician.name} is away ${input.fromDay} to ${input.toDay} (${input.reason})` });
  return technicianRow(ctx, await technicianById(ctx, technicianId));
};
