import { type BatteryForecastView, routes } from '@bellround/contracts';
import { useState } from 'react';
import { addressOf } from '../../../shared/client.js';
import { countWords, dayShort, dayWords, numberWords } from '../../../shared/format.js';
import { temperatureWords } from '../../../shared/locale.js';
import { Button, Empty, Figure, LinkButton, Loaded, Page, Pager, SearchBox, Section, Select, Table } from '../../../shared/ui/index.js';
import { useBatteryForecast } from '../api/batteries.js';
import { ratingWords, shareWords } from './exposure-words.js';

type Rating = BatteryForecastView['ratings'][number];
const SPANS = [3, 6, 12, 24];
const PER_PAGE = 25;

/** How many standby batteries, of which rating, in which month: what to order. */
export function BatteriesScreen() {
  const [months, setMonths] = useState(12);
  const [search, setSearch] = useState('');
  const forecast = useBatteryForecast(months);
  return (
    <Page title="Battery forecast" lead="Standby batteries expected to fail, by month and rating, from their ages, temperatures and what this company’s own batteries did. Age rules of programmes stand beside it and are owed regardless."
      actions={<><Select label="Months ahead" value={String(months)} onChange={(next) => setMonths(Number(next))} options={SPANS.map((one) => ({ value: String(one), label: `${one} months` }))} />
        <a className="button" href={addressOf(routes.batteryForecastCsv, { months })} download>Export as CSV</a><LinkButton to="/exposure">Sites by exposure</LinkButton></>}>
      <Loaded query={forecast} what="the forecast">{(shown) => (shown.inService === 0
        ? <Empty title="No standby battery is recorded" action={<LinkButton to="/import">Import a fleet</LinkButton>}>Batteries come with the import of the fleet, each with its rating and date of make.</Empty>
        : <Forecast shown={shown} search={search} setSearch={setSearch} />)}</Loaded>
    </Page>
  );
}

function Forecast({ shown, search, setSearch }: { shown: BatteryForecastView; search: string; setSearch: (next: string) => void }) {
  const order = shown.ratings.reduce((sum, one) => sum + one.orderNow, 0);
  const failed = shown.ratings.reduce((sum, one) => sum + one.failedNow, 0);
  const [offset, setOffset] = useState(0);
  const found = shown.batteries.filter((row) => `${row.siteName} ${row.label}`.toLowerCase().includes(search.toLowerCase()));
  return (<>
    <div className="grid narrow">
      <Figure look amount={numberWords(order)} name="to order now" why="failed ones, and the coming three months with room to spare" />
      <Figure amount={numberWords(failed)} name="failed their last check" why="still in service" />
      <Figure amount={numberWords(total(shown.ratings), 1)} name={`expected to fail in ${countWords(shown.months.length, 'month')}`} why={`of ${numberWords(shown.inService)} in service`} />
      <Figure amount={numberWords(shown.undated)} name="without a date of make" why="averaged over the ages they may have; a legible date sharpens the forecast" />
    </div>
    <Section title="What to order">
      <Table caption="Batteries by rating" rows={shown.ratings} rowKey={(row) => String(row.ratedMah)} columns={[
        { key: 'rating', title: 'Rating', cell: (row) => ratingWords(row.ratedMah) },
        { key: 'order', title: 'Order now', align: 'end', sortBy: (row) => row.orderNow, cell: (row) => <strong>{numberWords(row.orderNow)}</strong> },
        { key: 'failed', title: 'Failed their last check', align: 'end', sortBy: (row) => row.failedNow, cell: (row) => numberWords(row.failedNow) },
        { key: 'quarter', title: 'Expected in three months', align: 'end', cell: (row) => numberWords(sumOf(row, 3), 1) },
        { key: 'all', title: `Expected in ${countWords(shown.months.length, 'month')}`, align: 'end', sortBy: (row) => sumOf(row, shown.months.length), cell: (row) => numberWords(sumOf(row, shown.months.length), 1) },
        { key: 'service', title: 'In service', align: 'end', sortBy: (row) => row.inService, cell: (row) => numberWords(row.inService) },
      ]} />
      <p className="note">Order now: what failed, and as many as nine of ten coming quarters stay within.</p>
    </Section>
    <Section title="By month">
      <Table caption="Expected failures by month and rating" rows={shown.months.map((from, at) => ({ from, at }))} rowKey={(row) => row.from} columns={[
        { key: 'month', title: 'Month from', cell: (row) => dayWords(row.from) },
        ...shown.ratings.map((rating) => ({ key: String(rating.ratedMah), title: ratingWords(rating.ratedMah), align: 'end' as const, cell: (row: { at: number }) => <>{numberWords(rating.expected[row.at]!, 1)} <span className="small quiet">at most {rating.upper[row.at]}</span></> })),
        { key: 'all', title: 'All', cell: (row) => <Bar of={shown.ratings.reduce((sum, one) => sum + one.expected[row.at]!, 0)} most={mostOf(shown)} /> },
      ]} />
      <p className="note">‘At most’: nine months of ten stay within.</p>
    </Section>
    <Section title="Which ones" actions={<SearchBox label="Search batteries" value={search} onChange={(next) => { setOffset(0); setSearch(next); }} placeholder="Site or label" />}>
      {found.length === 0 ? <Empty title={`No battery of the ${shown.batteries.length} likeliest matches ‘${search}’`} action={<Button onClick={() => setSearch('')}>Show all</Button>} /> : (
        <><Table caption={`The batteries likeliest to fail in ${countWords(shown.months.length, 'month')}`} rows={found.slice(offset, offset + PER_PAGE)} rowKey={(row) => `${row.siteId} ${row.label} ${row.madeOn ?? ''}`} columns={[
          { key: 'site', title: 'Site', sortBy: (row) => row.siteName, cell: (row) => <LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton> },
          { key: 'battery', title: 'Battery', cell: (row) => `${row.label}, ${ratingWords(row.ratedMah)}` },
          { key: 'made', title: 'Made', sortBy: (row) => row.madeOn, cell: (row) => (row.madeOn === null ? 'can’t tell' : dayShort(row.madeOn)) },
          { key: 'warm', title: 'Temperature', align: 'end', sortBy: (row) => row.temperatureC, cell: (row) => (row.temperatureC === null ? 'can’t tell' : temperatureWords(row.temperatureC, 0)) },
          { key: 'chance', title: 'Chance to fail', align: 'end', sortBy: (row) => row.chance, cell: (row) => (row.failedNow ? 'failed its last check' : shareWords(row.chance)) },
        ]} /><Pager offset={offset} limit={PER_PAGE} total={found.length} onMove={setOffset} what="batteries" /></>)}
      {shown.inService > shown.batteries.length ? <p className="note">The {shown.batteries.length} likeliest of {numberWords(shown.inService)} are listed.</p> : null}
    </Section>
  </>);
}

function sumOf(rating: Rating, months: number): number {
  return rating.expected.slice(0, months).reduce((sum, one) => sum + one, 0);
}

function total(ratings: readonly Rating[]): number {
  return ratings.reduce((sum, one) => sum + sumOf(one, one.expected.length), 0);
}

function mostOf(shown: BatteryForecastView): number {
  return Math.max(...shown.months.map((_, at) => shown.ratings.reduce((sum, one) => sum + one.expected[at]!, 0)));
}

/** A count with its length, so that the crowded month is seen without reading. */
function Bar({ of, most }: { of: number; most: number }) {
  return <span className="row"><svg width="80" height="12" aria-hidden="true"><rect width={most > 0 ? (80 * of) / most : 0} height="12" fill="currentColor" /></svg>{numberWords(of, 1)}</span>;
}
