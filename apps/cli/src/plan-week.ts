import { LocalDay, type PlanHead } from '@bellround/contracts';
import { askRoads, computeHere, loadWeekProblem, madeOf, problemToSolve, publishPlan, saveWeekPlan, startPlan, wantVisits } from '@bellround/operations';
import { solve, termValue } from '@bellround/planning';
import { text, required, wholeNumber, WrongUse, type TerminalAct } from './act.js';

export const planWeek: TerminalAct = {
  name: 'plan', usage: 'plan week --from <Monday> [--seconds n] [--seed n] [--publish] [--company slug]', words: 'Computes the rounds of a week from the open duties and keeps them as a draft.', takes: [1, 1],
  options: { from: { type: 'string', words: 'Monday of the week' }, seconds: { type: 'string', words: 'how long to search (8)' }, seed: { type: 'string', words: 'same seed, same search' }, publish: { type: 'boolean', words: 'make it the week\'s rounds' }, company: { type: 'string', words: 'short name of the company, when there are several' } },
  run: async ({ words, options }, terminal) => {
    if (words[0] !== 'week') throw new WrongUse(`'plan ${words[0] ?? ''}' is not known; accepted is 'plan week'`);
    const from = LocalDay.safeParse(required('from', options['from']));
    if (!from.success) throw new WrongUse(`--from is '${String(options['from'])}'; accepted is a day written YYYY-MM-DD`);
    const seconds = wholeNumber('seconds', options['seconds'], 8, 1, 3600);
    const seed = wholeNumber('seed', options['seed'], 1, 1, 2 ** 31 - 1);
    const who = await terminal.house(text(options['company']));
    const planId = terminal.newId();
    await terminal.perform(startPlan, who, { weekStart: from.data, planId, seconds, seed, inline: true });
    await terminal.perform(wantVisits, who, { planId });
    const roadsMissing = await askRoads(terminal.perform, who, planId, terminal.roads?.() ?? null);
    const week = await terminal.perform(loadWeekProblem, who, { planId, roadsMissing });
    const { problem, told } = problemToSolve(week);
    const began = terminal.now().getTime();
    const used = () => (terminal.now().getTime() - began) / 1000 / seconds;
    const plan = solve(problem, { seed: week.seed, stop: { until: () => used() >= 1, fraction: used } });
    let head = await terminal.perform(saveWeekPlan, who, { planId, ...madeOf(problem, plan, week.parts), unplannable: week.unplannable, told });
    if (options['publish']) head = await publishPlan({ perform: terminal.perform, compute: computeHere }, who, { planId, revision: head.revision });
    return { data: { plan: head, rounds: plan.rounds, unplaced: plan.unplaced }, lines: [
      `week of ${head.weekStart}: ${head.placed} visits placed, ${head.unplaced} left out, ${termValue(plan.cost, 'travel')} minutes of travel; ${head.state}`,
      ...travelLines(head),
      ...plan.unplaced.map((one) => `  left out: ${one.visitId} ${one.reason.words}${one.lapses ? ' (a mandated duty lapses)' : ''}`)] };
  },
};

function travelLines({ travel }: PlanHead): string[] {
  if (!travel || travel.estimated === 0) return [];
  return [`  travel: ${travel.estimated} of ${travel.legs} legs are estimates${travel.trips > 0 ? `, at ${travel.percent} % as ${travel.trips} past trips say` : ''}${travel.why ? `; ${travel.why}` : ''}`];
}
