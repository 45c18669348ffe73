import { Refusal, type EditTechnician, type TechnicianRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { note, own } from '../steps.js';
import { lockTechnician, technicianById, technicianRow } from './steps.js';

/** Changes skills and shifts. Throws NotFound, and Stale when somebody changed them since `version` was shown. */
export const editTechnician: Act<EditTechnician, TechnicianRow> = async (ctx, { technicianId, version, ...input }) => {
  const before = technicianRow(ctx, await lockTechnician(ctx, technicianId));
  if (before.version !== version) throw new Refusal('Stale', `${before.name} was changed by somebody else since you opened the page. Load it again; what you typed is still on your screen.`);
  await ctx.tx.db.technician.update({ where: { companyId_id: { ...own(ctx), id: technicianId } }, data: { ...input, skills: [...new Set(input.skills)].sort() } });
  await note(ctx, { act: 'edit-technician', about: 'technician', id: technicianId, summary: `Skills and shifts of ${before.name} changed` });
  return technicianRow(ctx, await technicianById(ctx, technicianId));
};
