import type { CheckToDo } from '@bellround/contracts';
import { useState } from 'react';
import { minutesWords } from '../../../shared/format.js';
import { CheckBox, Empty, Mark, Section, VerdictMark } from '../../../shared/ui/index.js';
import { useDrafts } from '../api/visits.js';
import { checkKey, type QueuedView } from '../queued-view.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

const PHASES = { open: phrase('visits.before-the-hold'), hold: phrase('visits.on-test-2'), 'hold-sounding': phrase('visits.on-test-and-sounding-last'), sounding: phrase('visits.sounding'), restore: phrase('visits.putting-back'), done: phrase('visits.done') } as const;

/** Checks in the order in which they are best done; what waits here and what is half-entered is told apart from what is recorded. */
export function ToDoList({ queued, onChoose }: { queued: QueuedView; onChoose: ((toDo: CheckToDo) => void) | null }) {
  const { view } = queued;
  const titles = new Map(view.definitions.map((definition) => [definition.key, definition]));
  const drafts = useDrafts(view.visit.id);
  const left = view.toDo.filter((one) => !one.done && queued.checks.get(checkKey(one)) === undefined);
  const [quick, setQuick] = useState(false);
  if (view.toDo.length === 0) return <Empty title={phrase('visits.this-visit-asks-for-no-check')}>{phrase('visits.close-it-or-add-duties-from-the')}</Empty>;
  const isQuick = (one: CheckToDo) => { const of = titles.get(one.checkKind); return of !== undefined && !of.activation && !of.needsHold && !of.sounds && !of.restores; };
  // A visit that an older build kept on this phone has no such pairs.
  const apart = (view as { apart?: string[] }).apart ?? [];
  const shown = quick ? view.toDo.filter(isQuick) : view.toDo;
  const stateOf = (one: CheckToDo) => {
    const check = view.checks.filter((done) => done.subjectId === one.subjectId && done.checkKind === one.checkKind).at(-1);
    const way = queued.checks.get(checkKey(one))?.way;
    if (way === 'refused') return <Mark shape="fallen" tone="bad">{phrase('visits.refused-needs-you')}</Mark>;
    if (way) return <Mark shape="half">{phrase('visits.kept-being-sent')}</Mark>;
    if (drafts.includes(checkKey(one))) return <Mark shape="hatched" tone="warn">{phrase('visits.half-entered-here')}</Mark>;
    return check ? <VerdictMark verdict={check.verdict} /> : <Mark shape="empty">{phrase('visits.to-do')}</Mark>;
  };
  return (
    <Section title={left.length === 0 ? phrase('visits.every-check-is-done') : phrase('visits.left-to-do-about-minutes', { left: phrase('count.check', { n: left.length }), minutes: minutesWords(left.reduce((sum, one) => sum + one.minutes, 0)) })}>
      {view.toDo.some(isQuick) ? <CheckBox label={phrase('visits.quick-set-only-nothing-that-trips-sounds')} checked={quick} onChange={setQuick} /> : null}
      {apart.length > 0 && !quick ? <details><summary>{phrase('visits.told-apart-apart-that-disturb-each-other', { apart: phrase('count.pair', { n: apart.length }) })}</summary><ul>{apart.map((words) => <li key={words}>{said(words)}</li>)}</ul></details> : null}
      <ol className="todo">{shown.map((one, at) => {
        const definition = titles.get(one.checkKind);
        const phase = one.done ? 'done' : one.phase;
        const before = at === 0 ? null : shown[at - 1]!.done ? 'done' : shown[at - 1]!.phase;
        return (
          <li key={checkKey(one)}>
            {phase && phase !== before ? <p className="small todo-phase">{PHASES[phase]}</p> : null}
            <button type="button" className="button" disabled={!onChoose} onClick={() => onChoose?.(one)}>
              <span><strong>{one.subjectName}</strong>: {said(definition?.title ?? one.checkKind)}{definition?.needsHold ? phrase('visits.on-test-3') : ''}</span>
              {stateOf(one)}
            </button>
          </li>);
      })}</ol>
    </Section>
  );
}
