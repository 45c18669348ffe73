import type { PlanHead, WeekQuestion, WeekView } from '@bellround/contracts';
import { useEffect, useState } from 'react';
import { dayWords, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMe } from '../../../shared/session.js';
import { Button, Choices, DateField, Drawer, Form, NumberField, ProblemBox, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { useAskWeek, useKeepAnswer } from '../api/questions.js';
import { AnswerView } from './answer-view.js';
import { UrgentForm } from './urgent-form.js';
import { phrase } from '../../../shared/language/index.js';

const KINDS = [
  { value: 'away', label: phrase('planning.somebody-is-away') }, { value: 'travel', label: phrase('planning.storm-or-roadworks') }, { value: 'overrun', label: phrase('planning.a-visit-overruns') }, { value: 'closed', label: phrase('planning.key-lost-site-shut') }, { value: 'urgent', label: phrase('planning.urgent-visit') },
] as const;

interface AskProps { view: WeekView; plan: PlanHead; kind: string; onKind: (kind: string) => void; onClose: () => void; onDraft: (planId: string) => void }

/** The dispatcher's questions to the shown plan: each answer is looked at first, and kept as a draft only when wanted. */
export function AskDialog({ view, plan, kind, onKind, onClose, onDraft }: AskProps) {
  const known = KINDS.some((one) => one.value === kind) ? (kind as (typeof KINDS)[number]['value']) : 'away';
  return (
    <Drawer title={phrase('planning.ask-this-plan')} onClose={onClose}>
      <Choices label={phrase('planning.what-happened')} value={known} onChange={onKind} options={KINDS} />
      {known === 'urgent' ? <UrgentForm view={view} plan={plan} onDraft={onDraft} /> : <Question key={known} kind={known} view={view} plan={plan} onDraft={onDraft} />}
    </Drawer>
  );
}

function Question({ kind, view, plan, onDraft }: { kind: 'away' | 'travel' | 'overrun' | 'closed'; view: WeekView; plan: PlanHead; onDraft: (planId: string) => void }) {
  const [asked, setAsked] = useState<WeekQuestion | null>(null);
  const Fields = { away: AwayFields, travel: TravelFields, overrun: OverrunFields, closed: ClosedFields }[kind];
  return (
    <>
      <Fields view={view} onAsk={setAsked} />
      {asked ? <Answer key={JSON.stringify(asked)} view={view} plan={plan} question={asked} onDraft={onDraft} /> : null}
    </>
  );
}

/** Asks once it is shown; keeping computes the same again and makes a draft. */
export function Answer({ view, plan, question, onDraft }: { view: WeekView; plan: PlanHead; question: WeekQuestion; onDraft: (planId: string) => void }) {
  const ask = useAskWeek();
  const keep = useKeepAnswer();
  const toast = useToast();
  const [newPlanId] = useState(() => newId());
  const { mutate } = ask;
  useEffect(() => { mutate({ planId: plan.id, question }); }, []); // once: another question is another element
  if (ask.error) return <ProblemBox problem={ask.error} onRetry={() => ask.mutate({ planId: plan.id, question })} />;
  if (!ask.data) return <p role="status">{phrase('planning.working-out-the-repair-with-fewest-changes')}</p>;
  return (
    <>
      <AnswerView answer={ask.data} view={view} keepWords={phrase('planning.keep-this-as-a-draft')} busy={keep.isPending} onKeep={() => keep.mutate({ planId: plan.id, newPlanId, question }, { onSuccess: (head) => { toast(phrase('planning.kept-as-a-draft-publish-it-to')); onDraft(head.id); } })} />
      {keep.error ? <ProblemBox problem={keep.error} /> : null}
    </>
  );
}

interface FieldsProps { view: WeekView; onAsk: (question: WeekQuestion) => void }

function useDays(view: WeekView) {
  const today = todayIn(useMe().company.timeZone);
  const ahead = view.days.filter((day) => day >= today);
  return { today, days: ahead.length > 0 ? ahead : view.days, first: ahead[0] ?? view.days[0]! };
}

function AwayFields({ view, onAsk }: FieldsProps) {
  const { first } = useDays(view);
  const [technicianId, setTechnician] = useState('');
  const [fromDay, setFrom] = useState(first);
  const [toDay, setTo] = useState(first);
  const [reason, setReason] = useState('sick');
  return (
    <Form onSubmit={() => onAsk({ kind: 'away', technicianId, fromDay, toDay, reason })}>
      <Select label={phrase('planning.who')} value={technicianId} onChange={setTechnician} empty={phrase('planning.choose-a-technician')} options={view.technicians.map((one) => ({ value: one.id, label: one.name }))} required />
      <DateField label={phrase('planning.first-day-away')} value={fromDay} onChange={(day) => { setFrom(day); if (day > toDay) setTo(day); }} required />
      <DateField label={phrase('planning.last-day-away')} value={toDay} min={fromDay} onChange={setTo} required />
      <TextField label={phrase('planning.why')} value={reason} onChange={setReason} suggestions={[phrase('planning.sick'), phrase('planning.leave'), phrase('planning.training'), phrase('planning.van-broken')]} required />
      <Button type="submit" disabled={technicianId === '' || reason.trim().length < 2}>{phrase('planning.show-the-repair')}</Button>
    </Form>
  );
}

function TravelFields({ view, onAsk }: FieldsProps) {
  const { days, first } = useDays(view);
  const [day, setDay] = useState(first);
  const [percent, setPercent] = useState<number | null>(160);
  const [reason, setReason] = useState('storm');
  return (
    <Form onSubmit={() => onAsk({ kind: 'travel', day, percent: percent ?? 160, reason })}>
      <Select label={phrase('planning.day')} value={day} onChange={setDay} options={days.map((one) => ({ value: one, label: dayWords(one) }))} />
      <NumberField label={phrase('planning.travel-takes')} unit={phrase('planning.of-the-usual')} min={50} max={500} step={10} value={percent} onChange={setPercent} />
      <TextField label={phrase('planning.why')} value={reason} onChange={setReason} suggestions={[phrase('planning.storm'), phrase('planning.snow'), phrase('planning.bridge-closed'), phrase('planning.roadworks')]} required />
      <Button type="submit" disabled={percent === null || reason.trim().length < 2}>{phrase('planning.show-the-repair')}</Button>
    </Form>
  );
}

/** Visits on rounds of today or later, by round. */
function useStops(view: WeekView, today: string) {
  const names = new Map(view.visits.map((visit) => [visit.id, visit.siteName]));
  const who = new Map(view.technicians.map((one) => [one.id, one.name]));
  return view.rounds.filter((round) => round.day >= today || today > view.days[6]!).toSorted((a, b) => a.day.localeCompare(b.day)).flatMap((round) => round.stops.filter((stop) => stop.joins === undefined).map((stop) => ({ value: stop.visitId, label: `${dayWords(round.day)}, ${who.get(round.technicianId) ?? ''}: ${names.get(stop.visitId) ?? phrase('planning.visit')}` })));
}

function OverrunFields({ view, onAsk }: FieldsProps) {
  const { today } = useDays(view);
  const [visitId, setVisit] = useState('');
  const [extraMin, setExtra] = useState<number | null>(50);
  return (
    <Form onSubmit={() => onAsk({ kind: 'overrun', visitId, extraMin: extraMin ?? 50 })}>
      <Select label={phrase('planning.which-visit')} value={visitId} onChange={setVisit} empty={phrase('planning.choose-a-visit')} options={useStops(view, today)} required />
      <NumberField label={phrase('planning.takes-longer-by')} unit={phrase('planning.min')} min={5} max={600} step={5} value={extraMin} onChange={setExtra} />
      <Button type="submit" disabled={visitId === '' || extraMin === null}>{phrase('planning.show-who-is-affected')}</Button>
    </Form>
  );
}

function ClosedFields({ view, onAsk }: FieldsProps) {
  const { today } = useDays(view);
  const [visitId, setVisit] = useState('');
  const [backOn, setBack] = useState('');
  const [reason, setReason] = useState(phrase('planning.key-lost'));
  return (
    <Form onSubmit={() => onAsk({ kind: 'closed', visitId, backOn: backOn === '' ? null : backOn, reason })}>
      <Select label={phrase('planning.which-visit')} value={visitId} onChange={setVisit} empty={phrase('planning.choose-a-visit')} options={useStops(view, today)} required />
      <DateField label={phrase('planning.open-again-on')} help={phrase('planning.left-empty-not-this-week')} value={backOn} min={view.days[0]!} onChange={setBack} />
      <TextField label={phrase('planning.why')} value={reason} onChange={setReason} suggestions={[phrase('planning.key-lost'), phrase('planning.site-shut'), phrase('planning.client-asks-for-another-day')]} required />
      <Button type="submit" disabled={visitId === '' || reason.trim().length < 2}>{phrase('planning.show-the-repair')}</Button>
    </Form>
  );
}
