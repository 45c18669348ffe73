import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { WrongUse, type TerminalAct } from './act.js';

const KINDS = ['vrptw', 'week', 'questions', 'capacity'] as const;

/** The planner's benchmarks live beside the engine; this starts them with the words given after their name. */
export const bench: TerminalAct = {
  name: 'bench', usage: 'bench vrptw <folder> | bench week --technicians n --visits n --seed n | bench questions | bench capacity', words: 'Runs a benchmark of the planner; its own --help names its options.', takes: [1, 50], options: {},
  run: async ({ words }) => {
    if (words[0] === '--help') return { data: { accepted: KINDS }, lines: [bench.usage, ...KINDS.map((one) => `bench ${one} --help names its options`)] };
    const kind = KINDS.find((one) => one === words[0]);
    if (!kind) throw new WrongUse(`'bench ${words[0] ?? ''}' is not known; accepted: ${KINDS.join(', ')}`);
    const script = fileURLToPath(new URL(`../../../packages/planning/dist/bench/${kind}.js`, import.meta.url));
    if (!existsSync(script)) throw new WrongUse('the benchmarks are not built; run `npx -y pnpm@12.4.2 --filter @bellround/planning run bench:build` first');
    const code = await new Promise<number>((resolve) => spawn(process.execPath, [script, ...words.slice(1)], { stdio: 'inherit' }).on('exit', (exit) => resolve(exit ?? 1)));
    return { data: { code }, lines: [], failed: code !== 0 };
  },
};
