import type { CheckToDo } from '@bellround/contracts';
import { useState } from 'react';
import { countWords, minutesWords } from '../../../shared/format.js';
import { CheckBox, Empty, Mark, Section, VerdictMark } from '../../../shared/ui/index.js';
import { useDrafts } from '../api/visits.js';
import { checkKey, type QueuedView } from '../queued-view.js';

const PHASES = { open: 'Before the hold', hold: 'On test', 'hold-sounding': 'On test, and sounding: last', sounding: 'Sounding', restore: 'Putting back', done: 'Done' } as const;

/** Checks in the order in which they are best done; what waits here and what is half-entered is told apart from what is recorded. */
export function ToDoList({ queued, onChoose }: { queued: QueuedView; onChoose: ((toDo: CheckToDo) => void) | null }) {
  const { view } = queued;
  const titles = new Map(view.definitions.map((definition) => [definition.key, definition]));
  const drafts = useDrafts(view.visit.id);
  const left = view.toDo.filter((one) => !one.done && queued.checks.get(checkKey(one)) === undefined);
  const [quick, setQuick] = useState(false);
  if (view.toDo.length === 0) return <Empty title="This visit asks for no check">Close it, or add duties from the site’s page.</Empty>;
  const isQuick = (one: CheckToDo) => { const of = titles.get(one.checkKind); return of !== undefined && !of.activation && !of.needsHold && !of.sounds && !of.restores; };
  // A visit that an older build kept on this phone has no such pairs.
  const apart = (view as { apart?: string[] }).apart ?? [];
  const shown = quick ? view.toDo.filter(isQuick) : view.toDo;
  const stateOf = (one: CheckToDo) => {
    const check = view.checks.filter((done) => done.subjectId === one.subjectId && done.checkKind === one.checkKind).at(-1);
    const way = queued.checks.get(checkKey(one))?.way;
    if (way === 'refused') return <Mark shape="fallen" tone="bad">refused: needs you</Mark>;
    if (way) return <Mark shape="half">kept, being sent</Mark>;
    if (drafts.includes(checkKey(one))) return <Mark shape="hatched" tone="warn">half-entered here</Mark>;
    return check ? <VerdictMark verdict={check.verdict} /> : <Mark shape="empty">to do</Mark>;
  };
  return (
    <Section title={left.length === 0 ? 'Every check is done' : `${countWords(left.length, 'check')} to do, about ${minutesWords(left.reduce((sum, one) => sum + one.minutes, 0))}`}>
      {view.toDo.some(isQuick) ? <CheckBox label="Quick set only: nothing that trips, sounds or needs the hold" checked={quick} onChange={setQuick} /> : null}
      {apart.length > 0 && !quick ? <details><summary>Told apart: {countWords(apart.length, 'pair')} that disturb each other</summary><ul>{apart.map((words) => <li key={words}>{words}</li>)}</ul></details> : null}
      <ol className="todo">{shown.map((one, at) => {
        const definition = titles.get(one.checkKind);
        const phase = one.done ? 'done' : one.phase;
        const before = at === 0 ? null : shown[at - 1]!.done ? 'done' : shown[at - 1]!.phase;
        return (
          <li key={checkKey(one)}>
            {phase && phase !== before ? <p className="small todo-phase">{PHASES[phase]}</p> : null}
            <button type="button" className="button" disabled={!onChoose} onClick={() => onChoose?.(one)}>
              <span><strong>{one.subjectName}</strong>: {definition?.title ?? one.checkKind}{definition?.needsHold ? ' (on test)' : ''}</span>
              {stateOf(one)}
            </button>
          </li>);
      })}</ol>
    </Section>
  );
}
