import { CAUSE_WORDS, exposureRoutes } from '@bellround/contracts';
import { batteryForecastOf, exportBatteryForecast, fitCompany, listExposure, listRiskVersions, scoreWholeCompany } from '@bellround/operations';
import { text, WrongUse, wholeNumber, type TerminalAct } from './act.js';

const COMPANY = { company: { type: 'string', words: 'short name of the company, when there are several' } } as const;
const causes = Object.keys(CAUSE_WORDS).join(', ');

export const exposure: TerminalAct = {
  name: 'exposure', usage: 'exposure [--cause name] [--search text] [--limit n] [--company slug]', words: 'Sites by exposure, most exposed first, each with its first reason.', takes: [0, 0],
  options: { cause: { type: 'string', words: `only sites whose first cause it is: ${causes}` }, search: { type: 'string', words: 'part of a name or town' }, limit: { type: 'string', words: 'rows (20)' }, ...COMPANY },
  run: async ({ options }, terminal) => {
    const [cause, search] = [text(options['cause']), text(options['search'])];
    const input = exposureRoutes.listExposure.input.safeParse({ limit: wholeNumber('limit', options['limit'], 20, 1, 500), ...(cause ? { cause } : {}), ...(search ? { search } : {}) });
    if (!input.success) throw new WrongUse(`--cause is '${cause ?? ''}'; accepted: ${causes}`);
    const data = await terminal.perform(listExposure, await terminal.house(text(options['company'])), input.data);
    const rows = data.rows.map((row) => `${row.score.toFixed(0).padStart(3)}  ${row.exposurePerYearH.toFixed(1).padStart(8)} h a year  ${row.siteName}: ${row.reasons[0] ?? 'nothing stands out'}${row.missingCount > 0 ? ` (${row.missingCount} values can't be told)` : ''}`);
    return { data, lines: [...(rows.length > 0 ? rows : ['no site']), ...(data.total > data.rows.length ? [`... ${data.rows.length} of ${data.total}; --limit shows more`] : [])] };
  },
};

export const batteries: TerminalAct = {
  name: 'batteries', usage: 'batteries [--months n] [--csv] [--company slug]', words: 'Standby batteries expected to fail, by month and rating: what to order.', takes: [0, 0],
  options: { months: { type: 'string', words: 'months ahead, 1 to 36 (12)' }, csv: { type: 'boolean', words: 'as CSV' }, ...COMPANY },
  run: async ({ options }, terminal) => {
    const months = wholeNumber('months', options['months'], 12, 1, 36);
    const who = await terminal.house(text(options['company']));
    if (options['csv']) {
      const { csv } = await terminal.perform(exportBatteryForecast, who, { months });
      return { data: { csv }, lines: csv.split('\r\n').filter((line) => line !== '') };
    }
    const data = await terminal.perform(batteryForecastOf, who, { months });
    const lines = data.ratings.map((one) => `${one.ratedMah === null ? 'rating not recorded' : `${one.ratedMah / 1000} Ah`}: order ${one.orderNow} now (${one.failedNow} failed); expected by month ${one.expected.map((n) => n.toFixed(1)).join(' ')}; ${one.inService} in service`);
    return { data, lines: [`from ${data.from}, ${data.inService} in service, ${data.undated} without a date of make`, ...lines] };
  },
};

export const fitRisk: TerminalAct = {
  name: 'fit-risk', usage: 'fit-risk [--seed n] [--company slug]', words: 'Fits the failure rates anew, judges the version against the one in use, and scores every site. What the worker does each night.', takes: [0, 0],
  options: { seed: { type: 'string', words: 'seed of the report\'s intervals (1)' }, ...COMPANY },
  run: async ({ options }, terminal) => {
    const who = await terminal.house(text(options['company']));
    const kept = await fitCompany(terminal.perform, who, wholeNumber('seed', options['seed'], 1, 0, 2 ** 31));
    const scored = await scoreWholeCompany(terminal.perform, who);
    return { data: { ...kept, scored }, lines: [`version ${kept.version}: ${kept.isNew ? (kept.promoted ? 'promoted' : 'refused') : 'as the one in use'}; ${kept.why}`, `${scored} sites scored`] };
  },
};

export const riskVersions: TerminalAct = {
  name: 'risk-versions', usage: 'risk-versions [--limit n] [--company slug]', words: 'Every fitted version, promoted or refused, with its back-test.', takes: [0, 0],
  options: { limit: { type: 'string', words: 'rows (20)' }, ...COMPANY },
  run: async ({ options }, terminal) => {
    const data = await terminal.perform(listRiskVersions, await terminal.house(text(options['company'])), { limit: wholeNumber('limit', options['limit'], 20, 1, 500), offset: 0 });
    const number = (value: number | null, digits: number) => (value === null ? 'not judged' : value.toFixed(digits));
    return { data, lines: data.total === 0 ? ['none yet: fit-risk makes one'] : data.rows.map((row) => `${row.fittedAt}  ${row.version}  ${row.inUse ? 'in use' : row.accepted ? 'replaced' : 'refused'}  AUC ${number(row.areaUnderCurve, 3)}, Brier ${number(row.brier, 5)}, slope ${number(row.slope, 2)}  ${row.why}`) };
  },
};
