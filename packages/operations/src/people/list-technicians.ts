import type { TechnicianRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { technicianRow, WITH_LICENCES } from './steps.js';

/** Technicians by name, key or skill, with licences and absences. */
export const listTechnicians: Act<{ search?: string | undefined; limit: number; offset: number }, { rows: TechnicianRow[]; total: number }> = async (ctx, input) => {
  const like = input.search ? { contains: input.search, mode: 'insensitive' as const } : null;
  const where = { ...own(ctx), ...(like ? { OR: [{ name: like }, { externalKey: like }, { skills: { has: input.search!.toLowerCase() } }, { licences: { some: { kind: like } } }] } : {}) };
  const total = await ctx.tx.db.technician.count({ where });
  const rows = await ctx.tx.db.technician.findMany({ where, orderBy: [{ name: 'asc' }, { id: 'asc' }], take: input.limit, skip: input.offset, include: WITH_LICENCES });
  return { total, rows: rows.map((one) => technicianRow(ctx, one)) };
};
