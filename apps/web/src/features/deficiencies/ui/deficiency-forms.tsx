import type { Severity } from '@bellround/contracts';
import { useState } from 'react';
import { plusDays, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMe } from '../../../shared/session.js';
import { Button, DateField, Form, Select, TextArea, TextField } from '../../../shared/ui/index.js';
import { useAccept, usePartsNeeded, useRegrade, useTold } from '../api/deficiencies.js';
import { phrase } from '../../../shared/language/index.js';

export function AcceptForm({ deficiencyId, onDone }: { deficiencyId: string; onDone: () => void }) {
  const me = useMe();
  const today = todayIn(me.company.timeZone);
  const [id] = useState(() => newId());
  const [acceptedBy, setBy] = useState(me.name);
  const [words, setWords] = useState('');
  const [until, setUntil] = useState(plusDays(today, 90));
  const accept = useAccept(onDone);
  return (
    <Form problem={accept.error} onSubmit={() => accept.mutate({ deficiencyId, id, acceptedBy, words, until })}>
      <TextField label={phrase('deficiencies.accepted-by')} name="acceptedBy" value={acceptedBy} onChange={setBy} required /><TextArea label={phrase('deficiencies.what-is-accepted-and-why')} name="words" value={words} onChange={setWords} /><DateField label={phrase('deficiencies.until')} name="until" value={until} min={today} onChange={setUntil} />
      <Button kind="do" type="submit" busy={accept.isPending}>{phrase('deficiencies.accept-deficiency')}</Button>
    </Form>
  );
}

export function ToldForm({ deficiencyId, onDone }: { deficiencyId: string; onDone: () => void }) {
  const [id] = useState(() => newId());
  const [to, setTo] = useState('');
  const [words, setWords] = useState('');
  const told = useTold(onDone);
  return (
    <Form problem={told.error} onSubmit={() => told.mutate({ deficiencyId, id, to, how: 'in-person', words })}>
      <TextField label={phrase('deficiencies.who-was-told')} name="to" value={to} onChange={setTo} required /><TextArea label={phrase('deficiencies.what-was-said')} name="words" value={words} onChange={setWords} />
      <Button kind="do" type="submit" busy={told.isPending}>{phrase('deficiencies.record-it')}</Button>
    </Form>
  );
}

/** Plain effect beside the formal word: what each severity means for the site. */
const EFFECT: Record<Severity, string> = { impairment: phrase('deficiencies.an-alarm-may-not-be-raised-at'), critical: phrase('deficiencies.a-part-that-an-alarm-needs-is'), 'non-critical': phrase('deficiencies.it-weakens-an-alarm-still-gets-through'), observation: phrase('deficiencies.to-be-watched-or-a-record-is') };

export function RegradeForm({ deficiencyId, now, onDone }: { deficiencyId: string; now: Severity; onDone: () => void }) {
  const [id] = useState(() => newId());
  const others = (Object.keys(EFFECT) as Severity[]).filter((one) => one !== now);
  const [severity, setSeverity] = useState<Severity>(others[0]!);
  const [reason, setReason] = useState('');
  const regrade = useRegrade(onDone);
  return (
    <Form problem={regrade.error} onSubmit={() => regrade.mutate({ deficiencyId, id, severity, reason })}>
      <Select label={phrase('deficiencies.severity-instead-of-now', { now })} name="severity" value={severity} onChange={(next) => setSeverity(next as Severity)} options={others.map((one) => ({ value: one, label: `${one}: ${EFFECT[one]}` }))} />
      <TextArea label={phrase('deficiencies.why')} name="reason" value={reason} onChange={setReason} />
      <p className="small">{phrase('deficiencies.the-due-day-follows-the-new-severity')}</p>
      <Button kind="do" type="submit" busy={regrade.isPending}>{phrase('deficiencies.give-it-this-severity')}</Button>
    </Form>
  );
}

const PART_STATES = [['needed', 'needed'], ['ordered', 'ordered'], ['in-van', phrase('deficiencies.in-the-van')], ['fitted', 'fitted']] as const;

export function PartsForm({ deficiencyId, onDone }: { deficiencyId: string; onDone: () => void }) {
  const [id] = useState(() => newId());
  const [words, setWords] = useState('');
  const [state, setState] = useState<(typeof PART_STATES)[number][0]>('needed');
  const parts = usePartsNeeded(onDone);
  return (
    <Form problem={parts.error} onSubmit={() => parts.mutate({ deficiencyId, id, words, state })}>
      <TextField label={phrase('deficiencies.part')} name="words" value={words} onChange={setWords} required placeholder={phrase('deficiencies.12-v-7-ah-battery')} /><Select label={phrase('deficiencies.where-it-is')} name="state" value={state} onChange={(next) => setState(next as typeof state)} options={PART_STATES.map(([value, label]) => ({ value, label }))} />
      <p className="small">{phrase('deficiencies.it-stands-on-the-list-of-whoever')}</p>
      <Button kind="do" type="submit" busy={parts.isPending}>{phrase('deficiencies.record-the-part')}</Button>
    </Form>
  );
}
