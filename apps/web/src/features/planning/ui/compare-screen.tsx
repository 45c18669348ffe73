import type { Comparison, WeekView } from '@bellround/contracts';
import { useSearchParams } from 'react-router';
import { countWords, dayWords, minutesWords, numberWords, todayIn } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Empty, LinkButton, Loaded, Mark, Page, Section, Select, Table } from '../../../shared/ui/index.js';
import { useComparison } from '../api/plans.js';
import { useWeek } from '../api/week.js';
import { ChangesTable } from './answer-view.js';
import { TERMS } from './carry-panel.js';
import { plainWords } from './plain-words.js';
import { planWords } from './plan-bar.js';
import { mondayOf } from './week-screen.js';
import './loom.css';

const LOOKED_AT = ['draft', 'published', 'superseded'];

/** Two plans of a week side by side: each aim, each technician, every visit that stands elsewhere. */
export function CompareScreen() {
  const [params, setParams] = useSearchParams();
  const weekStart = params.get('from') ?? mondayOf(todayIn(useMe().company.timeZone));
  const week = useWeek(weekStart, null);
  const choose = (change: Record<string, string>) => setParams((before) => { const next = new URLSearchParams(before); for (const [key, value] of Object.entries(change)) next.set(key, value); return next; }, { replace: true });
  return (
    <Page title="Plans side by side" lead={`Week of ${dayWords(weekStart)}. Both are costed on today’s facts.`} actions={<LinkButton to={`/week?from=${weekStart}`}>Back to the week</LinkButton>}>
      <Loaded query={week} what="the plans">{(view) => <Sides view={view} left={params.get('left')} right={params.get('right')} onChoose={choose} />}</Loaded>
    </Page>
  );
}

function Sides({ view, left, right, onChoose }: { view: WeekView; left: string | null; right: string | null; onChoose: (change: Record<string, string>) => void }) {
  const zone = useMe().company.timeZone;
  const plans = view.plans.filter((plan) => LOOKED_AT.includes(plan.state));
  const one = left ?? plans.find((plan) => plan.state === 'published')?.id ?? plans[0]?.id ?? '';
  const two = right ?? plans.find((plan) => plan.id !== one)?.id ?? '';
  const compared = useComparison(one, two);
  if (plans.length < 2) return <Empty title="There is only one plan of this week" action={<LinkButton to={`/week?from=${view.weekStart}`}>Compute or copy another</LinkButton>}>Two plans are needed: compute another, or copy one and change it.</Empty>;
  const options = plans.map((plan) => ({ value: plan.id, label: planWords(plan, zone) }));
  return (
    <>
      <div className="two-plans"><Select label="Left" value={one} onChange={(id) => onChoose({ left: id })} options={options} /><Select label="Right" value={two} onChange={(id) => onChoose({ right: id })} options={options} /></div>
      {one === two ? <Empty title="The same plan on both sides">Choose another on one side.</Empty> : <Loaded query={compared} what="the comparison">{(found) => <Found found={found} weekStart={view.weekStart} />}</Loaded>}
    </>
  );
}

function Found({ found, weekStart }: { found: Comparison; weekStart: string }) {
  const better = found.better === 'neither' ? 'By the order of aims neither is better.' : `By the order of aims the ${found.better} one is better; ${TERMS[found.decidedBy ?? ''] ?? found.decidedBy} decides.`;
  return (
    <>
      <p role="status"><Mark shape={found.better === 'neither' ? 'line' : 'standing'} tone={found.better === 'neither' ? 'plain' : 'good'}>{found.better === 'neither' ? 'neither' : found.better}</Mark> {better}</p>
      <Section title="Aims, in their order">
        <Table caption="Each aim of both plans" rows={found.terms} rowKey={(term) => term.name} columns={[
          { key: 'aim', title: 'Aim', cell: (term) => TERMS[term.name] ?? term.name },
          { key: 'left', title: 'Left', align: 'end', cell: (term) => `${numberWords(term.left)} ${unitWords(term.unit)}` },
          { key: 'right', title: 'Right', align: 'end', cell: (term) => `${numberWords(term.right)} ${unitWords(term.unit)}` },
          { key: 'change', title: 'Right against left', align: 'end', cell: (term) => signed(term.right - term.left) },
        ]} />
      </Section>
      <Section title="Technicians">
        <Table caption="Load of each technician in both plans" rows={found.technicians} rowKey={(one) => one.id} columns={[
          { key: 'who', title: 'Technician', cell: (one) => one.name },
          { key: 'visits', title: 'Visits', align: 'end', cell: (one) => `${one.left.visits} / ${one.right.visits}` },
          { key: 'work', title: 'Work', align: 'end', cell: (one) => `${minutesWords(one.left.workMin)} / ${minutesWords(one.right.workMin)}` },
          { key: 'travel', title: 'Travel', align: 'end', cell: (one) => `${minutesWords(one.left.travelMin)} / ${minutesWords(one.right.travelMin)}` },
          { key: 'over', title: 'Overtime', align: 'end', cell: (one) => `${minutesWords(one.left.overtimeMin)} / ${minutesWords(one.right.overtimeMin)}` },
        ]} />
      </Section>
      <Section title={`Visits that stand elsewhere (${found.changes.length})`}><ChangesTable changes={found.changes} caption="Visits that stand elsewhere on the right" /></Section>
      <Section title={`Left out (${found.leftOut.length})`}>
        {found.leftOut.length === 0 ? <p className="quiet">Neither leaves anything out.</p> : <Table caption="Visits left out of either plan" rows={found.leftOut.slice(0, 200)} rowKey={(one) => one.visitId} columns={[
          { key: 'site', title: 'Site', cell: (one) => one.siteName },
          { key: 'left', title: 'Left', cell: (one) => plainWords(one.left ?? 'on a round') },
          { key: 'right', title: 'Right', cell: (one) => plainWords(one.right ?? 'on a round') },
          { key: 'lapses', title: 'Lapses', cell: (one) => (one.lapses ? <Mark shape="bracketed" tone="bad">a duty lapses</Mark> : <Mark shape="line">can wait</Mark>) },
        ]} />}
      </Section>
      <div className="row"><LinkButton to={`/week?from=${weekStart}&plan=${found.left.id}`}>Show the left one ({countWords(found.left.placed, 'visit')})</LinkButton><LinkButton to={`/week?from=${weekStart}&plan=${found.right.id}`}>Show the right one ({countWords(found.right.placed, 'visit')})</LinkButton></div>
    </>
  );
}

const unitWords = (unit: string): string => (unit === 'exposure' ? 'h a year' : unit);
const signed = (change: number): string => (Math.abs(change) < 0.005 ? 'the same' : `${change > 0 ? '+' : '−'}${numberWords(Math.abs(change))}`);
