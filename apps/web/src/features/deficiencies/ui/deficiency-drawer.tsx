import { useState } from 'react';
import { Link } from 'react-router';
import { dayWords, momentWords, plusDays, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, DateField, Drawer, Facts, Form, Loaded, Mark, ProblemBox, Section, TextArea, TextField, useToast } from '../../../shared/ui/index.js';
import { useAccept, useDeficiency, usePlanRetest, useTold } from '../api/deficiencies.js';

/** One deficiency with its whole history, and what may be done about it. */
export function DeficiencyDrawer({ deficiencyId, onClose }: { deficiencyId: string; onClose: () => void }) {
  const zone = useMe().company.timeZone;
  const [mayOwn, mayPlan, mayWork] = [useMay('own'), useMay('plan'), useMay('work')];
  const [form, setForm] = useState<'none' | 'accept' | 'told'>('none');
  const [retestId] = useState(() => newId());
  const toast = useToast();
  const shown = useDeficiency(deficiencyId);
  const retest = usePlanRetest();
  return (
    <Drawer title="Deficiency" onClose={onClose}>
      <Loaded query={shown} what="the deficiency">{({ deficiency, facts, dueRule, visits }) => (<>
        <p><strong>{deficiency.title}</strong></p>
        <Facts of={[['Site', <Link key="site" to={`/sites/${deficiency.siteId}`}>{deficiency.siteName}</Link>], ['On', `${deficiency.subjectName}, ${deficiency.systemName}`], ['Severity', deficiency.severity], ['Due', `${dayWords(deficiency.dueOn)}: ${dueRule}`], ['State', deficiency.state === 'accepted' && deficiency.acceptedUntil ? `accepted until ${dayWords(deficiency.acceptedUntil)}` : deficiency.state]]} />
        {visits.length > 0 ? <ul>{visits.map((visit) => <li key={visit.id}><Link to={`/visits/${visit.id}`}>{visit.title}</Link>: {visit.state}{visit.day ? `, ${dayWords(visit.day)}` : ''}</li>)}</ul> : null}
        {deficiency.state === 'open' ? <div className="row">
          {mayPlan && !deficiency.visitId ? <Button kind="do" busy={retest.isPending} onClick={() => retest.mutate({ id: retestId, deficiencyIds: [deficiency.id] }, { onSuccess: () => toast('A retest visit waits to be planned') })}>Make a retest visit</Button> : null}
          {mayWork ? <Button onClick={() => setForm('told')}>Record who was told</Button> : null}
          {mayOwn ? <Button onClick={() => setForm('accept')}>Accept it</Button> : null}
        </div> : null}
        {retest.error ? <ProblemBox problem={retest.error} /> : null}
        {form === 'accept' ? <AcceptForm deficiencyId={deficiency.id} onDone={() => setForm('none')} /> : null}
        {form === 'told' ? <ToldForm deficiencyId={deficiency.id} onDone={() => setForm('none')} /> : null}
        <Section title="History"><ol>{facts.map((fact) => <li key={fact.id}><Mark shape={fact.kind === 'retest-passed' ? 'whole' : fact.kind === 'raised' || fact.kind === 'reopened' ? 'fallen' : 'line'}>{fact.kind.replaceAll('-', ' ')}</Mark> {momentWords(fact.at, zone)}{fact.byName ? `, ${fact.byName}` : ''}: {fact.words}</li>)}</ol></Section>
      </>)}</Loaded>
    </Drawer>
  );
}

function AcceptForm({ deficiencyId, onDone }: { deficiencyId: string; onDone: () => void }) {
  const me = useMe();
  const today = todayIn(me.company.timeZone);
  const [id] = useState(() => newId());
  const [acceptedBy, setBy] = useState(me.name);
  const [words, setWords] = useState('');
  const [until, setUntil] = useState(plusDays(today, 90));
  const accept = useAccept(onDone);
  return (
    <Form problem={accept.error} onSubmit={() => accept.mutate({ deficiencyId, id, acceptedBy, words, until })}>
      <TextField label="Accepted by" name="acceptedBy" value={acceptedBy} onChange={setBy} required /><TextArea label="What is accepted, and why" name="words" value={words} onChange={setWords} /><DateField label="Until" name="until" value={until} min={today} onChange={setUntil} />
      <Button kind="do" type="submit" busy={accept.isPending}>Accept deficiency</Button>
    </Form>
  );
}

function ToldForm({ deficiencyId, onDone }: { deficiencyId: string; onDone: () => void }) {
  const [id] = useState(() => newId());
  const [to, setTo] = useState('');
  const [words, setWords] = useState('');
  const told = useTold(onDone);
  return (
    <Form problem={told.error} onSubmit={() => told.mutate({ deficiencyId, id, to, how: 'in-person', words })}>
      <TextField label="Who was told" name="to" value={to} onChange={setTo} required /><TextArea label="What was said" name="words" value={words} onChange={setWords} />
      <Button kind="do" type="submit" busy={told.isPending}>Record it</Button>
    </Form>
  );
}
