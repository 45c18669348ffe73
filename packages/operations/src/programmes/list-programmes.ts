import type { ProgrammeRow } from '@bellround/contracts';
import { programmeCounts } from '@bellround/database';
import type { Programme } from '@bellround/programmes';
import type { Act } from '../perform.js';
import { localDayOf, own } from '../steps.js';

/** Programmes this company adopted: the latest version of each, or all that are still laid on something too. */
export const listProgrammes: Act<{ search?: string | undefined; allVersions: boolean }, { rows: ProgrammeRow[] }> = async (ctx, input) => {
  const company = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId } });
  const programmes = await ctx.tx.db.programme.findMany({
    where: { ...own(ctx), ...(input.search ? { OR: [{ title: { contains: input.search, mode: 'insensitive' } }, { key: { contains: input.search, mode: 'insensitive' } }] } : {}) },
    orderBy: [{ title: 'asc' }, { version: 'desc' }],
  });
  const counts = new Map((await programmeCounts(ctx.tx, localDayOf(ctx.now, company.timeZone))).map((row) => [row.programmeId, row]));
  const newest = new Map<string, number>();
  for (const row of programmes) newest.set(row.key, Math.max(newest.get(row.key) ?? 0, row.version));
  return {
    rows: programmes.filter((row) => input.allVersions || newest.get(row.key) === row.version || (counts.get(row.id)?.systems ?? 0) > 0).map((row) => {
      const body = row.body as unknown as Programme;
      return {
        id: row.id, key: row.key, version: row.version, title: row.title, regime: body.regime.edition === '' ? body.regime.name : `${body.regime.name}, ${body.regime.edition}`, systemKinds: body.systemKinds,
        ruleCount: body.rules.length, createdAt: row.createdAt.toISOString(), latest: newest.get(row.key) === row.version, systems: counts.get(row.id)?.systems ?? 0, duties: counts.get(row.id)?.duties ?? 0,
      };
    }),
  };
};
