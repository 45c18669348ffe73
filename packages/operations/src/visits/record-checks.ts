import { Refusal, type BatchAnswer, type RecordChecks } from '@bellround/contracts';
import type { z } from 'zod';
import { installedAt } from '../installed.js';
import type { Act } from '../perform.js';
import { answersOf, benchOf, checkDigest, givenBefore, lockVisit, recordOne, settleRecorded, type Recorded } from './steps.js';

type Answer = z.infer<typeof BatchAnswer>;

/**
 * Appends what a phone gathered without a network: each check is recorded or refused on its own, in the order in which it was
 * done, so that one refused check loses none of the others. The same batch sent again is answered the same.
 */
export const recordChecks: Act<RecordChecks, { answers: Answer[] }> = async (ctx, input) => {
  const visit = await lockVisit(ctx, input.visitId);
  const bench = await benchOf(ctx, visit, await installedAt(ctx, visit.site, visit.id));
  const recorded: Recorded[] = [];
  const refused = new Map<string, Refusal>();
  const doneFirst = [...input.checks].sort((a, b) => ((a.deviceClockAt ?? '') < (b.deviceClockAt ?? '') ? -1 : (a.deviceClockAt ?? '') > (b.deviceClockAt ?? '') ? 1 : 0));
  for (const check of doneFirst) {
    try {
      if (!(await givenBefore(ctx, check.id, checkDigest(ctx, visit.id, check, null)))) recorded.push(await recordOne(ctx, bench, check));
    } catch (error) {
      // A refusal comes before anything is written, so the others of the batch stand.
      if (!(error instanceof Refusal)) throw error;
      refused.set(check.id, error);
    }
  }
  await settleRecorded(ctx, visit, recorded);
  const answers = await answersOf(ctx, input.checks.map((check) => check.id).filter((id) => !refused.has(id)));
  return { answers: input.checks.map(({ id }) => {
    const refusal = refused.get(id);
    return { id, recorded: answers.get(id) ?? null, problem: refusal ? { name: refusal.problem, detail: refusal.detail, data: refusal.more.data ?? null } : null };
  }) };
};
