import { Inject, Injectable } from '@nestjs/common';
import { JOBS, Refusal } from '@bellround/contracts';
import { askRoads, failPlan, loadWeekProblem, madeOf, notePlanProgress, problemToSolve, saveWeekPlan, wantVisits } from '@bellround/operations';
import { WORKSHOP, type Processor } from '../door/processor.js';
import type { Workshop } from '../door/workshop.js';
import { solveInThreads } from './solve-in-threads.js';

/** Ask for road times that are lacking, load in one act, compute in threads outside any transaction, save in another. A job that runs twice finds its plan saved. */
@Injectable()
export class PlanWeekProcessor implements Processor<typeof JOBS.planWeek.payload> {
  readonly job = JOBS.planWeek;
  constructor(@Inject(WORKSHOP) private readonly workshop: Workshop) {}

  async handle({ companyId, planId }: { companyId: string; planId: string }): Promise<void> {
    const { perform, houseOf, roads } = this.workshop;
    const house = houseOf(companyId);
    try {
      await perform(wantVisits, house, { planId });
      const roadsMissing = await askRoads(perform, house, planId, roads());
      const week = await perform(loadWeekProblem, house, { planId, roadsMissing });
      const { problem, told } = problemToSolve(week);
      const plan = await solveInThreads(problem, {
        seed: week.seed, seconds: week.seconds, onTick: (progress) => perform(notePlanProgress, house, { planId, progress }) });
      await perform(saveWeekPlan, house, { planId, ...madeOf(problem, plan, week.parts), unplannable: week.unplannable, told });
    } catch (error) {
      if (error instanceof Refusal && error.problem === 'WrongState') return; // saved or cancelled already: the job ran twice
      await perform(failPlan, house, { planId, words: (error as Error).message });
      throw error;
    }
  }
}
