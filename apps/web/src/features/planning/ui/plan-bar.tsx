import type { PlanHead, WeekView } from '@bellround/contracts';
import { useState } from 'react';
import { countWords, momentWords, numberWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, ConfirmDialog, LinkButton, Mark, NumberField, ProblemBox, Progress, Select, useToast } from '../../../shared/ui/index.js';
import { useCopyPlan, useDropPlan } from '../api/plans.js';
import { useEndDayTravel } from '../api/questions.js';
import { plainWords } from './plain-words.js';
import { useCancelPlan, usePublishPlan, useStartPlan } from '../api/week.js';

/** A plan in a line: its state, what made it, how much it holds. */
export function planWords(plan: PlanHead, zone: string): string {
  return `${plan.state}, ${momentWords(plan.createdAt, zone)}: ${plan.placed} on rounds, ${plan.unplaced} left out${plan.label ? ` (${plainWords(plan.label)})` : ''}`;
}

/** Which plan is shown, and what can be done with it. */
export function PlanBar({ view, onPick, onAsk }: { view: WeekView; onPick: (planId: string | null) => void; onAsk: () => void }) {
  const may = useMay('plan');
  const zone = useMe().company.timeZone;
  const toast = useToast();
  const [asking, setAsking] = useState(false);
  const publish = usePublishPlan(() => { setAsking(false); toast('The week is published: technicians are told what changed'); });
  const copy = useCopyPlan();
  const dropping = useDropPlan();
  const { plan } = view;
  const running = view.plans.find((one) => one.state === 'computing');
  const lookable = view.plans.filter((one) => !['computing', 'failed', 'cancelled'].includes(one.state));
  const other = lookable.find((one) => one.id !== plan?.id && one.state === 'published') ?? lookable.find((one) => one.id !== plan?.id);
  return (
    <div className="stack">
      <div className="row">
        {plan ? <Mark shape={plan.state === 'published' ? 'standing' : plan.state === 'draft' ? 'empty' : 'line'} tone={plan.state === 'published' ? 'good' : 'plain'}>{plan.state}: {countWords(plan.placed, 'visit')} on rounds, {plan.unplaced} left out</Mark> : <Mark shape="absent">no plan</Mark>}
        {plan?.label ? <span className="quiet">{plainWords(plan.label)}</span> : null}
        {view.plans.length > 1 ? <Select label="Shown plan" value={plan?.id ?? ''} onChange={onPick} options={view.plans.map((one) => ({ value: one.id, label: planWords(one, zone) }))} /> : null}
      </div>
      <div className="row">
        {may && plan?.state === 'draft' ? <Button kind="do" onClick={() => setAsking(true)}>Publish week</Button> : null}
        {may && !running ? <Compute view={view} first={plan === null} onPick={onPick} /> : null}
        {may && plan && ['draft', 'published'].includes(plan.state) ? <Button onClick={onAsk}>Ask this plan …</Button> : null}
        {plan && other ? <LinkButton to={`/week/compare?from=${view.weekStart}&left=${other.id}&right=${plan.id}`}>Compare plans</LinkButton> : null}
        {may && plan && plan.state !== 'computing' ? <Button busy={copy.isPending} onClick={() => copy.mutate({ planId: plan.id, newPlanId: newId() }, { onSuccess: (head) => { onPick(head.id); toast('Copied to a draft'); } })}>Copy to a draft</Button> : null}
        {may && plan?.state === 'draft' ? <Button busy={dropping.isPending} onClick={() => dropping.mutate({ planId: plan.id, revision: plan.revision }, { onSuccess: () => { onPick(null); toast('Put aside; the record keeps it'); } })}>Put draft aside</Button> : null}
        <LinkButton to={`/week/record?from=${view.weekStart}`}>What was published</LinkButton>
      </div>
      <TravelOfDays view={view} may={may} />
      {running ? <Running plan={running} may={may} /> : null}
      {!running && view.plans[0]?.state === 'failed' ? <p className="note" role="status">The last search gave no plan: {view.plans[0].label || 'the reason was not kept'}. Compute it again; what was there stays.</p> : null}
      {copy.error ? <ProblemBox problem={copy.error} /> : null}
      {dropping.error ? <ProblemBox problem={dropping.error} /> : null}
      {asking && plan ? <ConfirmDialog title="Publish this week?" words="Publish week" busy={publish.isPending} problem={publish.error} onClose={() => setAsking(false)} onConfirm={() => publish.mutate({ planId: plan.id, revision: plan.revision })}>
        Every rule is checked again on today’s facts. {plan.unplaced > 0 ? `${countWords(plan.unplaced, 'visit')} stay off the rounds.` : 'Nothing is left out.'} What was published before is kept for the record; each technician whose round changes is told by mail.
      </ConfirmDialog> : null}
    </div>
  );
}

function Compute({ view, first, onPick }: { view: WeekView; first: boolean; onPick: (planId: string | null) => void }) {
  const [seconds, setSeconds] = useState<number | null>(8);
  const start = useStartPlan(() => onPick(null));
  return (
    <>
      <NumberField label="Search for" unit="s" min={1} max={600} step={1} value={seconds} onChange={setSeconds} />
      <Button kind={first ? 'do' : 'plain'} busy={start.isPending} onClick={() => start.mutate({ weekStart: view.weekStart, planId: newId(), seconds: seconds ?? 8 })}>Compute plan</Button>
      {start.error ? <ProblemBox problem={start.error} /> : null}
    </>
  );
}

/** Terms of the best cost that are told while it is computed. */
const BEST = ['lapses', 'exposure', 'travel'];

/** Computing, live: seconds, and the best plan so far. Stopping keeps it. */
function Running({ plan, may }: { plan: PlanHead; may: boolean }) {
  const cancel = useCancelPlan();
  const { seconds = 0, of = 1, unplaced = 0, iterations = 0, cost = [] } = plan.progress ?? {};
  return (
    <>
      <Progress share={seconds / Math.max(1, of)}>
        Computing: {numberWords(seconds, 0)} of {of} s. {iterations === 0 ? 'Looking at duties and travel.' : <>Best so far: {countWords(unplaced, 'visit')} left out{cost.filter((term) => BEST.includes(term.name)).map((term) => `; ${term.words}`).join('')}. {numberWords(iterations)} tries.</>}
        {may ? <> <Button size="small" busy={cancel.isPending} onClick={() => cancel.mutate({ planId: plan.id })}>Stop and keep the best so far</Button></> : null}
      </Progress>
      {cancel.error ? <ProblemBox problem={cancel.error} /> : null}
    </>
  );
}

function TravelOfDays({ view, may }: { view: WeekView; may: boolean }) {
  const end = useEndDayTravel();
  if (view.dayTravel.length === 0) return null;
  return <div className="row">{view.dayTravel.map((one) => <span key={one.day} className="note">{plainWords(one.day)}: travel counts {one.percent} % ({one.reason}) {may ? <Button size="small" busy={end.isPending} onClick={() => end.mutate({ day: one.day })}>Travel is as usual again</Button> : null}</span>)}{end.error ? <ProblemBox problem={end.error} /> : null}</div>;
}
