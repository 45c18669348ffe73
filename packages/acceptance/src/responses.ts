import type { CheckDefinition, ExpectedResponse } from './definition.js';

/** What was answered for one expected response, in the order of the definition's list. */
export type ResponseAnswer =
  | { readonly answer: 'seen'; readonly afterS?: number }
  | { readonly answer: 'not-seen' }
  /** It cannot be proven in this visit, and why: as good an answer as any, and owed elsewhere. */
  | { readonly answer: 'not-provable'; readonly because: string };

export type ResponseOutcome = {
  readonly response: ExpectedResponse;
  readonly verdict: 'seen' | 'late' | 'missing' | 'pending' | 'not-provable' | 'not-answered';
  /** Absence and lateness are deficiencies; what is pending or not answered is still owed. */
  readonly isDeficiency: boolean;
  readonly isOwed: boolean;
  readonly words: string;
};

// Held back on purpose for an hour or more: nobody waits on site for it.
const delayedS = 3600;

/**
 * [ACC-54] What a step had to provoke and did or did not, one answer for each of the definition's responses. `sinceS`: seconds since
 * the step. A response that is not seen is missing only when its time is over; one held back on purpose stays pending after the visit.
 */
export function responseOutcomes(definition: CheckDefinition, answers: readonly (ResponseAnswer | null)[], sinceS: number): ResponseOutcome[] {
  return definition.expectedResponses.map((response, i) => outcomeOf(response, answers[i] ?? null, sinceS));
}

function outcomeOf(response: ExpectedResponse, answer: ResponseAnswer | null, sinceS: number): ResponseOutcome {
  const what = `${response.what} at the ${response.where}`;
  const said = (verdict: ResponseOutcome['verdict'], words: string): ResponseOutcome => ({
    response, verdict, words, isDeficiency: verdict === 'missing' || verdict === 'late', isOwed: verdict === 'pending' || verdict === 'not-answered' || verdict === 'not-provable',
  });
  if (answer?.answer === 'seen') {
    const late = answer.afterS !== undefined && answer.afterS > response.withinS;
    return late ? said('late', `${what}: seen after ${answer.afterS} s, ${response.withinS} s asked.`) : said('seen', `${what}: seen${answer.afterS === undefined ? '' : ` after ${answer.afterS} s`}.`);
  }
  if (answer?.answer === 'not-provable') return said('not-provable', `${what}: not provable in this visit, because ${answer.because}.`);
  if (sinceS < response.withinS && (answer === null ? response.withinS >= delayedS : true)) {
    return said('pending', `${what}: may still come, within ${Math.ceil((response.withinS - sinceS) / 60)} min.`);
  }
  return answer === null ? said('not-answered', `${what}: not answered.`) : said('missing', `${what}: did not come within ${response.withinS} s. The fault was provoked and nobody was told.`);
}
