import type { CheckRow, CheckToDo } from '@bellround/contracts';
import { momentWords } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, Mark, Photos, Section, VerdictMark } from '../../../shared/ui/index.js';
import type { QueuedView } from '../queued-view.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';
import { VERDICT, wordOf } from '../../../shared/words.js';

/** What was recorded, newest first; nothing is ever altered: a correction stands beside what it corrects. */
export function DoneList({ queued, onCorrect }: { queued: QueuedView; onCorrect: (check: CheckRow, toDo: CheckToDo) => void }) {
  const { view } = queued;
  const me = useMe();
  const [mayWork, mayPlan] = [useMay('work'), useMay('plan')];
  const titles = new Map(view.definitions.map((definition) => [definition.key, definition.title]));
  const names = namesOf(queued);
  const corrected = new Map(view.checks.flatMap((check) => (check.correctsId ? [[check.correctsId, check] as const] : [])));
  const instruments = new Map(view.instruments.map((one) => [one.id, `${one.kind} ${one.serial}`]));
  const mayCorrect = (check: CheckRow) => !corrected.has(check.id) && ((mayWork && check.recordedBy === me.userId) || mayPlan) && titles.has(check.checkKind);
  return (
    <Section title={phrase('visits.what-this-visit-has-recorded')}>
      <details open={view.checks.length <= 6}><summary>{phrase('visits.checks-newest-first', { checks: phrase('count.entry', { n: view.checks.length }) })}</summary>
      <ul className="stack">{view.checks.toReversed().map((check) => {
        const by = check.readings.find((reading) => reading.instrumentId);
        return (
          <li key={check.id}>
            <VerdictMark verdict={check.verdict} /> {names.get(check.subjectId) ?? phrase('visits.subjectkind-since-replaced', { subjectKind: check.subjectKind })}: {said(titles.get(check.checkKind) ?? check.checkKind)}. {said(check.reason ?? '')} <span className="small quiet">{momentWords(check.performedAt, view.site.timeZone)}{check.limitSource ? phrase('visits.limit-limitsource', { limitSource: said(check.limitSource) }) : ''}{by ? phrase('visits.on-value-value2', { value: instruments.get(by.instrumentId!) ?? phrase('visits.an-instrument'), value2: by.reliable === false ? phrase('visits.not-to-be-relied-on') : '' }) : ''}</span>
            {check.overruleReason ? <p className="small">{phrase('visits.computed')} {check.computedVerdict === null ? '' : wordOf(VERDICT, check.computedVerdict)}{phrase('visits.judged-otherwise-overrulereason', { overruleReason: check.overruleReason })}</p> : null}
            {differsFromPhone(check) ? <Mark shape="hatched" tone="unsure">{phrase('visits.the-phone-had-computed-phone-the-house', { phone: wordOf(VERDICT, check.judgement.phoneVerdict!), house: wordOf(VERDICT, check.computedVerdict!) })}</Mark> : null}
            {check.correctsId ? <Mark shape="returning">{phrase('visits.corrects-an-earlier-entry')}</Mark> : null}
            {corrected.has(check.id) ? <Mark shape="line">{phrase('visits.corrected-since-does-not-count')}</Mark> : null}
            <Photos title={phrase('visits.pictures')} of={view.facts.filter((fact) => fact.kind === 'photo' && fact.detail['checkId'] === check.id).map((fact) => ({ attachmentId: String(fact.detail['attachmentId']), words: String(fact.detail['words'] ?? ''), when: momentWords(fact.at, view.site.timeZone) }))} />
            {check.notes ? <p className="small">{check.notes}</p> : null}
            {mayCorrect(check) ? <Button size="small" kind="bare" onClick={() => onCorrect(check, toDoOf(queued, check, names))}>{phrase('visits.correct-it')}</Button> : null}
          </li>);
      })}</ul></details>
    </Section>
  );
}

/** A phone that knew an older catalogue, or less of the place, may have computed another verdict; the house's stands. */
const differsFromPhone = (check: CheckRow): boolean => check.judgement.phoneVerdict != null && check.computedVerdict !== null && check.judgement.phoneVerdict !== check.computedVerdict;

function namesOf({ view }: QueuedView): Map<string, string> {
  const replaced = view.facts.filter((fact) => fact.kind === 'replaced').map((fact) => [String(fact.detail['partId']), phrase('visits.string-since-replaced', { String: String(fact.detail['label']) })] as const);
  return new Map([...replaced, ...view.devices.map((one) => [one.id, one.label] as const), ...view.batteries.map((one) => [one.id, one.name] as const), ...view.paths.map((one) => [one.id, one.name] as const), ...view.systems.map((one) => [one.id, one.name] as const), [view.site.id, view.site.name] as const, ...view.toDo.map((one) => [one.subjectId, one.subjectName] as const)]);
}

function toDoOf({ view }: QueuedView, check: CheckRow, names: Map<string, string>): CheckToDo {
  return view.toDo.find((one) => one.subjectId === check.subjectId && one.checkKind === check.checkKind)
    ?? { checkKind: check.checkKind, subjectKind: check.subjectKind as CheckToDo['subjectKind'], subjectId: check.subjectId, subjectName: names.get(check.subjectId) ?? check.subjectKind, room: null, systemId: check.systemId, meetsDutyIds: [], retestsDeficiencyIds: [], minutes: 0, done: true, phase: null };
}
