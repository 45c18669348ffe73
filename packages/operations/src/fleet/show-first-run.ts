import { FIRST_RUN_COUNTS_TO, FIRST_STEPS, type FirstRun, type FirstStep } from '@bellround/contracts';
import { firstRunCounts } from '@bellround/database';
import type { Act } from '../perform.js';

/** Where the company stands on its way to a planned week, told from what is there. A technician without a home base starts nowhere and does not count. */
export const showFirstRun: Act<object, FirstRun> = async (ctx) => {
  const { unplacedSites, checks, stationLists, invoiceLists, programmes, signIns, plans, published, ...there } = await firstRunCounts(ctx.tx, FIRST_RUN_COUNTS_TO);
  const counts: Record<FirstStep, number> = { ...there, programme: programmes, 'sign-ins': signIns, plan: plans, week: published };
  const steps = FIRST_STEPS.map((step) => ({ step, count: counts[step], isDone: counts[step] > 0 }));
  // A company that has published a week has found its way, whatever it does without.
  const next = counts.week > 0 ? null : steps.find((one) => !one.isDone)?.step ?? null;
  return { steps, next, unplacedSites, helpful: { checks, stationLists, invoiceLists } };
};
