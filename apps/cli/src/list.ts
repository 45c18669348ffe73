import { hoursInWords, type DifferenceKind, DIFFERENCE_WORDS } from '@bellround/contracts';
import { listDifferences, listImports, listSites, listTechnicians, showLists } from '@bellround/operations';
import { text, WrongUse, wholeNumber, type Terminal, type TerminalAct } from './act.js';

type Who = Awaited<ReturnType<Terminal['house']>>;
interface Asked { readonly search?: string; readonly limit: number; readonly offset: number }
type Listing = (terminal: Terminal, who: Who, asked: Asked) => Promise<{ data: unknown; lines: string[] }>;

const tail = (shown: number, total: number): string[] => (total > shown ? [`... ${shown} of ${total}; --limit and --offset show others`] : []);

const LISTINGS: Readonly<Record<string, Listing>> = {
  sites: async ({ perform }, who, asked) => {
    const data = await perform(listSites, who, asked);
    return { data, lines: [...data.rows.map((one) => `${one.key}\t${one.name}\t${one.address}\t${one.systems.join(', ')}\t${one.accounts.join(', ')}`), ...tail(data.rows.length, data.total)] };
  },
  technicians: async ({ perform }, who, asked) => {
    const data = await perform(listTechnicians, who, asked);
    return { data, lines: [...data.rows.map((one) => `${one.key}\t${one.name}\t${one.skills.join(', ')}\t${hoursInWords(one.shifts)}\t${one.licences.map((licence) => `${licence.kind} ${licence.valid}${licence.validTo ? ` (to ${licence.validTo})` : ''}`).join(', ')}`), ...tail(data.rows.length, data.total)] };
  },
  imports: async ({ perform }, who, asked) => {
    const data = await perform(listImports, who, asked);
    return { data, lines: [...data.rows.map((one) => `${one.startedAt}\t${one.kind}\t${one.fileName}\t${one.state}\t${one.rowsNew} new, ${one.rowsChanged} changed, ${one.rowsSame} the same, ${one.rowsHeld} held`), ...tail(data.rows.length, data.total)] };
  },
  lists: async ({ perform }, who) => {
    const data = await perform(showLists, who, {});
    const count = (n: number | null) => (n === null ? 'can\'t tell' : String(n));
    return { data, lines: [`on ${data.asOf}: station ${count(data.counts.station)}, schedule ${data.counts.schedule}, invoices ${count(data.counts.invoices)}, on station and schedule ${count(data.counts.bothListed)}`,
      ...data.differences.map((one) => `  ${DIFFERENCE_WORDS[one.kind].title}: ${one.count} (${one.unsettled} to settle)`)] };
  },
  differences: async ({ perform }, who, asked) => {
    const data = await perform(listDifferences, who, { ...asked, show: 'unsettled' as const });
    return { data, lines: [...data.rows.map((one) => `${one.accountNumber}\t${one.name}\t${DIFFERENCE_WORDS[one.kind satisfies DifferenceKind].title}\tsince ${one.firstSeenOn}\t${one.assignee?.name ?? 'nobody yet'}`), ...tail(data.rows.length, data.total)] };
  },
};

const WHAT = ['companies', ...Object.keys(LISTINGS)].join(', ');

async function companies(terminal: Terminal) {
  const data = await terminal.companies();
  return { data, lines: data.length > 0 ? data.map((one) => `${one.slug}\t${one.name}\t${one.timeZone}`) : ['none yet: company add makes one'] };
}

export const list: TerminalAct = {
  name: 'list', usage: 'list <what> [--search text] [--limit n] [--offset n] [--company slug]', words: `Lists ${WHAT}.`, takes: [1, 1],
  options: { search: { type: 'string', words: 'part of a name, key or number' }, limit: { type: 'string', words: 'rows (100)' }, offset: { type: 'string', words: 'rows to pass over (0)' }, company: { type: 'string', words: 'short name of the company, when there are several' } },
  run: async ({ words, options }, terminal) => {
    if (words[0] === 'companies') return companies(terminal);
    const listing = Object.hasOwn(LISTINGS, words[0]!) ? LISTINGS[words[0]!]! : null;
    if (!listing) throw new WrongUse(`'list ${words[0]!}' is not known; accepted: ${WHAT}`);
    const search = text(options['search']);
    const asked = { ...(search ? { search } : {}), limit: wholeNumber('limit', options['limit'], 100, 1, 500), offset: wholeNumber('offset', options['offset'], 0, 0, 10_000_000) };
    return listing(terminal, await terminal.house(text(options['company'])), asked);
  },
};
