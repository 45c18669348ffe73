import type { Comparison, WeekView } from '@bellround/contracts';
import { useSearchParams } from 'react-router';
import { dayWords, minutesWords, numberWords, todayIn } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Empty, LinkButton, Loaded, Mark, Page, Section, Select, Table } from '../../../shared/ui/index.js';
import { useComparison } from '../api/plans.js';
import { useWeek } from '../api/week.js';
import { ChangesTable } from './answer-view.js';
import { TERMS, unitWords } from './carry-panel.js';
import { plainWords } from './plain-words.js';
import { planWords } from './plan-bar.js';
import { mondayOf } from './week-screen.js';
import './loom.css';
import { phrase } from '../../../shared/language/index.js';

const LOOKED_AT = ['draft', 'published', 'superseded'];

/** Two plans of a week side by side: each aim, each technician, every visit that stands elsewhere. */
export function CompareScreen() {
  const [params, setParams] = useSearchParams();
  const weekStart = params.get('from') ?? mondayOf(todayIn(useMe().company.timeZone));
  const week = useWeek(weekStart, null);
  const choose = (change: Record<string, string>) => setParams((before) => { const next = new URLSearchParams(before); for (const [key, value] of Object.entries(change)) next.set(key, value); return next; }, { replace: true });
  return (
    <Page title={phrase('planning.plans-side-by-side')} lead={phrase('planning.week-of-weekstart-both-are-costed-on', { weekStart: dayWords(weekStart) })} actions={<LinkButton to={`/week?from=${weekStart}`}>{phrase('planning.back-to-the-week')}</LinkButton>}>
      <Loaded query={week} what={phrase('planning.the-plans')}>{(view) => <Sides view={view} left={params.get('left')} right={params.get('right')} onChoose={choose} />}</Loaded>
    </Page>
  );
}

function Sides({ view, left, right, onChoose }: { view: WeekView; left: string | null; right: string | null; onChoose: (change: Record<string, string>) => void }) {
  const zone = useMe().company.timeZone;
  const plans = view.plans.filter((plan) => LOOKED_AT.includes(plan.state));
  const one = left ?? plans.find((plan) => plan.state === 'published')?.id ?? plans[0]?.id ?? '';
  const two = right ?? plans.find((plan) => plan.id !== one)?.id ?? '';
  const compared = useComparison(one, two);
  if (plans.length < 2) return <Empty title={phrase('planning.there-is-only-one-plan-of-this')} action={<LinkButton to={`/week?from=${view.weekStart}`}>{phrase('planning.compute-or-copy-another')}</LinkButton>}>{phrase('planning.two-plans-are-needed-compute-another-or')}</Empty>;
  const options = plans.map((plan) => ({ value: plan.id, label: planWords(plan, zone) }));
  return (
    <>
      <div className="two-plans"><Select label={phrase('planning.left')} value={one} onChange={(id) => onChoose({ left: id })} options={options} /><Select label={phrase('planning.right')} value={two} onChange={(id) => onChoose({ right: id })} options={options} /></div>
      {one === two ? <Empty title={phrase('planning.the-same-plan-on-both-sides')}>{phrase('planning.choose-another-on-one-side')}</Empty> : <Loaded query={compared} what={phrase('planning.the-comparison')}>{(found) => <Found found={found} weekStart={view.weekStart} />}</Loaded>}
    </>
  );
}

const SIDE = { left: phrase('planning.left-side'), right: phrase('planning.right-side') } as const;

function Found({ found, weekStart }: { found: Comparison; weekStart: string }) {
  const better = found.better === 'neither' ? phrase('planning.by-the-order-of-aims-neither-is') : phrase('planning.by-the-order-of-aims-the-better', { better: SIDE[found.better], value: TERMS[found.decidedBy ?? ''] ?? found.decidedBy });
  return (
    <>
      <p role="status"><Mark shape={found.better === 'neither' ? 'line' : 'standing'} tone={found.better === 'neither' ? 'plain' : 'good'}>{found.better === 'neither' ? phrase('planning.neither') : SIDE[found.better]}</Mark> {better}</p>
      <Section title={phrase('planning.aims-in-their-order')}>
        <Table caption={phrase('planning.each-aim-of-both-plans')} rows={found.terms} rowKey={(term) => term.name} columns={[
          { key: 'aim', title: phrase('planning.aim'), cell: (term) => TERMS[term.name] ?? term.name },
          { key: 'left', title: phrase('planning.left'), align: 'end', cell: (term) => `${numberWords(term.left)} ${unitWords(term.unit)}` },
          { key: 'right', title: phrase('planning.right'), align: 'end', cell: (term) => `${numberWords(term.right)} ${unitWords(term.unit)}` },
          { key: 'change', title: phrase('planning.right-against-left'), align: 'end', cell: (term) => signed(term.right - term.left) },
        ]} />
      </Section>
      <Section title={phrase('planning.technicians')}>
        <Table caption={phrase('planning.load-of-each-technician-in-both-plans')} rows={found.technicians} rowKey={(one) => one.id} columns={[
          { key: 'who', title: phrase('planning.technician'), cell: (one) => one.name },
          { key: 'visits', title: phrase('planning.visits'), align: 'end', cell: (one) => `${one.left.visits} / ${one.right.visits}` },
          { key: 'work', title: phrase('planning.work'), align: 'end', cell: (one) => `${minutesWords(one.left.workMin)} / ${minutesWords(one.right.workMin)}` },
          { key: 'travel', title: phrase('planning.travel-2'), align: 'end', cell: (one) => `${minutesWords(one.left.travelMin)} / ${minutesWords(one.right.travelMin)}` },
          { key: 'over', title: phrase('planning.overtime-2'), align: 'end', cell: (one) => `${minutesWords(one.left.overtimeMin)} / ${minutesWords(one.right.overtimeMin)}` },
        ]} />
      </Section>
      <Section title={phrase('planning.visits-that-stand-elsewhere-changes', { changes: found.changes.length })}><ChangesTable changes={found.changes} caption={phrase('planning.visits-that-stand-elsewhere-on-the-right')} /></Section>
      <Section title={phrase('planning.left-out-leftout', { leftOut: found.leftOut.length })}>
        {found.leftOut.length === 0 ? <p className="quiet">{phrase('planning.neither-leaves-anything-out')}</p> : <Table caption={phrase('planning.visits-left-out-of-either-plan')} rows={found.leftOut.slice(0, 200)} rowKey={(one) => one.visitId} columns={[
          { key: 'site', title: phrase('planning.site'), cell: (one) => one.siteName },
          { key: 'left', title: phrase('planning.left'), cell: (one) => plainWords(one.left ?? phrase('planning.on-a-round')) },
          { key: 'right', title: phrase('planning.right'), cell: (one) => plainWords(one.right ?? phrase('planning.on-a-round')) },
          { key: 'lapses', title: phrase('planning.lapses'), cell: (one) => (one.lapses ? <Mark shape="bracketed" tone="bad">{phrase('planning.a-duty-lapses')}</Mark> : <Mark shape="line">{phrase('planning.can-wait')}</Mark>) },
        ]} />}
      </Section>
      <div className="row"><LinkButton to={`/week?from=${weekStart}&plan=${found.left.id}`}>{phrase('planning.show-the-left-one-placed', { placed: phrase('count.visit', { n: found.left.placed }) })}</LinkButton><LinkButton to={`/week?from=${weekStart}&plan=${found.right.id}`}>{phrase('planning.show-the-right-one-placed', { placed: phrase('count.visit', { n: found.right.placed }) })}</LinkButton></div>
    </>
  );
}

const signed = (change: number): string => (Math.abs(change) < 0.005 ? phrase('planning.the-same') : `${change > 0 ? '+' : '−'}${numberWords(Math.abs(change))}`);
