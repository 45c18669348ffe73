import type { MoveAnswer, WeekView } from '@bellround/contracts';
import { dayWords, daysFrom, numberWords } from '../../../shared/format.js';
import { Button, Mark, ProblemBox } from '../../../shared/ui/index.js';
import type { Carry } from './loom-geometry.js';
import { plainWords } from './plain-words.js';
import type { Preview } from './week-moves.js';

/** What the visit in the hand would do where it is held: said before it is dropped. */
export function CarryPanel({ view, carry, preview, name, onDrop, onLeave }: { view: WeekView; carry: Carry; preview: Preview; name: ReadonlyMap<string, string>; onDrop: () => void; onLeave: () => void }) {
  const visit = view.visits.find((one) => one.id === carry.visitId);
  const { target } = carry;
  const where = target.technicianId === null ? 'off the rounds' : `${name.get(target.technicianId) ?? ''}, ${dayWords(target.day)}, stop ${target.position + 1}`;
  const broken = preview.state === 'told' ? preview.answer.broken : [];
  return (
    <div className={`loom-panel${broken.length > 0 ? ' broken' : ''}`} role="status" aria-live="polite">
      <strong>{visit?.siteName ?? 'visit'}: {where}</strong>
      {target.technicianId !== null && visit?.dueOn && daysFrom(target.day, visit.dueOn) > 0 ? <span className="quiet"> {daysFrom(target.day, visit.dueOn)} days before it is due</span> : null}
      {visit?.promise ? <p className="note">Agreed with the client: {visit.promise}</p> : null}
      {preview.state === 'none' ? <p>That is where it stands.</p> : null}
      {preview.state === 'asking' ? <p>Looking at what it costs …</p> : null}
      {preview.state === 'refused' ? <ProblemBox problem={preview.problem} /> : null}
      {preview.state === 'told' ? <Effect answer={preview.answer} /> : null}
      {carry.by === 'keys' || broken.length > 0 ? <div className="row">{broken.length === 0 ? <Button size="small" onClick={onDrop}>Put it here (Enter)</Button> : null}<Button size="small" onClick={onLeave}>Leave it where it was (Escape)</Button></div> : null}
    </div>
  );
}

/** Change of each aim, and the rules that would break. */
export function Effect({ answer }: { answer: Pick<MoveAnswer, 'delta' | 'broken'> }) {
  const terms = answer.delta.filter((term) => Math.abs(term.change) > 0.004);
  return (
    <div>
      {answer.broken.length > 0 ? <><Mark shape="bracketed" tone="bad">cannot be done</Mark><ul>{answer.broken.map((words) => <li key={words}>{plainWords(words)}</li>)}</ul></> : <Mark shape="standing" tone="good">breaks no rule</Mark>}
      <ul className="effects">{terms.length === 0 ? <li>Costs nothing.</li> : terms.map((term) => <li key={term.name}><strong>{TERMS[term.name] ?? term.name}</strong> {term.change > 0 ? '+' : '−'}{numberWords(Math.abs(term.change), 1)} {term.unit === 'exposure' ? 'h a year' : term.unit}</li>)}</ul>
    </div>
  );
}

export const TERMS: Record<string, string> = { lapses: 'duties that lapse', promises: 'promises not kept', exposure: 'exposure left', overtime: 'overtime', travel: 'travel', change: 'published visits moved', balance: 'unevenness' };
