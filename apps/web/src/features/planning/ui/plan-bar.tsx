import type { PlanHead, WeekView } from '@bellround/contracts';
import { useState } from 'react';
import { momentWords, numberWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, ConfirmDialog, LinkButton, Mark, NumberField, ProblemBox, Progress, Select, useToast } from '../../../shared/ui/index.js';
import { useCopyPlan, useDropPlan } from '../api/plans.js';
import { useEndDayTravel } from '../api/questions.js';
import { plainWords } from './plain-words.js';
import { useCancelPlan, usePublishPlan, useStartPlan } from '../api/week.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';
import { PLAN_STATE } from '../../../shared/words.js';

/** A plan in a line: its state, what made it, how much it holds. */
export function planWords(plan: PlanHead, zone: string): string {
  return phrase('planning.state-createdat-placed-on-rounds-unplaced-left', { state: PLAN_STATE[plan.state], createdAt: momentWords(plan.createdAt, zone), placed: plan.placed, unplaced: plan.unplaced, value: plan.label ? ` (${plainWords(plan.label)})` : '' });
}

/** Which plan is shown, and what can be done with it. */
export function PlanBar({ view, onPick, onAsk }: { view: WeekView; onPick: (planId: string | null) => void; onAsk: () => void }) {
  const may = useMay('plan');
  const zone = useMe().company.timeZone;
  const toast = useToast();
  const [asking, setAsking] = useState(false);
  const publish = usePublishPlan(() => { setAsking(false); toast(phrase('planning.the-week-is-published-technicians-are-told')); });
  const copy = useCopyPlan();
  const dropping = useDropPlan();
  const { plan } = view;
  const running = view.plans.find((one) => one.state === 'computing');
  const lookable = view.plans.filter((one) => !['computing', 'failed', 'cancelled'].includes(one.state));
  const other = lookable.find((one) => one.id !== plan?.id && one.state === 'published') ?? lookable.find((one) => one.id !== plan?.id);
  return (
    <div className="stack">
      <div className="row end">
        {plan ? <Mark shape={plan.state === 'published' ? 'standing' : plan.state === 'draft' ? 'empty' : 'line'} tone={plan.state === 'published' ? 'good' : 'plain'}>{phrase('planning.state-placed-on-rounds-unplaced-left-out', { state: PLAN_STATE[plan.state], placed: phrase('count.visit', { n: plan.placed }), unplaced: plan.unplaced })}</Mark> : <Mark shape="absent">{phrase('planning.no-plan')}</Mark>}
        {plan?.label ? <span className="quiet">{plainWords(plan.label)}</span> : null}
        {view.plans.length > 1 ? <Select label={phrase('planning.shown-plan')} value={plan?.id ?? ''} onChange={onPick} options={view.plans.map((one) => ({ value: one.id, label: planWords(one, zone) }))} /> : null}
      </div>
      {plan && plan.told.length > 0 ? <ul className="note" role="status">{plan.told.map((words) => <li key={words}>{plainWords(words)}</li>)}</ul> : null}
      {plan?.travel ? <TravelLine of={plan.travel} /> : null}
      <div className="row end">
        {may && plan?.state === 'draft' ? <Button kind="do" onClick={() => setAsking(true)}>{phrase('planning.publish-week')}</Button> : null}
        {may && !running ? <Compute view={view} first={plan === null} onPick={onPick} /> : null}
        {may && plan && ['draft', 'published'].includes(plan.state) ? <Button onClick={onAsk}>{phrase('planning.ask-this-plan-2')}</Button> : null}
        {plan && other ? <LinkButton to={`/week/compare?from=${view.weekStart}&left=${other.id}&right=${plan.id}`}>{phrase('planning.compare-plans')}</LinkButton> : null}
        {may && plan && plan.state !== 'computing' ? <Button busy={copy.isPending} onClick={() => copy.mutate({ planId: plan.id, newPlanId: newId() }, { onSuccess: (head) => { onPick(head.id); toast(phrase('planning.copied-to-a-draft')); } })}>{phrase('planning.copy-to-a-draft')}</Button> : null}
        {may && plan?.state === 'draft' ? <Button busy={dropping.isPending} onClick={() => dropping.mutate({ planId: plan.id, revision: plan.revision }, { onSuccess: () => { onPick(null); toast(phrase('planning.put-aside-the-record-keeps-it')); } })}>{phrase('planning.put-draft-aside')}</Button> : null}
        <LinkButton to={`/week/record?from=${view.weekStart}`}>{phrase('planning.what-was-published')}</LinkButton>
      </div>
      <TravelOfDays view={view} may={may} />
      {running ? <Running plan={running} may={may} /> : null}
      {!running && view.plans[0]?.state === 'failed' ? <p className="note" role="status">{phrase('planning.the-last-search-gave-no-plan-value', { value: view.plans[0].label || phrase('planning.the-reason-was-not-kept') })}</p> : null}
      {copy.error ? <ProblemBox problem={copy.error} /> : null}
      {dropping.error ? <ProblemBox problem={dropping.error} /> : null}
      {asking && plan ? <ConfirmDialog title={phrase('planning.publish-this-week')} words={phrase('planning.publish-week')} busy={publish.isPending} problem={publish.error} onClose={() => setAsking(false)} onConfirm={() => publish.mutate({ planId: plan.id, revision: plan.revision })}>
        {phrase('planning.every-rule-is-checked-again-on-todays', { value: plan.unplaced > 0 ? phrase('planning.unplaced-stay-off-the-rounds', { unplaced: phrase('count.visit', { n: plan.unplaced }) }) : phrase('planning.nothing-is-left-out') })}
      </ConfirmDialog> : null}
    </div>
  );
}

/** How much of the travel is estimated, and why: said with every plan, so that nobody takes a straight line for a road. */
function TravelLine({ of }: { of: NonNullable<PlanHead['travel']> }) {
  const { legs, estimated, percent, trips, why } = of;
  if (legs === 0) return null;
  if (estimated === 0) return <p className="small quiet">{phrase('planning.travel-all-by-road', { legs })}</p>;
  const learned = trips > 0 ? phrase('planning.at-percent-as-trips-say', { percent, trips }) : '';
  return <p className={why ? 'note' : 'small quiet'} role={why ? 'status' : undefined}>{phrase('planning.travel-estimated-of-legs', { estimated, legs, learned, why: why ? phrase('planning.roads-not-answered', { why: said(why) }) : '' })}</p>;
}

function Compute({ view, first, onPick }: { view: WeekView; first: boolean; onPick: (planId: string | null) => void }) {
  const [seconds, setSeconds] = useState<number | null>(8);
  const start = useStartPlan(() => onPick(null));
  return (
    <>
      <NumberField label={phrase('planning.search-for')} unit="s" min={1} max={600} step={1} value={seconds} onChange={setSeconds} />
      <Button kind={first ? 'do' : 'plain'} busy={start.isPending} onClick={() => start.mutate({ weekStart: view.weekStart, planId: newId(), seconds: seconds ?? 8 })}>{phrase('planning.compute-plan')}</Button>
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
        {phrase('planning.computing-seconds-of-of-s', { seconds: numberWords(seconds, 0), of })} {iterations === 0 ? phrase('planning.looking-at-duties-and-travel') : <>{phrase('planning.best-so-far-unplaced-left-out-join', { unplaced: phrase('count.visit', { n: unplaced }), join: cost.filter((term) => BEST.includes(term.name)).map((term) => `; ${term.words}`).join(''), iterations: numberWords(iterations) })}</>}
        {may ? <> <Button size="small" busy={cancel.isPending} onClick={() => cancel.mutate({ planId: plan.id })}>{phrase('planning.stop-and-keep-the-best-so-far')}</Button></> : null}
      </Progress>
      {cancel.error ? <ProblemBox problem={cancel.error} /> : null}
    </>
  );
}

function TravelOfDays({ view, may }: { view: WeekView; may: boolean }) {
  const end = useEndDayTravel();
  if (view.dayTravel.length === 0) return null;
  return <div className="row">{view.dayTravel.map((one) => <span key={one.day} className="note">{phrase('planning.day-travel-counts-percent-reason', { day: plainWords(one.day), percent: one.percent, reason: one.reason })} {may ? <Button size="small" busy={end.isPending} onClick={() => end.mutate({ day: one.day })}>{phrase('planning.travel-is-as-usual-again')}</Button> : null}</span>)}{end.error ? <ProblemBox problem={end.error} /> : null}</div>;
}
