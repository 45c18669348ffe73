import type { LibraryProgramme } from '@bellround/contracts';
import { LIBRARY_CAUTION, programmeLibrary } from '@bellround/programmes';
import type { Act } from '../perform.js';
import { own } from '../steps.js';
import { programmeSummary } from './steps.js';

/** The programmes that ship, and which of them this company adopted. */
export const libraryProgrammes: Act<object, { caution: string; rows: LibraryProgramme[] }> = async (ctx) => {
  const adopted = await ctx.tx.db.programme.findMany({ where: own(ctx), select: { id: true, key: true, version: true }, orderBy: { version: 'asc' } });
  const latest = new Map(adopted.map((row) => [row.key, row]));
  return {
    caution: LIBRARY_CAUTION,
    rows: programmeLibrary.map((programme) => ({ ...programmeSummary(programme), adoptedId: latest.get(programme.key)?.id ?? null, adoptedVersion: latest.get(programme.key)?.version ?? null })),
  };
};
