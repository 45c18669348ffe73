import { judge, readingProblems, readingTrends, type CheckDefinition, type CheckFacts } from '@bellround/acceptance';
import { routes, type CheckRow, type CheckToDo } from '@bellround/contracts';
import { useState } from 'react';
import { enqueue } from '../../../shared/device-outbox.js';
import { momentWords, secondsWords, timeWords, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useNow } from '../../../shared/use-now.js';
import { Button, CautionBox, Choices, Form, Mark, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { useOwner } from '../api/visits.js';
import { type CheckDraft, type Outcome, useCheckDraft } from '../check-draft.js';
import { checkKey, type QueuedView } from '../queued-view.js';
import { InstrumentField } from './instrument-field.js';
import { coverOf, LiveGuard } from './live-guard.js';
import { OverruleFields, overruleFault } from './overrule-fields.js';
import { ReadingInput } from './reading-input.js';
import { responseFaults, ResponseFields } from './response-fields.js';
import { VerdictBox } from './verdict-box.js';

type Fault = { path: string; message: string };

interface FormProps { readonly queued: QueuedView; readonly toDo: CheckToDo; readonly correcting?: CheckRow; readonly onDone: () => void }

/** One check on one subject: cautions, steps, readings judged at once by the same engine that judges in the house. */
export function CheckForm(props: FormProps) {
  const definition = props.queued.view.definitions.find((one) => one.key === props.toDo.checkKind);
  return definition ? <KnownCheck {...props} definition={definition} /> : <p className="note">This check is not in the catalogue of this build; load the app again.</p>;
}

function KnownCheck({ queued, toDo, correcting, onDone, definition }: FormProps & { definition: CheckDefinition }) {
  const { view } = queued;
  const draftState = useCheckDraft(useOwner(), view.visit.id, correcting ? `correct ${correcting.id}` : checkKey(toDo), correcting ? startOf(correcting) : {});
  const { draft, change, drop, isKept, found } = draftState;
  const [faults, setFaults] = useState<Fault[]>([]);
  const [keeping, setKeeping] = useState(false);
  const [problem, setProblem] = useState<unknown>(null);
  const toast = useToast();
  const now = useNow(1000);
  const today = todayIn(view.site.timeZone);
  const facts = factsWith(queued, toDo, draft.instrumentId);
  const entered = Object.values(draft.readings).some((value) => value !== null && value !== '');
  const judged = draft.outcome !== 'not-done' && entered ? judge(definition, draft.readings, facts, today) : null;
  const last = view.lastValues.find((one) => one.subjectId === toDo.subjectId && one.checkKind === toDo.checkKind) ?? null;
  const verdict = draft.overrule?.to ?? judged?.verdict ?? null;
  const canSignal = definition.needsHold && draft.outcome !== 'not-done' && !correcting;
  const cover = canSignal ? coverOf(queued, toDo, draft.trippedAt === null ? now : new Date(draft.trippedAt)) : null;
  const isLive = cover !== null && !cover.isCovered;
  const keep = async () => {
    const wrong = faultsOf(definition, draft, facts, today, correcting !== undefined);
    if (draft.overrule && judged && overruleFault(judged, draft.overrule)) wrong.push({ path: 'overrule.reason', message: overruleFault(judged, draft.overrule)! });
    wrong.push(...responseFaults(draft.responses));
    setFaults(wrong);
    if (wrong.length > 0) return;
    setKeeping(true);
    const words = draft.outcome === 'not-done' ? 'not done' : draft.outcome === 'excused' ? 'excused' : verdict ?? 'recorded';
    const body = bodyOf(toDo, draft, definition, judged && (judged.applicable ? judged.verdict : 'not-applicable'));
    try {
      if (correcting) await enqueue(routes.correctCheck, { ...body, checkId: correcting.id, why: draft.why.trim() }, { title: `Correction of ${toDo.subjectName}: ${definition.title}: ${words}`, lane: view.visit.id });
      else await enqueue(routes.recordCheck, { ...body, visitId: view.visit.id }, { title: `${toDo.subjectName}: ${definition.title}: ${words}`, lane: view.visit.id });
      drop();
      toast(`Kept on this phone and on its way: ${toDo.subjectName}, ${words}`);
      onDone();
    } catch (error) {
      setProblem(error);
      setKeeping(false);
    }
  };
  return (
    <section className="section" aria-label={`${definition.title}: ${toDo.subjectName}`}>
      <div className="section-head"><h2>{correcting ? 'Correct: ' : ''}{toDo.subjectName}: {definition.title}</h2><Button size="small" onClick={onDone}>Back to the list</Button></div>
      {isLive && cover && !cover.isCovered ? <LiveGuard cover={cover} timeZone={view.site.timeZone} onDoneBefore={(trippedAt) => change({ trippedAt })} onNotTried={() => change({ outcome: 'not-done', reason: draft.reason || 'no hold covers it: a signal would be a real alarm' })} /> : null}
      <Before definition={definition} />
      {found ? <p className="note">Begun here {momentWords(found, view.site.timeZone)} and not recorded: it stands as you left it. <Button size="small" kind="bare" onClick={() => { drop(); onDone(); }}>Throw the draft away</Button></p> : null}
      {isKept ? null : <p className="note"><strong>This phone cannot keep what you enter while you enter it</strong> (storage full or switched off). Do not reload before you have pressed Keep.</p>}
      {isLive ? null : (
      <Form problem={problem} faults={faults} onSubmit={() => void keep()}>
        {cover?.isCovered && cover.hold?.openingWay === 'waiting' ? <Mark shape="hatched" tone="unsure">Its hold (reference {cover.hold.stationReference}) is on this phone only: go on only if the station confirmed it to you</Mark> : null}
        {correcting ? <TextField label="What was wrong with the entry" name="why" value={draft.why} onChange={(why) => change({ why })} required help="Both entries stay visible; only the correction counts." /> : null}
        <Choices<Outcome> label="What came of it" value={draft.outcome} onChange={(outcome) => change({ outcome })} options={[{ value: 'judged', label: 'Tried: readings below' }, { value: 'excused', label: 'Failed for a known reason' }, { value: 'not-done', label: 'Not tried, because' }]} />
        {canSignal ? <Tripped definition={definition} draft={draft} timeZone={view.site.timeZone} onChange={change} /> : null}
        {draft.outcome === 'excused' ? <Select label="Known reason" name="excuseCode" value={draft.excuse} onChange={(excuse) => change({ excuse })} empty="choose" options={definition.excusable.map((one) => ({ value: one.code, label: `${one.words} (owed again ${one.owedAgain === 'this-visit' ? 'in this visit' : 'later'})` }))} /> : null}
        {draft.outcome === 'excused' && definition.excusable.length === 0 ? <p className="note">The catalogue knows no reason that excuses this check.</p> : null}
        {draft.outcome !== 'judged' ? <TextField label={draft.outcome === 'not-done' ? 'Why it was not tried' : 'What happened'} name="reason" value={draft.reason} onChange={(reason) => change({ reason })} /> : null}
        {draft.outcome !== 'not-done' && definition.readings.some((reading) => reading.kind === 'number') ? <InstrumentField view={view} value={draft.instrumentId} today={today} onChange={(instrumentId) => change({ instrumentId })} /> : null}
        {draft.outcome === 'not-done' ? null : definition.readings.map((reading) => <ReadingInput key={reading.key} reading={reading} value={draft.readings[reading.key] ?? null} onChange={(value) => change({ readings: { ...draft.readings, [reading.key]: value } })} />)}
        {draft.outcome !== 'not-done' && !correcting ? <ResponseFields definition={definition} answers={draft.responses} onChange={(responses) => change({ responses })} /> : null}
        {judged && draft.outcome === 'judged' ? <VerdictBox judged={judged} verdict={verdict!} last={last} definition={definition} readings={draft.readings} trends={readingTrends(definition, facts, draft.readings, today)} /> : null}
        {judged && draft.outcome === 'judged' ? <Button aria-pressed={draft.overrule?.to === 'fail'} onClick={() => change({ overrule: draft.overrule?.to === 'fail' ? null : { to: 'fail', reason: '' } })}>{draft.overrule?.to === 'fail' ? 'Take the computed verdict' : 'Mark it failed all the same'}</Button> : null}
        {judged && draft.outcome === 'judged' ? <OverruleFields judged={judged} overrule={draft.overrule} onChange={(overrule) => change({ overrule })} /> : null}
        <TextField label="Notes" value={draft.notes} onChange={(notes) => change({ notes })} />
        <Button kind="do" size="big" fill type="submit" busy={keeping}>{correcting ? 'Keep the correction' : 'Keep check'}</Button>
      </Form>)}
    </section>
  );
}

/** What stands before the step: cautions first, then what must be so, how it is done, and what must complain. */
function Before({ definition }: { definition: CheckDefinition }) {
  return (<>
    {definition.cautions.length > 0 ? <CautionBox><ul>{definition.cautions.map((one) => <li key={one}>{one}</li>)}</ul></CautionBox> : null}
    {definition.preconditions.length > 0 ? <p className="note">Before it starts: {definition.preconditions.join('; ')}</p> : null}
    <details open><summary>How it is done</summary><ol>{definition.procedure.map((step) => <li key={step}>{step}</li>)}</ol></details>
{definition.expectedResponses.length > 0 ? <p className="small">Must complain: {definition.expectedResponses.map((one) => `${one.what} at the ${one.where}, within ${secondsWords(one.withinS)}`).join('; ')}. Its absence is a deficiency.</p> : null}
  </>);
}

/** When it was tripped: the moment that the station's list is held against, and that the hold must have covered. */
function Tripped({ definition, draft, timeZone, onChange }: { definition: CheckDefinition; draft: CheckDraft; timeZone: string; onChange: (part: Partial<CheckDraft>) => void }) {
  const verb = definition.activation ? 'Tripped' : 'Begun';
  return (
    <div className="row">
      <Button onClick={() => onChange({ trippedAt: new Date().toISOString() })}>{verb} now</Button>
      {draft.trippedAt ? <span>{verb} {timeWords(draft.trippedAt, timeZone)} by this phone’s clock <Button size="small" kind="bare" onClick={() => onChange({ trippedAt: null })}>Not so</Button></span> : <span className="quiet small">Without it, the moment of keeping counts.</span>}
    </div>
  );
}

function factsWith({ view }: QueuedView, toDo: CheckToDo, instrumentId: string): CheckFacts {
  const instrument = view.instruments.find((one) => one.id === instrumentId);
  return { ...view.checkFacts[toDo.subjectId], ...(instrument ? { instrument: { name: `${instrument.kind} ${instrument.serial}`, ...(instrument.calibratedTo ? { calibratedUntil: instrument.calibratedTo } : {}) } } : {}) };
}

function faultsOf(definition: CheckDefinition, draft: CheckDraft, facts: CheckFacts, today: string, isCorrection: boolean): Fault[] {
  const wrong: Fault[] = draft.outcome === 'not-done' ? [] : readingProblems(definition, draft.readings, today, facts).map((fault) => ({ path: `readings.${fault.reading}`, message: fault.words }));
  if (draft.outcome === 'not-done' && draft.reason.trim().length < 3) wrong.push({ path: 'reason', message: 'must say why it was not tried' });
  if (draft.outcome === 'excused' && draft.excuse === '') wrong.push({ path: 'excuseCode', message: 'choose the known reason' });
  if (isCorrection && draft.why.trim().length < 10) wrong.push({ path: 'why', message: 'must say what was wrong, in at least 10 characters' });
  return wrong;
}

function bodyOf(toDo: CheckToDo, draft: CheckDraft, definition: CheckDefinition, phoneVerdict: string | null) {
  const now = new Date().toISOString();
  const isTried = draft.outcome !== 'not-done';
  return {
    id: draft.id, checkKind: toDo.checkKind, subjectKind: toDo.subjectKind, subjectId: toDo.subjectId, readings: isTried ? { ...draft.readings } : {}, outcome: draft.outcome,
    ...(isTried && draft.instrumentId ? { instrumentId: draft.instrumentId } : {}), ...(draft.outcome === 'judged' && draft.overrule ? { overrule: draft.overrule } : {}), ...(draft.outcome === 'excused' ? { excuseCode: draft.excuse } : {}),
    ...(isTried && Object.values(draft.responses).some((one) => one !== null) ? { responses: definition.expectedResponses.map((_, at) => draft.responses[at] ?? null) } : {}),
    ...(draft.reason.trim() ? { reason: draft.reason.trim() } : {}), ...(draft.notes.trim() ? { notes: draft.notes.trim() } : {}), phoneVerdict, deviceClockAt: isTried ? draft.trippedAt ?? now : now, deviceClockNow: now,
  };
}

/** A correction begins with what was entered. */
function startOf(check: CheckRow): Partial<CheckDraft> {
  return {
    id: newId(), outcome: check.verdict === 'excused' ? 'excused' : check.verdict === 'not-done' && check.computedVerdict === null ? 'not-done' : 'judged', excuse: check.excuseCode ?? '', instrumentId: check.readings.find((one) => one.instrumentId)?.instrumentId ?? '',
    readings: Object.fromEntries(check.readings.map((reading) => [reading.key, reading.value])), reason: check.computedVerdict === null ? check.reason : '', notes: '',
  };
}
