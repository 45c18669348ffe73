import type { CheckDefinition } from '@bellround/acceptance';
import type { ResponseAnswer } from '@bellround/contracts';
import { secondsWords } from '../../../shared/format.js';
import { Choices, TextField } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { RESPONSE_AT } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

type Answers = Readonly<Record<number, ResponseAnswer>>;

/** Held back on purpose for an hour or more: nobody waits on site for it. */
const HELD_BACK_S = 3600;

export function responseFaults(answers: Answers): { path: string; message: string }[] {
  return Object.entries(answers).flatMap(([at, one]) => (one?.answer === 'not-provable' && one.because.trim().length < 3 ? [{ path: `responses.${at}.because`, message: phrase('visits.must-say-why-it-cannot-be-proven') }] : []));
}

/** What the step had to provoke, answered one by one: seen, not seen, or not provable in this visit. */
export function ResponseFields({ definition, answers, onChange }: { definition: CheckDefinition; answers: Answers; onChange: (answers: Answers) => void }) {
  if (definition.expectedResponses.length === 0) return null;
  const set = (at: number, answer: ResponseAnswer) => onChange({ ...answers, [at]: answer });
  return (
    <details open className="responses">
      <summary>{phrase('visits.what-it-had-to-provoke')}</summary>
      {definition.expectedResponses.map((response, at) => {
        const answer = answers[at] ?? null;
        const isHeldBack = response.where === 'station' && response.withinS >= HELD_BACK_S;
        return (
          <div key={`${response.what} ${response.where}`} className="stack">
            <Choices<'seen' | 'not-seen' | 'not-provable'> label={phrase('visits.what-at-the-where-within-withins', { what: said(response.what), where: RESPONSE_AT[response.where], withinS: secondsWords(response.withinS) })} name={`responses.${at}`} value={answer?.answer ?? null}
              onChange={(next) => set(at, next === 'not-provable' ? { answer: next, because: '' } : { answer: next })}
              options={[{ value: 'seen', label: phrase('visits.came') }, { value: 'not-seen', label: isHeldBack ? phrase('visits.may-still-come-watch-for-it') : phrase('visits.did-not-come') }, { value: 'not-provable', label: phrase('visits.not-provable-here') }]} />
            {answer?.answer === 'not-provable' ? <TextField label={phrase('visits.because')} name={`responses.${at}.because`} value={answer.because} onChange={(because) => set(at, { answer: 'not-provable', because })} /> : null}
            {isHeldBack && answer?.answer === 'not-seen' ? <p className="small">{phrase('visits.watched-after-the-visit-by-itself-heard')}</p> : null}
          </div>);
      })}
    </details>
  );
}
