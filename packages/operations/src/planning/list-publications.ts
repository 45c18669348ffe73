import type { PlanChange, PublicationRow } from '@bellround/contracts';
import type { Round } from '@bellround/planning';
import type { Act } from '../perform.js';
import { dbDay, own } from '../steps.js';
import { requireMonday } from './steps.js';

/** What was published for a week, newest first, as it stood at that moment. */
export const listPublications: Act<{ weekStart: string }, { rows: PublicationRow[] }> = async (ctx, { weekStart }) => {
  requireMonday(weekStart);
  const rows = await ctx.tx.db.publication.findMany({ where: { ...own(ctx), weekStart: dbDay(weekStart) }, orderBy: [{ at: 'desc' }, { id: 'desc' }] });
  return { rows: rows.map((row) => {
    const rounds = row.rounds as unknown as Round[];
    return { id: row.id, planId: row.planId, at: row.at.toISOString(), byName: row.byName, placed: rounds.reduce((sum, round) => sum + round.stops.filter((stop) => stop.joins === undefined).length, 0), leftOut: (row.unplaced as unknown[]).length, changes: row.changes as unknown as PlanChange[], rounds };
  }) };
};
