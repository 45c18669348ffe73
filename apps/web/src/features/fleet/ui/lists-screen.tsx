import { DIFFERENCE_KINDS, DIFFERENCE_WORDS, type DifferenceKind, type ListComparison, type ListRow } from '@bellround/contracts';
import { useMemo } from 'react';
import { dayShort, dayWords, numberWords, shareWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, type Column, Empty, Figure, LinkButton, Loaded, Page, ProblemBox, Section, Table, useToast } from '../../../shared/ui/index.js';
import { useCompareLists, useLists } from '../api/lists.js';
import { DifferencesTable } from './differences-table.js';
import { useSearchParams } from 'react-router';

/** The honest denominator: what the station listens to, beside what is planned and what is paid for. */
export function ListsScreen() {
  const mayPlan = useMay('plan');
  const say = useToast();
  const lists = useLists();
  const compare = useCompareLists(() => say('Compared'));
  return (
    <Page title="Three lists" lead="The station's account list, your schedule and your invoices, compared. A site that fell off the schedule is invisible to every report made from the schedule: it stands first here."
      actions={mayPlan ? <><LinkButton to="/import">Import a list</LinkButton><Button busy={compare.isPending ? 'Comparing …' : false} onClick={() => compare.mutate({})}>Compare again</Button></> : undefined}>
      {compare.error ? <ProblemBox problem={compare.error} /> : null}
      <Loaded query={lists} what="the lists">{(comparison) => (
        <>
          <Figures comparison={comparison} />
          <Differences comparison={comparison} />
          <Lists comparison={comparison} mayPlan={mayPlan} />
        </>
      )}</Loaded>
    </Page>
  );
}

function Figures({ comparison: { counts, asOf } }: { comparison: ListComparison }) {
  const unknown = (count: number | null) => (count === null ? 'can’t tell' : numberWords(count));
  return (
    <Section title={`On ${dayWords(asOf)}`}>
      <div className="grid narrow">
        <Figure amount={unknown(counts.station)} name="listened to" why={counts.station === null ? 'no station list was imported' : 'live accounts by the station: what every on-time share is of'} look />
        <Figure amount={numberWords(counts.schedule)} name="on your schedule" why={counts.withoutDuties > 0 ? `${numberWords(counts.withoutDuties)} of them owe no duty: apply a programme` : 'each owes at least one duty'} />
        <Figure amount={unknown(counts.invoices)} name="invoiced" why={counts.invoices === null ? 'no invoice list was imported' : undefined} />
        <Figure amount={unknown(counts.bothListed)} name="on both, station and schedule" why={counts.bothListed === null || counts.station === null ? undefined : `${shareWords(counts.bothListed, counts.station)} of what is listened to: the flattering denominator`} />
      </div>
    </Section>
  );
}

function Differences({ comparison }: { comparison: ListComparison }) {
  const [params, setParams] = useSearchParams();
  const asked = params.get('kind');
  const kind = DIFFERENCE_KINDS.find((one) => one === asked) ?? null;
  const choose = (next: DifferenceKind | null) => setParams(next ? { kind: next } : {}, { replace: true });
  return (
    <Section title="Where they disagree">
      <div className="tabs" role="tablist" aria-label="Kinds of difference">
        <button type="button" role="tab" aria-selected={kind === null} onClick={() => choose(null)}>All kinds</button>
        {comparison.differences.map((one) => <button key={one.kind} type="button" role="tab" aria-selected={kind === one.kind} onClick={() => choose(one.kind)}>{DIFFERENCE_WORDS[one.kind].title}: {numberWords(one.count)}</button>)}
      </div>
      {kind ? <p className="note">{DIFFERENCE_WORDS[kind].means}</p> : null}
      <DifferencesTable key={kind ?? 'all'} kind={kind} />
    </Section>
  );
}

function Lists({ comparison, mayPlan }: { comparison: ListComparison; mayPlan: boolean }) {
  const columns = useMemo((): Column<ListRow>[] => [
    { key: 'kind', title: 'List', cell: (one) => (one.kind === 'station' ? `Account list of ${one.station ?? 'a station'}` : 'Invoices') },
    { key: 'day', title: 'Speaks for', cell: (one) => dayShort(one.listedOn) },
    { key: 'live', title: 'Live', align: 'end', cell: (one) => numberWords(one.live) },
    { key: 'entries', title: 'Lines', align: 'end', cell: (one) => numberWords(one.entries) },
    { key: 'file', title: 'File', cell: (one) => one.fileName },
  ], []);
  return (
    <Section title="Lists imported">
      {comparison.lists.length === 0
        ? <Empty title="No list was imported yet" action={mayPlan ? <LinkButton to="/import">Import the station's account list</LinkButton> : undefined}>Ask the supervising station for its list of live accounts, and your accounts for the invoices of monitoring. Until then nobody can tell which sites fell off the schedule.</Empty>
        : <Table caption="Lists imported" columns={columns} rows={comparison.lists} rowKey={(one) => one.id} />}
    </Section>
  );
}
