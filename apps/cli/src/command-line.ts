import { parseArgs } from 'node:util';
import { problemDocument, Refusal } from '@bellround/contracts';
import { WrongUse, type Terminal, type TerminalAct } from './act.js';
import { bench } from './bench.js';
import { checks, judgeCheck } from './checks.js';
import { decode } from './decode-event.js';
import { catchUp, together, windows } from './duties.js';
import { batteries, exposure, fitRisk, riskVersions } from './exposure.js';
import { importFleet } from './import-fleet.js';
import { list } from './list.js';
import { listen } from './listen.js';
import { occurrences } from './occurrences.js';
import { company, user } from './people.js';
import { planWeek } from './plan-week.js';
import { receivers } from './receivers.js';
import { roundTrip, silence, zoneLists } from './round-trip.js';
import { standing } from './standing.js';
import { verify } from './verify-bundle.js';

export const ACTS: readonly TerminalAct[] = [importFleet, list, planWeek, standing, exposure, batteries, fitRisk, riskVersions, occurrences, windows, together, catchUp, checks, judgeCheck, decode, roundTrip, silence, zoneLists, listen, receivers, verify, company, user, bench];

export interface Said { code: number; out: string; err: string }

const HELP = (): string => ['bellround <act> [options] [--json]', '', ...ACTS.map((act) => `  ${act.usage}\n      ${act.words}`), '', 'Acts that need data use DATABASE_APP_URL, or the house that `npm start` runs here.', 'Local codes and licensed practice prevail.', ''].join('\n');

/** Runs one command line. 0 done, 1 refused (a problem document on standard error), 2 wrong use. */
export async function runCommand(argv: readonly string[], terminal: Terminal): Promise<Said> {
  const [name, ...rest] = argv;
  if (name === undefined || name === '--help' || name === 'help') return { code: name === undefined ? 2 : 0, out: HELP(), err: '' };
  const act = ACTS.find((one) => one.name === name);
  if (!act) return { code: 2, out: '', err: `there is no act '${name}'; accepted: ${ACTS.map((one) => one.name).join(', ')}\n` };
  const json = rest.includes('--json');
  try {
    const given = act.name === 'bench' ? { words: rest.filter((word) => word !== '--json'), options: {} } : parsed(act, rest);
    if (given.options['help']) return { code: 0, out: `${act.usage}\n${act.words}\n${Object.entries(act.options).map(([key, option]) => `  --${key.padEnd(12)} ${option.words}`).join('\n')}\n`, err: '' };
    if (given.words.length < act.takes[0] || given.words.length > act.takes[1]) throw new WrongUse(`usage: ${act.usage}`);
    const answer = await act.run(given, terminal);
    return { code: answer.failed ? 1 : 0, out: json ? `${JSON.stringify(answer.data, null, 2)}\n` : answer.lines.map((line) => `${line}\n`).join(''), err: '' };
  } catch (error) {
    return refused(error, json);
  }
}

function parsed(act: TerminalAct, rest: readonly string[]) {
  try {
    const { values, positionals } = parseArgs({ args: [...rest], allowPositionals: true, strict: true, options: { json: { type: 'boolean' }, help: { type: 'boolean' }, ...Object.fromEntries(Object.entries(act.options).map(([key, option]) => [key, { type: option.type, multiple: option.several === true }])) } });
    return { words: positionals, options: Object.fromEntries(Object.entries(values).map(([key, value]) => [key, Array.isArray(value) ? value.join(',') : value])) };
  } catch (error) {
    throw new WrongUse(`${(error as Error).message.split('.')[0]}; usage: ${act.usage}`);
  }
}

function refused(error: unknown, json: boolean): Said {
  if (error instanceof WrongUse) return { code: 2, out: '', err: json ? `${JSON.stringify(problemDocument(new Refusal('BadInput', error.message)), null, 2)}\n` : `${error.message}\n` };
  const refusal = error instanceof Refusal ? error : new Refusal(isInput(error) ? 'BadInput' : 'Internal', (error as Error).message);
  return { code: 1, out: '', err: `${JSON.stringify(problemDocument(refusal), null, 2)}\n` };
}

/** Engines refuse bad input with errors of their own names; their words are for people. */
const isInput = (error: unknown): boolean => error instanceof Error && /Input|Range|Bad|Wrong|Recurrence|LocalDate|Refused/.test(error.name);
