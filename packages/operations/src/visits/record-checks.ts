import type { BatchAnswer, RecordChecks } from '@bellround/contracts';
import type { z } from 'zod';
import type { Act } from '../perform.js';
import { answersOf, recordAll } from '../recording.js';
import { lockVisit } from './steps.js';

type Answer = z.infer<typeof BatchAnswer>;

/**
 * Appends what a phone gathered without a network: each check is recorded or refused on its own, in the order in which it was
 * done, so that one refused check loses none of the others. The same batch sent again is answered the same.
 */
export const recordChecks: Act<RecordChecks, { answers: Answer[] }> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const doneFirst = [...input.checks].sort((a, b) => ((a.deviceClockAt ?? '') < (b.deviceClockAt ?? '') ? -1 : (a.deviceClockAt ?? '') > (b.deviceClockAt ?? '') ? 1 : 0));
  const refused = await recordAll(ctx, visit, doneFirst.map((body) => ({ body })));
  const answers = await answersOf(ctx, input.checks.map((check) => check.id).filter((id) => !refused.has(id)));
  return { answers: input.checks.map(({ id }) => {
    const refusal = refused.get(id);
    return { id, recorded: answers.get(id) ?? null, problem: refusal ? { name: refusal.problem, detail: refusal.detail, data: refusal.more.data ?? null } : null };
  }) };
};
