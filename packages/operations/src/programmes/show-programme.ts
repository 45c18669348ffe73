import type { ProgrammeShown } from '@bellround/contracts';
import { programmeCounts } from '@bellround/database';
import type { Programme } from '@bellround/programmes';
import type { Act } from '../perform.js';
import { localDayOf, own } from '../steps.js';
import { diffShown, programmeById, programmeSummary } from './steps.js';

/** One version of a programme with its rules, its sisters, and what it changed against the version before. */
export const showProgramme: Act<{ programmeId: string }, ProgrammeShown> = async (ctx, input) => {
  const programme = await programmeById(ctx, input.programmeId);
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const versions = await ctx.tx.db.programme.findMany({ where: { ...own(ctx), key: programme.key }, orderBy: { version: 'desc' } });
  const before = versions.find((row) => row.version < programme.version);
  const counts = (await programmeCounts(ctx.tx, localDayOf(ctx.now, company.timeZone))).find((row) => row.programmeId === programme.id);
  return {
    ...programmeSummary(programme.body), id: programme.id, createdAt: programme.createdAt.toISOString(), systems: counts?.systems ?? 0, duties: counts?.duties ?? 0,
    body: programme.body as unknown as Record<string, unknown>, versions: versions.map((row) => ({ id: row.id, version: row.version, createdAt: row.createdAt.toISOString() })),
    changes: before ? diffShown(before.body as unknown as Programme, programme.body) : null,
  };
};
