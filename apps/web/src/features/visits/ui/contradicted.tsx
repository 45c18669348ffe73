import { type CheckRow, type CheckToDo, routes, type VisitView } from '@bellround/contracts';
import { momentWords, numberWords } from '../../../shared/format.js';
import { keysOf, useAsk } from '../../../shared/query.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, Section, VerdictMark } from '../../../shared/ui/index.js';
import type { QueuedView } from '../queued-view.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

interface Pair { readonly toDo: CheckToDo; readonly title: string; readonly checks: readonly CheckRow[] }

const isGood = (check: CheckRow): boolean => check.verdict === 'pass' || check.verdict === 'marginal';

/** The checks of one subject on which two phones disagree, every one of them, in the order in which they were done. */
export function pairsOf(view: VisitView): Pair[] {
  return view.owed.contradicted.flatMap((one) => {
    const corrected = new Set(view.checks.flatMap((check) => check.correctsId ?? []));
    const toDo = view.toDo.find((item) => item.checkKind === one.checkKind && one.subjectName === (item.room === null ? item.subjectName : `${item.subjectName}, ${item.room}`))
      ?? view.toDo.find((item) => item.checkKind === one.checkKind && item.subjectName === one.subjectName);
    if (!toDo) return [];
    const checks = view.checks.filter((check) => check.subjectId === toDo.subjectId && check.checkKind === one.checkKind && !corrected.has(check.id) && check.verdict !== 'not-done').toSorted((a, b) => a.performedAt.localeCompare(b.performedAt));
    const title = view.definitions.find((definition) => definition.key === one.checkKind)?.title ?? one.checkKind;
    return checks.some(isGood) && checks.some((check) => !isGood(check)) ? [{ toDo, title, checks }] : [];
  });
}

/** Good and failed recorded of one thing: side by side, both kept, for a person to settle by trying it again or correcting one. */
export function Contradicted({ queued, onAgain, onCorrect }: { queued: QueuedView; onAgain?: (toDo: CheckToDo) => void; onCorrect: (check: CheckRow, toDo: CheckToDo) => void }) {
  const pairs = pairsOf(queued.view);
  const me = useMe();
  const mayPlan = useMay('plan');
  const people = useAsk(keysOf('people'), routes.listTechnicians, { limit: 500 }, { about: ['technician'], enabled: pairs.length > 0 }).data;
  if (pairs.length === 0) return null;
  const nameOf = (id: string | null) => people?.rows.find((one) => one.id === id)?.name ?? phrase('visits.another-phone');
  return (
    <Section title={phrase('visits.two-phones-disagree')}>
      <p>{phrase('visits.both-are-kept-and-neither-replaces-the')}</p>
      {pairs.map(({ toDo, title, checks }) => (
        <div key={`${toDo.subjectId} ${toDo.checkKind}`} className="stack">
          <h3>{toDo.subjectName}: {said(title)}</h3>
          <div className="grid narrow">{checks.map((check) => (
            <article key={check.id} className="leaf stack">
              <div className="row"><VerdictMark verdict={check.verdict} /><strong>{nameOf(check.technicianId)}</strong></div>
              <p className="small">{momentWords(check.performedAt, queued.view.site.timeZone)}{check.deviceClockAt && Math.abs(Date.parse(check.deviceClockAt) - Date.parse(check.performedAt)) > 120_000 ? phrase('visits.the-phones-clock-said-deviceclockat', { deviceClockAt: momentWords(check.deviceClockAt, queued.view.site.timeZone) }) : ''}</p>
              <p>{said(check.reason ?? '')}</p>
              <p className="small quiet">{check.readings.map((reading) => `${reading.key}: ${typeof reading.value === 'number' ? numberWords(reading.value) : reading.value === true ? phrase('visits.yes') : reading.value === false ? phrase('visits.no') : reading.value ?? ''} ${reading.unit ?? ''}`.trim()).join('; ')}</p>
              {mayPlan || check.recordedBy === me.userId ? <div className="row"><Button size="small" onClick={() => onCorrect(check, toDo)}>{phrase('visits.correct-this-one')}</Button></div> : null}
            </article>
          ))}</div>
          {onAgain ? <div className="row"><Button kind="do" onClick={() => onAgain(toDo)}>{phrase('visits.try-it-again-now')}</Button></div> : null}
        </div>
      ))}
    </Section>
  );
}
