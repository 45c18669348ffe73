import { INTERIM_MOST_DAYS, type DeficiencyRow, type Severity } from '@bellround/contracts';
import { useState } from 'react';
import { momentWords, plusDays, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMe } from '../../../shared/session.js';
import { Button, CautionBox, CheckBox, DateField, Form, Loaded, NumberField, Select, TextArea, TextField, useToast } from '../../../shared/ui/index.js';
import { useAccept, useInterim, useOthersOfSite, usePartsNeeded, usePlanRetest, useRegrade, useTold, useWhoMayGo } from '../api/deficiencies.js';
import { phrase } from '../../../shared/language/index.js';
import { SEVERITY } from '../../../shared/words.js';

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

const CAPACITIES = [['occupant', phrase('deficiencies.the-occupant')], ['owner', phrase('deficiencies.the-owner')], ['authority', phrase('deficiencies.the-authority')], ['insurer', phrase('deficiencies.the-insurer')], ['station', phrase('deficiencies.the-station')], ['other', phrase('deficiencies.somebody-else')]] as const;
const WAYS = [['in-person', phrase('deficiencies.in-person')], ['call', phrase('deficiencies.by-telephone')], ['message', phrase('deficiencies.by-message')], ['letter', phrase('deficiencies.by-letter')], ['email', phrase('deficiencies.by-e-mail')]] as const;

export function ToldForm({ deficiencyId, onDone }: { deficiencyId: string; onDone: () => void }) {
  const [id] = useState(() => newId());
  const [to, setTo] = useState('');
  const [capacity, setCapacity] = useState<(typeof CAPACITIES)[number][0]>('occupant');
  const [how, setHow] = useState<(typeof WAYS)[number][0]>('in-person');
  const [words, setWords] = useState('');
  const told = useTold(onDone);
  return (
    <Form problem={told.error} onSubmit={() => told.mutate({ deficiencyId, id, to, capacity, how, words })}>
      <TextField label={phrase('deficiencies.who-was-told')} name="to" value={to} onChange={setTo} required /><Select label={phrase('deficiencies.as-what')} name="capacity" value={capacity} onChange={(next) => setCapacity(next as typeof capacity)} options={CAPACITIES.map(([value, label]) => ({ value, label }))} />
      <Select label={phrase('deficiencies.how')} name="how" value={how} onChange={(next) => setHow(next as typeof how)} options={WAYS.map(([value, label]) => ({ value, label }))} /><TextArea label={phrase('deficiencies.what-was-said')} name="words" value={words} onChange={setWords} />
      <Button kind="do" type="submit" busy={told.isPending}>{phrase('deficiencies.record-it')}</Button>
    </Form>
  );
}

/** What protects the site until it is mended. Its caution stands before it. */
export function InterimForm({ deficiencyId, onDone }: { deficiencyId: string; onDone: () => void }) {
  const me = useMe();
  const [id] = useState(() => newId());
  const [words, setWords] = useState('');
  const [by, setBy] = useState('');
  const [hours, setHours] = useState<number | null>(4);
  // Fixed once: the same id sent again must say the same.
  const [from] = useState(() => Date.now());
  const untilAt = hours === null ? null : new Date(from + hours * 3_600_000).toISOString();
  const interim = useInterim(onDone);
  return (
    <Form problem={interim.error} onSubmit={() => { if (untilAt) interim.mutate({ deficiencyId, id, words, by, untilAt }); }}>
      <CautionBox><p>{phrase('deficiencies.a-measure-meanwhile-mends-nothing')}</p></CautionBox>
      <TextArea label={phrase('deficiencies.what-protects-the-site-meanwhile')} name="words" value={words} onChange={setWords} /><TextField label={phrase('deficiencies.who-sees-to-it')} name="by" value={by} onChange={setBy} required />
      <NumberField label={phrase('deficiencies.for-how-long')} name="untilAt" unit="h" min={1} max={INTERIM_MOST_DAYS * 24} step={1} value={hours} onChange={setHours} help={untilAt ? phrase('deficiencies.until-moment-then-everybody-is-told', { moment: momentWords(untilAt, me.company.timeZone) }) : undefined} />
      <Button kind="do" type="submit" busy={interim.isPending} disabled={untilAt === null}>{phrase('deficiencies.record-the-measure')}</Button>
    </Form>
  );
}

/** One retest visit for this one and, where ticked, others of the same site; given to somebody on a day, or left to be planned. */
export function RetestForm({ deficiency, onDone }: { deficiency: DeficiencyRow; onDone: () => void }) {
  const today = todayIn(useMe().company.timeZone);
  const [id] = useState(() => newId());
  const [also, setAlso] = useState<readonly string[]>([]);
  const [day, setDay] = useState('');
  const [technicianId, setTechnician] = useState('');
  const others = useOthersOfSite(deficiency.siteId);
  const technicians = useWhoMayGo();
  const toast = useToast();
  const retest = usePlanRetest();
  const isGiven = day !== '' && technicianId !== '';
  return (
    <Form problem={retest.error} onSubmit={() => retest.mutate({ id, deficiencyIds: [deficiency.id, ...also], ...(isGiven ? { day, technicianId } : {}) }, { onSuccess: () => { toast(isGiven ? phrase('deficiencies.it-stands-on-that-round') : phrase('deficiencies.a-retest-visit-waits-to-be-planned')); onDone(); } })}>
      <Loaded query={others} what={phrase('deficiencies.the-deficiencies')}>{({ rows }) => {
        const waiting = rows.filter((row) => row.id !== deficiency.id && row.visitId === null);
        return waiting.length === 0 ? <p className="small quiet">{phrase('deficiencies.nothing-else-of-this-site-waits')}</p> : <fieldset className="field"><legend>{phrase('deficiencies.in-the-same-visit-too')}</legend>{waiting.map((row) => <CheckBox key={row.id} label={`${row.title} (${SEVERITY[row.severity]})`} checked={also.includes(row.id)} onChange={(on) => setAlso(on ? [...also, row.id] : also.filter((one) => one !== row.id))} />)}</fieldset>;
      }}</Loaded>
      <DateField label={phrase('deficiencies.day')} name="day" value={day} min={today} onChange={setDay} help={phrase('deficiencies.without-day-and-technician-it-waits')} />
      <Loaded query={technicians} what={phrase('deficiencies.the-technicians')}>{({ rows }) => <Select label={phrase('deficiencies.technician')} name="technicianId" value={technicianId} onChange={setTechnician} empty={phrase('deficiencies.nobody-yet')} options={rows.map((row) => ({ value: row.id, label: row.name }))} />}</Loaded>
      <Button kind="do" type="submit" busy={retest.isPending}>{isGiven ? phrase('deficiencies.put-it-on-that-round') : phrase('deficiencies.make-a-retest-visit')}</Button>
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
      <Select label={phrase('deficiencies.severity-instead-of-now', { now: SEVERITY[now] })} name="severity" value={severity} onChange={(next) => setSeverity(next as Severity)} options={others.map((one) => ({ value: one, label: `${SEVERITY[one]}: ${EFFECT[one]}` }))} />
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
