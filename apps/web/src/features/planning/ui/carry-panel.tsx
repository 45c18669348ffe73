import type { MoveAnswer, WeekView } from '@bellround/contracts';
import { dayWords, daysFrom, numberWords } from '../../../shared/format.js';
import { Button, Mark, ProblemBox } from '../../../shared/ui/index.js';
import type { Carry } from './loom-geometry.js';
import { plainWords } from './plain-words.js';
import type { Preview } from './week-moves.js';
import { phrase } from '../../../shared/language/index.js';

/** What the visit in the hand would do where it is held: said before it is dropped. */
export function CarryPanel({ view, carry, preview, name, onDrop, onLeave }: { view: WeekView; carry: Carry; preview: Preview; name: ReadonlyMap<string, string>; onDrop: () => void; onLeave: () => void }) {
  const visit = view.visits.find((one) => one.id === carry.visitId);
  const { target } = carry;
  const where = target.technicianId === null ? phrase('planning.off-the-rounds') : phrase('planning.value-day-stop-value2', { value: name.get(target.technicianId) ?? '', day: dayWords(target.day), value2: target.position + 1 });
  const broken = preview.state === 'told' ? preview.answer.broken : [];
  return (
    <div className={`loom-panel${broken.length > 0 ? ' broken' : ''}`} role="status" aria-live="polite">
      <strong>{visit?.siteName ?? phrase('planning.visit')}: {where}</strong>
      {target.technicianId !== null && visit?.dueOn && daysFrom(target.day, visit.dueOn) > 0 ? <span className="quiet"> {phrase('planning.daysfrom-days-before-it-is-due', { daysFrom: daysFrom(target.day, visit.dueOn) })}</span> : null}
      {visit?.promise ? <p className="note">{phrase('planning.agreed-with-the-client-promise', { promise: visit.promise })}</p> : null}
      {preview.state === 'none' ? <p>{phrase('planning.that-is-where-it-stands')}</p> : null}
      {preview.state === 'asking' ? <p>{phrase('planning.looking-at-what-it-costs')}</p> : null}
      {preview.state === 'refused' ? <ProblemBox problem={preview.problem} /> : null}
      {preview.state === 'told' ? <Effect answer={preview.answer} /> : null}
      {carry.by === 'keys' || broken.length > 0 ? <div className="row">{broken.length === 0 ? <Button size="small" onClick={onDrop}>{phrase('planning.put-it-here-enter')}</Button> : null}<Button size="small" onClick={onLeave}>{phrase('planning.leave-it-where-it-was-escape')}</Button></div> : null}
    </div>
  );
}

/** Change of each aim, and the rules that would break. */
export function Effect({ answer }: { answer: Pick<MoveAnswer, 'delta' | 'broken'> }) {
  const terms = answer.delta.filter((term) => Math.abs(term.change) > 0.004);
  return (
    <div>
      {answer.broken.length > 0 ? <><Mark shape="bracketed" tone="bad">{phrase('planning.cannot-be-done')}</Mark><ul>{answer.broken.map((words) => <li key={words}>{plainWords(words)}</li>)}</ul></> : <Mark shape="standing" tone="good">{phrase('planning.breaks-no-rule')}</Mark>}
      <ul className="effects">{terms.length === 0 ? <li>{phrase('planning.costs-nothing')}</li> : terms.map((term) => <li key={term.name}><strong>{TERMS[term.name] ?? term.name}</strong> {term.change > 0 ? '+' : '−'}{numberWords(Math.abs(term.change), 1)} {unitWords(term.unit)}</li>)}</ul>
    </div>
  );
}

/** What a term of the cost is counted in. */
export function unitWords(unit: string): string {
  return unit === 'exposure' ? phrase('planning.h-in-six-weeks') : unit === 'weight' ? phrase('planning.by-weight') : unit;
}

export const TERMS: Record<string, string> = { lapses: phrase('planning.duties-that-lapse'), promises: phrase('planning.promises-not-kept'), exposure: phrase('planning.exposure-left'), overtime: phrase('planning.overtime'), travel: phrase('planning.travel'), change: phrase('planning.published-visits-moved'), balance: phrase('planning.unevenness') };
