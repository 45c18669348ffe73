import { csvLine, neutralised, STANDING_WORDS, type Standing } from '@bellround/contracts';
import { standingPage } from '@bellround/database';
import type { Act } from '../perform.js';
import { asOfDay } from './steps.js';

const MOST_ROWS = 200_000;

/** Standing of all matching sites on a day as CSV, in the order of the list. */
export const exportStanding: Act<{ asOf?: string | undefined; standing?: Standing | undefined; clientId?: string | undefined; occupancy?: string | undefined; search?: string | undefined; systemKind?: string | undefined; broken?: 'yes' | 'no' | undefined }, { asOf: string; csv: string }> = async (ctx, input) => {
  const { asOf } = await asOfDay(ctx, input.asOf);
  const { rows } = await standingPage(ctx.tx, asOf, { ...input, broken: input.broken === 'yes', limit: MOST_ROWS, offset: 0 });
  const lines = rows.map((row) => csvLine([
    row.externalKey, row.name, row.address, row.clientName, row.occupancy, STANDING_WORDS[row.standing as Standing].title,
    row.duties, row.lapsed, row.cantTell, row.late, row.open, row.proven, row.nextLapses ?? '', row.openDeficiencies,
  ].map((cell) => (typeof cell === 'string' ? neutralised(cell) : String(cell)))));
  const head = csvLine(['site_key', 'site', 'address', 'client', 'occupancy', `standing_on_${asOf}`, 'duties', 'lapsed', 'cant_tell', 'late', 'window_open', 'proven', 'first_lapses_on', 'open_deficiencies']);
  return { asOf, csv: head + lines.join('') };
};
