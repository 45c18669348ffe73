import type { AnswerOf, exposureRoutes } from '@bellround/contracts';
import { exposurePage } from '@bellround/database';
import type { Act } from '../perform.js';

type Answer = AnswerOf<typeof exposureRoutes.listExposure>;
type Row = Answer['rows'][number];

/** Sites by exposure, most exposed first; with a cause, those whose exposure is made of it first of all. */
export const listExposure: Act<{ search?: string | undefined; cause?: string | undefined; limit: number; offset: number }, Answer> = async (ctx, input) => {
  const { rows, total, causes } = await exposurePage(ctx.tx, input);
  return { total, causes: causes as Answer['causes'], rows: rows.map(({ detail, ...row }): Row => {
    const told = detail as { perYearH?: number; mainCause?: Row['mainCause']; mainShare?: number; reasons?: string[]; missing?: string[]; missingCount?: number };
    const missing = told.missing ?? [];
    return { ...row, exposurePerYearH: told.perYearH ?? row.exposurePerYearH, mainCause: told.mainCause ?? null, mainShare: told.mainShare ?? 0, reasons: told.reasons ?? [], missing, missingCount: told.missingCount ?? missing.length };
  }) };
};
