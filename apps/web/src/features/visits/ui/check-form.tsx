import { judge, readingProblems, type ReadingDefinition, type ReadingValue } from '@bellround/acceptance';
import { routes, type CheckToDo, type VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { enqueue } from '../../../shared/device-outbox.js';
import { dayWords, numberWords, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, CautionBox, Choices, DateField, Form, NumberField, Select, TextField, VerdictMark, useToast } from '../../../shared/ui/index.js';

type Outcome = 'judged' | 'excused' | 'not-done';

/** One check on one subject: cautions, steps, readings judged at once by the same engine that judges in the house. */
export function CheckForm({ view, toDo, onDone }: { view: VisitView; toDo: CheckToDo; onDone: () => void }) {
  const definition = view.definitions.find((one) => one.key === toDo.checkKind);
  const [id] = useState(() => newId());
  const [readings, setReadings] = useState<Record<string, ReadingValue>>({});
  const [outcome, setOutcome] = useState<Outcome>('judged');
  const [excuse, setExcuse] = useState('');
  const [reason, setReason] = useState('');
  const [notes, setNotes] = useState('');
  const [failing, setFailing] = useState(false);
  const [faults, setFaults] = useState<{ path: string; message: string }[]>([]);
  const [keeping, setKeeping] = useState(false);
  const [problem, setProblem] = useState<unknown>(null);
  const toast = useToast();
  if (!definition) return <p className="note">This check is not in the catalogue of this build; load the app again.</p>;
  const today = todayIn(view.site.timeZone);
  const facts = view.checkFacts[toDo.subjectId] ?? {};
  const entered = Object.values(readings).some((value) => value !== null && value !== '');
  const judged = outcome === 'judged' && entered ? judge(definition, readings, facts, today) : null;
  const last = view.lastValues.find((one) => one.subjectId === toDo.subjectId && one.checkKind === toDo.checkKind);
  const verdict = failing && judged && judged.verdict !== 'fail' ? 'fail' : judged?.verdict ?? null;
  const keep = async () => {
    const wrong: { path: string; message: string }[] = outcome === 'not-done' ? [] : readingProblems(definition, readings, today, facts).map((fault) => ({ path: `readings.${fault.reading}`, message: fault.words }));
    if (outcome === 'not-done' && reason.trim().length < 3) wrong.push({ path: 'reason', message: 'must say why it was not tried' });
    if (outcome === 'excused' && excuse === '') wrong.push({ path: 'excuseCode', message: 'choose the known reason' });
    setFaults(wrong);
    if (wrong.length > 0) return;
    setKeeping(true);
    const now = new Date().toISOString();
    const words = outcome === 'not-done' ? 'not done' : outcome === 'excused' ? 'excused' : verdict ?? 'recorded';
    try {
      await enqueue(routes.recordCheck, {
        visitId: view.visit.id, id, checkKind: toDo.checkKind, subjectKind: toDo.subjectKind, subjectId: toDo.subjectId, readings: outcome === 'not-done' ? {} : readings, outcome,
        ...(failing && judged && judged.verdict !== 'fail' ? { overrule: { to: 'fail' as const, reason } } : {}), ...(outcome === 'excused' ? { excuseCode: excuse } : {}), ...(reason.trim() ? { reason: reason.trim() } : {}), ...(notes.trim() ? { notes: notes.trim() } : {}),
        phoneVerdict: judged?.verdict ?? null, deviceClockAt: now, deviceClockNow: now,
      }, { title: `${toDo.subjectName}: ${definition.title}: ${words}`, lane: view.visit.id });
      toast(`Kept: ${toDo.subjectName}, ${words}`);
      onDone();
    } catch (error) {
      setProblem(error);
      setKeeping(false);
    }
  };
  return (
    <section className="section" aria-label={`${definition.title}: ${toDo.subjectName}`}>
      <div className="section-head"><h2>{toDo.subjectName}: {definition.title}</h2><Button size="small" onClick={onDone}>Back to the list</Button></div>
      {definition.cautions.length > 0 ? <CautionBox><ul>{definition.cautions.map((one) => <li key={one}>{one}</li>)}</ul></CautionBox> : null}
      {definition.preconditions.length > 0 ? <p className="note">Before it starts: {definition.preconditions.join('; ')}</p> : null}
      <details><summary>How it is done</summary><ol>{definition.procedure.map((step) => <li key={step}>{step}</li>)}</ol></details>
      {definition.expectedResponses.length > 0 ? <p className="small">Should complain: {definition.expectedResponses.map((one) => `${one.what} at the ${one.where}, within ${numberWords(one.withinS, 0)} s`).join('; ')}. Its absence is a failure.</p> : null}
      <Form problem={problem} faults={faults} onSubmit={() => void keep()}>
        <Choices<Outcome> label="What came of it" value={outcome} onChange={setOutcome} options={[{ value: 'judged', label: 'Tried: readings below' }, { value: 'excused', label: 'Failed for a known reason' }, { value: 'not-done', label: 'Not tried, because' }]} />
        {outcome === 'excused' ? <Select label="Known reason" name="excuseCode" value={excuse} onChange={setExcuse} empty="choose" options={definition.excusable.map((one) => ({ value: one.code, label: `${one.words} (owed again ${one.owedAgain === 'this-visit' ? 'in this visit' : 'later'})` }))} /> : null}
        {outcome === 'excused' && definition.excusable.length === 0 ? <p className="note">The catalogue knows no reason that excuses this check.</p> : null}
        {outcome !== 'judged' ? <TextField label={outcome === 'not-done' ? 'Why it was not tried' : 'What happened'} name="reason" value={reason} onChange={setReason} /> : null}
        {outcome === 'not-done' ? null : definition.readings.map((reading) => <ReadingInput key={reading.key} reading={reading} value={readings[reading.key] ?? null} onChange={(value) => setReadings((before) => ({ ...before, [reading.key]: value }))} />)}
        {judged ? (
          <div className="note" role="status">
            <VerdictMark verdict={verdict!} /><p>{judged.reason}</p>
            {judged.margin ? <p className="small">Margin {numberWords(judged.margin.value)} {judged.margin.unit}{judged.limitSource ? `; limit: ${judged.limitSource}` : ''}</p> : null}
            {judged.notes.map((one) => <p key={one} className="small">{one}</p>)}
            {last ? <p className="small quiet">Last time, {dayWords(last.performedOn)}: {last.verdict}; {Object.entries(last.readings).map(([key, value]) => `${key} ${String(value)}`).join(', ')}</p> : null}
          </div>) : null}
        {judged && judged.verdict !== 'fail' ? <Button aria-pressed={failing} onClick={() => setFailing(!failing)}>{failing ? 'Take the computed verdict' : 'Mark it failed all the same'}</Button> : null}
        {failing ? <TextField label="Why it fails all the same" name="overrule.reason" value={reason} onChange={setReason} /> : null}
        <TextField label="Notes" value={notes} onChange={setNotes} />
        <Button kind="do" size="big" fill type="submit" busy={keeping}>Keep check</Button>
      </Form>
    </section>
  );
}

function ReadingInput({ reading, value, onChange }: { reading: ReadingDefinition; value: ReadingValue; onChange: (value: ReadingValue) => void }) {
  const field = { label: reading.label, name: `readings.${reading.key}`, required: reading.required };
  switch (reading.kind) {
    case 'number': return <NumberField {...field} unit={reading.unit} value={typeof value === 'number' ? value : null} onChange={onChange} {...(reading.min === undefined ? {} : { min: reading.min })} {...(reading.max === undefined ? {} : { max: reading.max })} {...(reading.step === undefined ? {} : { step: reading.step })} />;
    case 'yes-no': return <Choices<'yes' | 'no'> {...field} value={value === true ? 'yes' : value === false ? 'no' : null} onChange={(next) => onChange(next === 'yes')} options={[{ value: 'yes', label: 'Yes' }, { value: 'no', label: 'No' }]} />;
    case 'choice': return <Select {...field} value={typeof value === 'string' ? value : ''} onChange={(next) => onChange(next || null)} empty="choose" options={(reading.choices ?? []).map((choice) => ({ value: choice.code, label: choice.words }))} />;
    case 'date': return <DateField {...field} value={typeof value === 'string' ? value : ''} onChange={(next) => onChange(next || null)} />;
    case 'text': return <TextField {...field} value={typeof value === 'string' ? value : ''} onChange={(next) => onChange(next || null)} />;
  }
}
