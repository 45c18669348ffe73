import type { LapsingDuty, WeekView } from '@bellround/contracts';
import { useEffect, useState } from 'react';
import { useSearchParams } from 'react-router';
import { dayShort, dayWords, plusDays, todayIn } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, type Column, Empty, LinkButton, Loaded, Loading, Mark, Page, SearchBox, Section, Table } from '../../../shared/ui/index.js';
import { useWeek } from '../api/week.js';
import { AskDialog } from './ask-dialog.js';
import { Loom } from './loom.js';
import { plainWords } from './plain-words.js';
import { PlanBar } from './plan-bar.js';
import { RoundTables } from './round-tables.js';
import { VisitDrawer } from './visit-drawer.js';
import { WeekMap } from './week-map.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

export const mondayOf = (day: string): string => plusDays(day, -((new Date(`${day}T12:00:00Z`).getUTCDay() + 6) % 7));

/** The dispatcher's week: what lapses if nothing is done, the loom, the map, and what is left out with its reason. One visit is chosen in all of them. */
export function WeekScreen() {
  const [params, setParams] = useSearchParams();
  const today = todayIn(useMe().company.timeZone);
  const may = useMay('plan');
  const weekStart = params.get('from') ?? mondayOf(today);
  const chosen = params.get('visit');
  const isOpen = params.get('open') === 'visit';
  const go = (change: Record<string, string | null>) => setParams((before) => {
    const next = new URLSearchParams(before);
    for (const [key, value] of Object.entries(change)) { if (value === null) next.delete(key); else next.set(key, value); }
    return next;
  }, { replace: true });
  const week = useWeek(weekStart, params.get('plan'));
  const open = (visitId: string) => go({ visit: visitId, open: 'visit' });
  const point = (visitId: string) => go(chosen === visitId ? { open: 'visit' } : { visit: visitId });
  return (
    <Page title={phrase('planning.week-of-weekstart', { weekStart: dayWords(weekStart) })} actions={<>
      <Button size="small" onClick={() => go({ from: plusDays(weekStart, -7), plan: null, visit: null, open: null })}>{phrase('planning.week-before')}</Button>
      <Button size="small" onClick={() => go({ from: mondayOf(today), plan: null, visit: null, open: null })}>{phrase('planning.this-week-2')}</Button>
      <Button size="small" onClick={() => go({ from: plusDays(weekStart, 7), plan: null, visit: null, open: null })}>{phrase('planning.week-after')}</Button></>}>
      <Loaded query={week} what={phrase('planning.the-week')}>{(view) => (view.weekStart !== weekStart ? <Loading what={phrase('planning.the-week')} /> : <>
        <PlanBar view={view} onPick={(id) => go({ plan: id })} onAsk={() => go({ ask: 'away' })} />
        {view.plan ? <Loom view={view} chosen={chosen} mayMove={may} onChoose={open} onDraft={(id) => go({ plan: id })} /> : <Empty title={phrase('planning.no-plan-of-this-week-yet')} action={<p className="quiet">{phrase('planning.compute-a-plan-open-duties-become-visits')}</p>} />}
        <div className="week-sides">
          <div className="stack">
            <Lapsing view={view} chosen={chosen} onPoint={point} onOpen={open} />
            {view.unplaced.length > 0 ? <LeftOut view={view} chosen={chosen} onPoint={point} onOpen={open} /> : null}
          </div>
          <div className="stack"><Section title={phrase('planning.map')}><WeekMap view={view} chosen={chosen} onChoose={point} /></Section><Cost view={view} /></div>
        </div>
        {view.plan ? <RoundTables view={view} onChoose={open} /> : null}
        {chosen && isOpen ? <VisitDrawer key={`${chosen} ${view.plan?.id ?? ''} ${view.plan?.revision ?? 0}`} view={view} visitId={chosen} onClose={() => go({ open: null })} onDraft={(id) => go({ plan: id, open: null })} /> : null}
        {params.get('ask') && view.plan ? <AskDialog view={view} plan={view.plan} kind={params.get('ask')!} onKind={(kind) => go({ ask: kind })} onClose={() => go({ ask: null })} onDraft={(id) => go({ plan: id, ask: null })} /> : null}
      </>)}</Loaded>
    </Page>
  );
}

interface ListProps { view: WeekView; chosen: string | null; onPoint: (visitId: string) => void; onOpen: (visitId: string) => void }

/** Brings the chosen row of a list into sight when it was chosen elsewhere. */
function useShown(chosen: string | null, list: string): void {
  useEffect(() => { if (chosen) document.querySelector(`[data-list="${list}"] tr.chosen`)?.scrollIntoView({ block: 'nearest' }); }, [chosen, list]);
}

function Lapsing({ view, chosen, onPoint, onOpen }: ListProps) {
  useShown(chosen, 'lapsing');
  const chosenDuty = view.lapsing.find((line) => line.visitId !== null && line.visitId === chosen)?.dutyId ?? null;
  const columns: Column<LapsingDuty>[] = [
    { key: 'site', title: phrase('planning.site'), cell: (line) => (line.visitId ? <Button kind="bare" size="small" onClick={() => onOpen(line.visitId!)}>{line.siteName}</Button> : <LinkButton kind="bare" size="small" to={`/sites/${line.siteId}`}>{line.siteName}</LinkButton>), sortBy: (line) => line.siteName },
    { key: 'what', title: phrase('planning.duty'), cell: (line) => line.title },
    { key: 'lapses', title: phrase('planning.lapses'), cell: (line) => `${dayShort(line.lapses)} (${phrase('count.day', { n: line.daysLeft })})`, sortBy: (line) => line.lapses },
    { key: 'visit', title: phrase('planning.on-its-way'), cell: (line) => (line.visitState === 'published' && line.visitDay ? <Mark shape="standing" tone="good">{dayShort(line.visitDay)}</Mark> : line.visitId ? <Mark shape="empty" tone="warn">{phrase('planning.no-date-agreed')}</Mark> : <Mark shape="bracketed" tone="bad">{phrase('planning.no-visit-value', { value: line.attempts > 0 ? phrase('planning.attempts-attempts', { attempts: line.attempts }) : '' })}</Mark>) },
  ];
  const first = view.lapsing.slice(0, 60);
  const shown = chosenDuty !== null && !first.some((line) => line.dutyId === chosenDuty) ? [view.lapsing.find((line) => line.dutyId === chosenDuty)!, ...first] : first;
  return (
    <Section title={phrase('planning.what-lapses-if-nothing-is-done')}>
      {view.lapsing.length === 0 ? <Empty title={phrase('planning.no-mandated-duty-lapses-in-this-week')} /> : <div className="week-list" data-list="lapsing"><Table caption={phrase('planning.mandated-duties-that-lapse-soon')} columns={columns} rows={shown} rowKey={(line) => line.dutyId} chosen={chosenDuty} onOpen={(line) => { if (line.visitId) onPoint(line.visitId); }} /></div>}
      {view.lapsing.length > 60 ? <p className="note">{phrase('planning.value-more-lapse-within-three-weeks-the', { value: view.lapsing.length - 60 })}</p> : null}
    </Section>
  );
}

function LeftOut({ view, chosen, onPoint, onOpen }: ListProps) {
  const [search, setSearch] = useState('');
  useShown(chosen, 'left-out');
  const names = new Map(view.visits.map((visit) => [visit.id, visit.siteName]));
  const rows = view.unplaced.filter((one) => search === '' || `${names.get(one.visitId) ?? ''} ${one.words}`.toLowerCase().includes(search.toLowerCase())).toSorted((a, b) => Number(b.visitId === chosen) - Number(a.visitId === chosen) || Number(b.lapses) - Number(a.lapses));
  return (
    <Section title={phrase('planning.left-out-and-why-unplaced', { unplaced: view.unplaced.length })} actions={view.unplaced.length > 8 ? <SearchBox label={phrase('planning.search-what-is-left-out')} value={search} onChange={setSearch} placeholder={phrase('planning.site-or-reason')} /> : null}>
      <div className="week-list" data-list="left-out"><Table caption={phrase('planning.visits-left-out-of-the-plan')} rows={rows.slice(0, 100)} rowKey={(one) => one.visitId} chosen={chosen} onOpen={(one) => onPoint(one.visitId)} columns={[
        { key: 'site', title: phrase('planning.site'), cell: (one) => <Button kind="bare" size="small" onClick={() => onOpen(one.visitId)}>{names.get(one.visitId) ?? phrase('planning.visit')}</Button> },
        { key: 'why', title: phrase('planning.binding-rule'), cell: (one) => plainWords(one.words) },
        { key: 'lapses', title: phrase('planning.lapses'), cell: (one) => (one.lapses ? <Mark shape="bracketed" tone="bad">{phrase('planning.a-duty-lapses')}</Mark> : <Mark shape="line">{phrase('planning.can-wait')}</Mark>) },
      ]} /></div>
      {rows.length > 100 ? <p className="note">{phrase('planning.value-more-narrow-the-search', { value: rows.length - 100 })}</p> : null}
    </Section>
  );
}

function Cost({ view }: { view: WeekView }) {
  if (!view.plan || view.plan.cost.length === 0) return null;
  return <Section title={phrase('planning.what-this-plan-costs')}><ul>{view.plan.cost.map((term) => <li key={term.name}>{said(term.words)}</li>)}</ul></Section>;
}
