import { DIFFERENCE_KINDS, DIFFERENCE_WORDS, type DifferenceKind, type ListComparison, type ListRow } from '@bellround/contracts';
import { useMemo } from 'react';
import { dayShort, dayWords, numberWords, shareWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, type Column, Empty, Figure, LinkButton, Loaded, Page, ProblemBox, Section, Table, useToast } from '../../../shared/ui/index.js';
import { useCompareLists, useLists } from '../api/lists.js';
import { DifferencesTable } from './differences-table.js';
import { useSearchParams } from 'react-router';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

/** The honest denominator: what the station listens to, beside what is planned and what is paid for. */
export function ListsScreen() {
  const mayPlan = useMay('plan');
  const say = useToast();
  const lists = useLists();
  const compare = useCompareLists(() => say(phrase('fleet.compared')));
  return (
    <Page title={phrase('fleet.three-lists')} lead={phrase('fleet.the-stations-account-list-your-schedule-and')}
      actions={mayPlan ? <><LinkButton to="/import">{phrase('fleet.import-a-list')}</LinkButton><Button busy={compare.isPending ? phrase('fleet.comparing') : false} onClick={() => compare.mutate({})}>{phrase('fleet.compare-again')}</Button></> : undefined}>
      {compare.error ? <ProblemBox problem={compare.error} /> : null}
      <Loaded query={lists} what={phrase('fleet.the-lists')}>{(comparison) => (
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
  const unknown = (count: number | null) => (count === null ? phrase('app.cant-tell') : numberWords(count));
  return (
    <Section title={phrase('fleet.on-asof', { asOf: dayWords(asOf) })}>
      <div className="grid narrow">
        <Figure amount={unknown(counts.station)} name={phrase('fleet.listened-to')} why={counts.station === null ? phrase('fleet.no-station-list-was-imported') : phrase('fleet.live-accounts-by-the-station-what-every')} look />
        <Figure amount={numberWords(counts.schedule)} name={phrase('fleet.on-your-schedule')} why={counts.withoutDuties > 0 ? phrase('fleet.withoutduties-of-them-owe-no-duty-apply', { withoutDuties: numberWords(counts.withoutDuties) }) : phrase('fleet.each-owes-at-least-one-duty')} />
        <Figure amount={unknown(counts.invoices)} name={phrase('fleet.invoiced')} why={counts.invoices === null ? phrase('fleet.no-invoice-list-was-imported') : undefined} />
        <Figure amount={unknown(counts.bothListed)} name={phrase('fleet.on-both-station-and-schedule')} why={counts.bothListed === null || counts.station === null ? undefined : phrase('fleet.bothlisted-of-what-is-listened-to-the', { bothListed: shareWords(counts.bothListed, counts.station) })} />
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
    <Section title={phrase('fleet.where-they-disagree')}>
      <div className="tabs" role="tablist" aria-label={phrase('fleet.kinds-of-difference')}>
        <button type="button" role="tab" aria-selected={kind === null} onClick={() => choose(null)}>{phrase('fleet.all-kinds')}</button>
        {comparison.differences.map((one) => <button key={one.kind} type="button" role="tab" aria-selected={kind === one.kind} onClick={() => choose(one.kind)}>{said(DIFFERENCE_WORDS[one.kind].title)}: {numberWords(one.count)}</button>)}
      </div>
      {kind ? <p className="note">{said(DIFFERENCE_WORDS[kind].means)}</p> : null}
      <DifferencesTable key={kind ?? 'all'} kind={kind} />
    </Section>
  );
}

function Lists({ comparison, mayPlan }: { comparison: ListComparison; mayPlan: boolean }) {
  const columns = useMemo((): Column<ListRow>[] => [
    { key: 'kind', title: phrase('fleet.list'), cell: (one) => (one.kind === 'station' ? phrase('fleet.account-list-of-value', { value: one.station ?? phrase('fleet.a-station') }) : phrase('fleet.invoices')) },
    { key: 'day', title: phrase('fleet.speaks-for'), cell: (one) => dayShort(one.listedOn) },
    { key: 'live', title: phrase('fleet.live'), align: 'end', cell: (one) => numberWords(one.live) },
    { key: 'entries', title: phrase('fleet.lines'), align: 'end', cell: (one) => numberWords(one.entries) },
    { key: 'file', title: phrase('fleet.file'), cell: (one) => one.fileName },
  ], []);
  return (
    <Section title={phrase('fleet.lists-imported')}>
      {comparison.lists.length === 0
        ? <Empty title={phrase('fleet.no-list-was-imported-yet')} action={mayPlan ? <LinkButton to="/import">{phrase('fleet.import-the-stations-account-list')}</LinkButton> : undefined}>{phrase('fleet.ask-the-supervising-station-for-its-list')}</Empty>
        : <Table caption={phrase('fleet.lists-imported')} columns={columns} rows={comparison.lists} rowKey={(one) => one.id} />}
    </Section>
  );
}
