import type { ApplicationRow } from '@bellround/contracts';
import { applicationPage } from '@bellround/database';
import type { Act } from '../perform.js';
import { programmeById } from './steps.js';

/** Systems on which a version of a programme is laid, or was. */
export const programmeSystems: Act<{ programmeId: string; search?: string | undefined; limit: number; offset: number }, { rows: ApplicationRow[]; total: number }> = async (ctx, input) => {
  await programmeById(ctx, input.programmeId);
  const rows = await applicationPage(ctx.tx, input.programmeId, input.search ? input.search : null, input.limit, input.offset);
  return { rows: rows.map(({ total: _, ...row }) => row), total: rows[0]?.total ?? 0 };
};
