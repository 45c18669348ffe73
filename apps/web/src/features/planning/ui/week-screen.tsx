import type { LapsingDuty, WeekView } from '@bellround/contracts';
import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { countWords, dayShort, dayWords, momentWords, numberWords, plusDays, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, type Column, ConfirmDialog, Empty, LinkButton, Loaded, Mark, NumberField, Page, ProblemBox, Progress, Section, Select, Table, useToast } from '../../../shared/ui/index.js';
import { useCancelPlan, usePublishPlan, useStartPlan, useWeek } from '../api/week.js';
import { Loom } from './loom.js';
import { RoundTables } from './round-tables.js';
import { VisitDrawer } from './visit-drawer.js';
import { WeekMap } from './week-map.js';

const mondayOf = (day: string): string => plusDays(day, -((new Date(`${day}T12:00:00Z`).getUTCDay() + 6) % 7));

/** The dispatcher's week: what lapses if nothing is done, the loom, and what is left out with its reason. */
export function WeekScreen() {
  const [params, setParams] = useSearchParams();
  const today = todayIn(useMe().company.timeZone);
  const weekStart = params.get('from') ?? mondayOf(today);
  const chosen = params.get('visit');
  const planId = params.get('plan');
  const go = (change: Record<string, string | null>) => setParams((before) => {
    const next = new URLSearchParams(before);
    for (const [key, value] of Object.entries(change)) { if (value === null) next.delete(key); else next.set(key, value); }
    return next;
  }, { replace: true });
  const week = useWeek(weekStart, planId);
  return (
    <Page title={`Week of ${dayWords(weekStart)}`} actions={<>
      <Button size="small" onClick={() => go({ from: plusDays(weekStart, -7), plan: null, visit: null })}>Week before</Button>
      <Button size="small" onClick={() => go({ from: mondayOf(today), plan: null, visit: null })}>This week</Button>
      <Button size="small" onClick={() => go({ from: plusDays(weekStart, 7), plan: null, visit: null })}>Week after</Button></>}>
      <Loaded query={week} what="the week">{(view) => (<>
        <PlanBar view={view} onPick={(id) => go({ plan: id })} />
        {view.plan ? <Loom view={view} chosen={chosen} onChoose={(id) => go({ visit: id })} /> : <Empty title="No plan of this week yet" action={<p className="quiet">Compute a plan: open duties become visits, visits become rounds; whatever is left out is named with its reason.</p>} />}
        <div className="week-sides">
          <div className="stack">
            <Lapsing view={view} onChoose={(id) => go({ visit: id })} />
            {view.unplaced.length > 0 ? <Unplaced view={view} onChoose={(id) => go({ visit: id })} /> : null}
          </div>
          <div className="stack"><Section title="Map"><WeekMap view={view} chosen={chosen} onChoose={(id) => go({ visit: id })} /></Section><Cost view={view} /></div>
        </div>
        {view.plan ? <RoundTables view={view} onChoose={(id) => go({ visit: id })} /> : null}
        {chosen ? <VisitDrawer key={`${chosen} ${view.plan?.revision ?? 0}`} view={view} visitId={chosen} onClose={() => go({ visit: null })} /> : null}
      </>)}</Loaded>
    </Page>
  );
}

function PlanBar({ view, onPick }: { view: WeekView; onPick: (planId: string | null) => void }) {
  const may = useMay('plan');
  const zone = useMe().company.timeZone;
  const toast = useToast();
  const [seconds, setSeconds] = useState<number | null>(8);
  const [asking, setAsking] = useState(false);
  const start = useStartPlan(() => onPick(null));
  const cancel = useCancelPlan();
  const publish = usePublishPlan(() => { setAsking(false); toast('The week is published: technicians see their rounds'); });
  const { plan } = view;
  const running = view.plans.find((one) => one.state === 'computing');
  return (
    <div className="stack">
      <div className="row">
        {plan ? <Mark shape={plan.state === 'published' ? 'standing' : plan.state === 'draft' ? 'empty' : 'line'} tone={plan.state === 'published' ? 'good' : 'plain'}>{plan.state}: {countWords(plan.placed, 'visit')} on rounds, {plan.unplaced} left out</Mark> : <Mark shape="absent">no plan</Mark>}
        {view.plans.length > 1 ? <Select label="Shown plan" value={plan?.id ?? ''} onChange={onPick} options={view.plans.map((one) => ({ value: one.id, label: `${one.state}, ${momentWords(one.createdAt, zone)}: ${one.placed} on rounds, ${one.unplaced} left out` }))} /> : null}
        {may && !running ? <><NumberField label="Search for" unit="s" min={1} max={600} step={1} value={seconds} onChange={setSeconds} /><Button kind={plan?.state === 'draft' ? 'plain' : 'do'} busy={start.isPending} onClick={() => start.mutate({ weekStart: view.weekStart, planId: newId(), seconds: seconds ?? 8 })}>Compute plan</Button></> : null}
        {may && plan?.state === 'draft' ? <Button kind="do" onClick={() => setAsking(true)}>Publish week</Button> : null}
      </div>
      {running ? <Progress share={(running.progress?.seconds ?? 0) / Math.max(1, running.progress?.of ?? 1)}>Computing: {numberWords(running.progress?.seconds ?? 0, 0)} of {running.progress?.of ?? 0} s, {running.progress?.unplaced ?? 0} left out so far{may ? <> <Button size="small" busy={cancel.isPending} onClick={() => cancel.mutate({ planId: running.id })}>Stop computing</Button></> : null}</Progress> : null}
      {start.error ? <ProblemBox problem={start.error} /> : null}
      {asking && plan ? <ConfirmDialog title="Publish this week?" words="Publish week" busy={publish.isPending} problem={publish.error} onClose={() => setAsking(false)} onConfirm={() => publish.mutate({ planId: plan.id, revision: plan.revision })}>
        Every rule is checked again on today’s facts. {plan.unplaced > 0 ? `${countWords(plan.unplaced, 'visit')} stay off the rounds.` : 'Nothing is left out.'} What was published before is kept for the record.
      </ConfirmDialog> : null}
    </div>
  );
}

function Lapsing({ view, onChoose }: { view: WeekView; onChoose: (visitId: string) => void }) {
  const columns: Column<LapsingDuty>[] = [
    { key: 'site', title: 'Site', cell: (line) => (line.visitId ? <Button kind="bare" size="small" onClick={() => onChoose(line.visitId!)}>{line.siteName}</Button> : <LinkButton kind="bare" size="small" to={`/sites/${line.siteId}`}>{line.siteName}</LinkButton>), sortBy: (line) => line.siteName },
    { key: 'what', title: 'Duty', cell: (line) => line.title },
    { key: 'lapses', title: 'Lapses', cell: (line) => `${dayShort(line.lapses)} (${countWords(line.daysLeft, 'day')})`, sortBy: (line) => line.lapses },
    { key: 'visit', title: 'On its way', cell: (line) => (line.visitState === 'published' && line.visitDay ? <Mark shape="standing" tone="good">{dayShort(line.visitDay)}</Mark> : line.visitId ? <Mark shape="empty" tone="warn">no date agreed</Mark> : <Mark shape="bracketed" tone="bad">no visit{line.attempts > 0 ? `, ${line.attempts} attempts` : ''}</Mark>) },
  ];
  return (
    <Section title="What lapses if nothing is done">
      {view.lapsing.length === 0 ? <Empty title="No mandated duty lapses in this week or the two after" /> : <Table caption="Mandated duties that lapse soon" columns={columns} rows={view.lapsing.slice(0, 60)} rowKey={(line) => line.dutyId} />}
      {view.lapsing.length > 60 ? <p className="note">{view.lapsing.length - 60} more lapse within three weeks; the overdue list has them all.</p> : null}
    </Section>
  );
}

function Unplaced({ view, onChoose }: { view: WeekView; onChoose: (visitId: string) => void }) {
  const names = new Map(view.visits.map((visit) => [visit.id, visit.siteName]));
  const rows = view.unplaced.toSorted((a, b) => Number(b.lapses) - Number(a.lapses));
  return (
    <Section title={`Left out, and why (${rows.length})`}>
      <Table caption="Visits left out of the plan" rows={rows.slice(0, 100)} rowKey={(one) => one.visitId} columns={[
        { key: 'site', title: 'Site', cell: (one) => <Button kind="bare" size="small" onClick={() => onChoose(one.visitId)}>{names.get(one.visitId) ?? 'visit'}</Button> },
        { key: 'why', title: 'Binding rule', cell: (one) => one.words },
        { key: 'lapses', title: 'Lapses', cell: (one) => (one.lapses ? <Mark shape="bracketed" tone="bad">a duty lapses</Mark> : <Mark shape="line">can wait</Mark>) },
      ]} />
      {rows.length > 100 ? <p className="note">{rows.length - 100} more are listed under Loose ends.</p> : null}
    </Section>
  );
}

function Cost({ view }: { view: WeekView }) {
  if (!view.plan || view.plan.cost.length === 0) return null;
  return <Section title="What this plan costs"><ul>{view.plan.cost.map((term) => <li key={term.name}>{term.words}</li>)}</ul></Section>;
}
