import { Refusal, type KeepLicence, type TechnicianRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { dbDay, note, own } from '../steps.js';
import { lockTechnician, technicianById, technicianRow } from './steps.js';

/** Adds a licence, or renews the technician's one of the same kind; what it was stays in the revisions. Throws NotFound, IdReused. */
export const keepLicence: Act<KeepLicence, TechnicianRow> = async (ctx, { technicianId, id, ...input }) => {
  const technician = await lockTechnician(ctx, technicianId);
  const data = { ...input, validFrom: input.validFrom === null ? null : dbDay(input.validFrom), validTo: input.validTo === null ? null : dbDay(input.validTo) };
  const known = technician.licences.find((one) => one.kind === input.kind);
  const other = await ctx.tx.db.licence.findUnique({ where: { companyId_id: { ...own(ctx), id } } });
  if (other && other.id !== known?.id) throw new Refusal('IdReused', 'This id belongs to another licence.');
  if (known) await ctx.tx.db.licence.update({ where: { companyId_id: { ...own(ctx), id: known.id } }, data });
  else await ctx.tx.db.licence.create({ data: { ...own(ctx), id, technicianId, ...data } });
  await note(ctx, { act: 'keep-licence', about: 'technician', id: technicianId, summary: `Licence ${input.kind} of ${technician.name}: ${input.validTo ? `valid to ${input.validTo}` : 'no last day known'}` });
  return technicianRow(ctx, await technicianById(ctx, technicianId));
};
