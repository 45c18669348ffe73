import { csvLine, neutralised, STANDING_WORDS, type Standing } from '@bellround/contracts';
import { overduePage } from '@bellround/database';
import type { Act } from '../perform.js';
import { asOfDay } from './steps.js';

const MOST_ROWS = 200_000;

/** The overdue list of a day as CSV. */
export const exportOverdue: Act<{ asOf?: string | undefined; search?: string | undefined; standing?: 'lapsed' | 'cant-tell' | 'late' | undefined }, { asOf: string; csv: string }> = async (ctx, input) => {
  const { asOf } = await asOfDay(ctx, input.asOf);
  const rows = await overduePage(ctx.tx, asOf, { ...input, limit: MOST_ROWS, offset: 0 });
  const head = csvLine(['site', 'client', 'duty', 'subject', 'regime', 'mandated', `standing_on_${asOf}`, 'opens', 'due', 'lapses', 'days_over']);
  return {
    asOf,
    csv: head + rows.map((row) => csvLine([
      neutralised(row.siteName), neutralised(row.clientName), neutralised(row.title), neutralised(row.subject), neutralised(row.regime), row.mandated ? 'yes' : 'no',
      STANDING_WORDS[row.standing as Standing].title, row.opens, row.due, row.lapses, String(row.daysOver),
    ])).join(''),
  };
};
