import { judge, readingProblems, readingTrends, type CheckDefinition, type CheckFacts } from '@bellround/acceptance';
import { routes, type CheckRow, type CheckToDo } from '@bellround/contracts';
import { useState } from 'react';
import { enqueue } from '../../../shared/device-outbox.js';
import { momentWords, secondsWords, timeWords, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useNow } from '../../../shared/use-now.js';
import { Button, CautionBox, Choices, Form, Mark, PictureButton, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { useOwner } from '../api/visits.js';
import { type CheckDraft, type Outcome, useCheckDraft } from '../check-draft.js';
import { checkKey, type QueuedView } from '../queued-view.js';
import { InstrumentField } from './instrument-field.js';
import { coverOf, LiveGuard } from './live-guard.js';
import { OverruleFields, overruleFault } from './overrule-fields.js';
import { ReadingInput } from './reading-input.js';
import { responseFaults, ResponseFields } from './response-fields.js';
import { VerdictBox } from './verdict-box.js';
import { phrase } from '../../../shared/language/index.js';
import { VERDICT } from '../../../shared/words.js';
import { RESPONSE_AT } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

type Fault = { path: string; message: string };

interface FormProps { readonly queued: QueuedView; readonly toDo: CheckToDo; readonly correcting?: CheckRow; readonly onDone: () => void }

/** One check on one subject: cautions, steps, readings judged at once by the same engine that judges in the house. */
export function CheckForm(props: FormProps) {
  const definition = props.queued.view.definitions.find((one) => one.key === props.toDo.checkKind);
  return definition ? <KnownCheck {...props} definition={definition} /> : <p className="note">{phrase('visits.this-check-is-not-in-the-catalogue')}</p>;
}

function KnownCheck({ queued, toDo, correcting, onDone, definition }: FormProps & { definition: CheckDefinition }) {
  const { view } = queued;
  const draftState = useCheckDraft(useOwner(), view.visit.id, correcting ? phrase('visits.correct-id', { id: correcting.id }) : checkKey(toDo), correcting ? startOf(correcting) : {});
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
    const words = draft.outcome === 'not-done' ? phrase('visits.not-done') : draft.outcome === 'excused' ? phrase('visits.excused') : verdict ? VERDICT[verdict] : phrase('visits.recorded');
    const body = bodyOf(toDo, draft, definition, judged && (judged.applicable ? judged.verdict : 'not-applicable'));
    try {
      if (correcting) await enqueue(routes.correctCheck, { ...body, checkId: correcting.id, why: draft.why.trim() }, { title: phrase('visits.correction-of-subjectname-title-words', { subjectName: toDo.subjectName, title: said(definition.title), words }), lane: view.visit.id });
      else await enqueue(routes.recordCheck, { ...body, visitId: view.visit.id }, { title: `${toDo.subjectName}: ${said(definition.title)}: ${words}`, lane: view.visit.id });
      for (const photo of correcting ? [] : draft.photos) await enqueue(routes.photoOfCheck, { checkId: body.id, id: photo.id, attachmentId: photo.attachmentId, words: '', place: photo.place, deviceClockAt: body.deviceClockAt, deviceClockNow: body.deviceClockNow }, { title: phrase('visits.picture-of-subjectname', { subjectName: toDo.subjectName }), lane: view.visit.id });
      drop();
      toast(phrase('visits.kept-on-this-phone-and-on-its', { subjectName: toDo.subjectName, words }));
      onDone();
    } catch (error) {
      setProblem(error);
      setKeeping(false);
    }
  };
  return (
    <section className="section" aria-label={`${said(definition.title)}: ${toDo.subjectName}`}>
      <div className="section-head"><h2>{correcting ? phrase('visits.correct') : ''}{toDo.subjectName}: {said(definition.title)}</h2><Button size="small" onClick={onDone}>{phrase('visits.back-to-the-list')}</Button></div>
      {isLive && cover && !cover.isCovered ? <LiveGuard cover={cover} timeZone={view.site.timeZone} onDoneBefore={(trippedAt) => change({ trippedAt })} onNotTried={() => change({ outcome: 'not-done', reason: draft.reason || phrase('visits.no-hold-covers-it-a-signal-would') })} /> : null}
      <Before definition={definition} />
      {found ? <p className="note">{phrase('visits.begun-here-found-and-not-recorded-it', { found: momentWords(found, view.site.timeZone) })} <Button size="small" kind="bare" onClick={() => { drop(); onDone(); }}>{phrase('visits.throw-the-draft-away')}</Button></p> : null}
      {isKept ? null : <p className="note"><strong>{phrase('visits.this-phone-cannot-keep-what-you-enter')}</strong> {phrase('visits.storage-full-or-switched-off-do-not')}</p>}
      {isLive ? null : (
      <Form problem={problem} faults={faults} onSubmit={() => void keep()}>
        {cover?.isCovered && cover.hold?.openingWay === 'waiting' ? <Mark shape="hatched" tone="unsure">{phrase('visits.its-hold-reference-stationreference-is-on-this', { stationReference: cover.hold.stationReference })}</Mark> : null}
        {correcting ? <TextField label={phrase('visits.what-was-wrong-with-the-entry')} name="why" value={draft.why} onChange={(why) => change({ why })} required help={phrase('visits.both-entries-stay-visible-only-the-correction')} /> : null}
        <Choices<Outcome> label={phrase('visits.what-came-of-it')} value={draft.outcome} onChange={(outcome) => change({ outcome })} options={[{ value: 'judged', label: phrase('visits.tried-readings-below') }, { value: 'excused', label: phrase('visits.failed-for-a-known-reason') }, { value: 'not-done', label: phrase('visits.not-tried-because') }]} />
        {canSignal ? <Tripped definition={definition} draft={draft} timeZone={view.site.timeZone} onChange={change} /> : null}
        {draft.outcome === 'excused' ? <Select label={phrase('visits.known-reason')} name="excuseCode" value={draft.excuse} onChange={(excuse) => change({ excuse })} empty={phrase('visits.choose')} options={definition.excusable.map((one) => ({ value: one.code, label: phrase('visits.words-owed-again-value', { words: said(one.words), value: one.owedAgain === 'this-visit' ? phrase('visits.in-this-visit') : phrase('visits.later') }) }))} /> : null}
        {draft.outcome === 'excused' && definition.excusable.length === 0 ? <p className="note">{phrase('visits.the-catalogue-knows-no-reason-that-excuses')}</p> : null}
        {draft.outcome !== 'judged' ? <TextField label={draft.outcome === 'not-done' ? phrase('visits.why-it-was-not-tried') : phrase('visits.what-happened')} name="reason" value={draft.reason} onChange={(reason) => change({ reason })} /> : null}
        {draft.outcome !== 'not-done' && definition.readings.some((reading) => reading.kind === 'number') ? <InstrumentField view={view} value={draft.instrumentId} today={today} onChange={(instrumentId) => change({ instrumentId })} /> : null}
        {draft.outcome === 'not-done' ? null : definition.readings.map((reading) => <ReadingInput key={reading.key} reading={reading} value={draft.readings[reading.key] ?? null} onChange={(value) => change({ readings: { ...draft.readings, [reading.key]: value } })} />)}
        {draft.outcome !== 'not-done' && !correcting ? <ResponseFields definition={definition} answers={draft.responses} onChange={(responses) => change({ responses })} /> : null}
        {judged && draft.outcome === 'judged' ? <VerdictBox judged={judged} verdict={verdict!} last={last} definition={definition} readings={draft.readings} trends={readingTrends(definition, facts, draft.readings, today)} /> : null}
        {judged && draft.outcome === 'judged' ? <Button aria-pressed={draft.overrule?.to === 'fail'} onClick={() => change({ overrule: draft.overrule?.to === 'fail' ? null : { to: 'fail', reason: '' } })}>{draft.overrule?.to === 'fail' ? phrase('visits.take-the-computed-verdict') : phrase('visits.mark-it-failed-all-the-same')}</Button> : null}
        {judged && draft.outcome === 'judged' ? <OverruleFields judged={judged} overrule={draft.overrule} onChange={(overrule) => change({ overrule })} /> : null}
        {correcting ? null : <CheckPhotos visitId={view.visit.id} draft={draft} onChange={change} />}
        <TextField label={phrase('visits.notes')} value={draft.notes} onChange={(notes) => change({ notes })} />
        <Button kind="do" size="big" fill type="submit" busy={keeping}>{correcting ? phrase('visits.keep-the-correction') : phrase('visits.keep-check')}</Button>
      </Form>)}
    </section>
  );
}

/** Pictures of what is checked. Each is safe on this phone as soon as it is taken; one that was not finished is named. */
function CheckPhotos({ visitId, draft, onChange }: { visitId: string; draft: CheckDraft; onChange: (part: Partial<CheckDraft>) => void }) {
  // Found here as the screen opened: one that is being made ready now is no loss.
  const [lost] = useState(draft.unfinished);
  return (
    <div className="stack">
      <PictureButton onStart={(unfinished) => onChange({ unfinished })} onPicture={async ({ contentBase64, place }, name) => {
        const attachmentId = newId();
        await enqueue(routes.uploadAttachment, { id: attachmentId, contentBase64 }, { title: phrase('visits.photo-name', { name }), lane: visitId });
        onChange({ photos: [...draft.photos, { id: newId(), attachmentId, name, place }], unfinished: null });
      }}>{phrase('visits.take-a-picture')}</PictureButton>
      {draft.photos.length > 0 ? <p className="small" role="status">{phrase('visits.n-pictures-of-this-check', { n: draft.photos.length, names: draft.photos.map((photo) => photo.name).join(', ') })}</p> : null}
      {lost !== null && draft.unfinished === lost ? <p className="note" role="status">{phrase('visits.the-photo-unfinished-was-not-finished-when', { unfinished: lost })}</p> : null}
    </div>
  );
}

/** What stands before the step: cautions first, then what must be so, how it is done, and what must complain. */
function Before({ definition }: { definition: CheckDefinition }) {
  return (<>
    {definition.cautions.length > 0 ? <CautionBox><ul>{definition.cautions.map((one) => <li key={one}>{said(one)}</li>)}</ul></CautionBox> : null}
    {definition.preconditions.length > 0 ? <p className="note">{phrase('visits.before-it-starts-join', { join: definition.preconditions.map(said).join('; ') })}</p> : null}
    <details open><summary>{phrase('visits.how-it-is-done')}</summary><ol>{definition.procedure.map((step) => <li key={step}>{said(step)}</li>)}</ol></details>
{definition.expectedResponses.length > 0 ? <p className="small">{phrase('visits.must-complain-join-its-absence-is-a', { join: definition.expectedResponses.map((one) => phrase('visits.what-at-the-where-within-withins', { what: said(one.what), where: RESPONSE_AT[one.where], withinS: secondsWords(one.withinS) })).join('; ') })}</p> : null}
  </>);
}

/** When it was tripped: the moment that the station's list is held against, and that the hold must have covered. */
function Tripped({ definition, draft, timeZone, onChange }: { definition: CheckDefinition; draft: CheckDraft; timeZone: string; onChange: (part: Partial<CheckDraft>) => void }) {
  const verb = definition.activation ? phrase('visits.tripped') : phrase('visits.begun');
  return (
    <div className="row">
      <Button onClick={() => onChange({ trippedAt: new Date().toISOString() })}>{phrase('visits.verb-now', { verb })}</Button>
      {draft.trippedAt ? <span>{phrase('visits.verb-trippedat-by-this-phones-clock', { verb, trippedAt: timeWords(draft.trippedAt, timeZone) })} <Button size="small" kind="bare" onClick={() => onChange({ trippedAt: null })}>{phrase('visits.not-so')}</Button></span> : <span className="quiet small">{phrase('visits.without-it-the-moment-of-keeping-counts')}</span>}
    </div>
  );
}

function factsWith({ view }: QueuedView, toDo: CheckToDo, instrumentId: string): CheckFacts {
  const instrument = view.instruments.find((one) => one.id === instrumentId);
  return { ...view.checkFacts[toDo.subjectId], ...(instrument ? { instrument: { name: `${instrument.kind} ${instrument.serial}`, ...(instrument.calibratedTo ? { calibratedUntil: instrument.calibratedTo } : {}) } } : {}) };
}

function faultsOf(definition: CheckDefinition, draft: CheckDraft, facts: CheckFacts, today: string, isCorrection: boolean): Fault[] {
  const wrong: Fault[] = draft.outcome === 'not-done' ? [] : readingProblems(definition, draft.readings, today, facts).map((fault) => ({ path: `readings.${fault.reading}`, message: said(fault.words) }));
  if (draft.outcome === 'not-done' && draft.reason.trim().length < 3) wrong.push({ path: 'reason', message: phrase('visits.must-say-why-it-was-not-tried') });
  if (draft.outcome === 'excused' && draft.excuse === '') wrong.push({ path: 'excuseCode', message: phrase('visits.choose-the-known-reason') });
  if (isCorrection && draft.why.trim().length < 10) wrong.push({ path: 'why', message: phrase('visits.must-say-what-was-wrong-in-at') });
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
