import { Refusal, type KeepVan, type Van } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { vanOf } from '../rounds-need.js';
import { note, own } from '../steps.js';

/** Changes where rounds begin and end, and counts the van anew: parts that are not named are not on it. Throws NotFound, BadInput, Stale. */
export const keepVan: Act<KeepVan, Van> = async (ctx, { technicianId, version, stock, equipment, ...ends }) => {
  await ctx.tx.sql('select 1 from technician where company_id = current_company() and id = $1::uuid for update', [technicianId]);
  const before = await vanOf(ctx, technicianId);
  if (before.version !== version) throw new Refusal('Stale', 'Somebody changed this van since you opened it. Load it again; what you typed is still on your screen.');
  const twice = stock.find((one, at) => stock.findIndex((other) => other.part.toLowerCase() === one.part.toLowerCase()) !== at);
  if (twice) throw new Refusal('BadInput', `The part ${twice.part} is named twice.`, { errors: [{ path: 'stock', message: `names ${twice.part} twice; a part is counted once` }] });
  await ctx.tx.db.technician.update({ where: { companyId_id: { ...own(ctx), id: technicianId } }, data: { ...ends, equipment: [...new Set(equipment)].sort() } });
  await ctx.tx.db.vanStock.deleteMany({ where: { ...own(ctx), technicianId } });
  await ctx.tx.db.vanStock.createMany({ data: stock.map((one) => ({ ...own(ctx), technicianId, ...one, countedAt: ctx.now })) });
  await note(ctx, { act: 'keep-van', about: 'technician', id: technicianId, summary: `Van counted: ${stock.length} parts; equipment: ${equipment.join(', ') || 'none'}; from ${ends.startsAt} to ${ends.endsAt}` });
  return vanOf(ctx, technicianId);
};
