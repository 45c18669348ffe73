import { standingRoutes } from '@bellround/contracts';
import { listStanding } from '@bellround/operations';
import { text, WrongUse, type TerminalAct } from './act.js';

export const standing: TerminalAct = {
  name: 'standing', usage: 'standing [--as-of date] [--search text] [--limit n] [--company slug]', words: 'Where each site stands on a day, missing first.', takes: [0, 0],
  options: { 'as-of': { type: 'string', words: 'YYYY-MM-DD; today when left out' }, search: { type: 'string', words: 'part of a name or address' }, limit: { type: 'string', words: 'rows (100)' }, company: { type: 'string', words: 'short name of the company, when there are several' } },
  run: async ({ options }, terminal) => {
    const asOf = text(options['as-of']);
    const search = text(options['search']);
    const input = standingRoutes.listStanding.input.safeParse({ ...(asOf ? { asOf } : {}), ...(search ? { search } : {}), limit: text(options['limit']) ?? '100', strips: 'no' });
    if (!input.success) throw new WrongUse(input.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`).join('; '));
    const list = await terminal.perform(listStanding, await terminal.house(text(options['company'])), input.data);
    const counts = Object.entries(list.counts).map(([key, count]) => `${key} ${String(count)}`).join(', ');
    return { data: list, lines: [`as of ${list.asOf}: ${counts}`, ...list.rows.map((row) => `${row.standing.padEnd(10)} ${row.name}`), ...(list.total > list.rows.length ? [`... ${list.rows.length} of ${list.total}; --limit shows more`] : [])] };
  },
};
