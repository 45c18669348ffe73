import type { CheckToDo } from '@bellround/contracts';
import { countWords, minutesWords } from '../../../shared/format.js';
import { Empty, Mark, Section, VerdictMark } from '../../../shared/ui/index.js';
import { useDrafts } from '../api/visits.js';
import { checkKey, type QueuedView } from '../queued-view.js';

/** Checks in the order in which they are best done; what waits here and what is half-entered is told apart from what is recorded. */
export function ToDoList({ queued, onChoose }: { queued: QueuedView; onChoose: ((toDo: CheckToDo) => void) | null }) {
  const { view } = queued;
  const titles = new Map(view.definitions.map((definition) => [definition.key, definition]));
  const drafts = useDrafts(view.visit.id);
  const left = view.toDo.filter((one) => !one.done && queued.checks.get(checkKey(one)) === undefined);
  if (view.toDo.length === 0) return <Empty title="This visit asks for no check">Close it, or add duties from the site’s page.</Empty>;
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
      <ol className="todo">{view.toDo.map((one) => {
        const definition = titles.get(one.checkKind);
        return (
          <li key={checkKey(one)}>
            <button type="button" className="button" disabled={!onChoose} onClick={() => onChoose?.(one)}>
              <span><strong>{one.subjectName}</strong>: {definition?.title ?? one.checkKind}{definition?.needsHold ? ' (on test)' : ''}</span>
              {stateOf(one)}
            </button>
          </li>);
      })}</ol>
    </Section>
  );
}
