import type { Round } from '@bellround/planning';
import type { Act } from '../perform.js';
import { factsOf, planInWeek } from './steps.js';

/** A plan as it is stored and its week as it is now, with one word for all facts that its rules are checked on. */
export const loadToPublish: Act<{ planId: string }, Awaited<ReturnType<typeof planInWeek>> & { stopIds: string[]; facts: string }> = async (ctx, { planId }) => {
  const asked = await planInWeek(ctx, planId);
  const stopIds = (asked.row.rounds as unknown as Round[]).flatMap((round) => round.stops.map((stop) => stop.visitId));
  return { ...asked, stopIds, facts: factsOf(ctx, asked.week) };
};
