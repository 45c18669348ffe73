import { type BatteryForecastView, routes } from '@bellround/contracts';
import { useState } from 'react';
import { addressOf } from '../../../shared/client.js';
import { dayShort, dayWords, numberWords } from '../../../shared/format.js';
import { temperatureWords } from '../../../shared/locale.js';
import { Button, Empty, Figure, LinkButton, Loaded, Page, Pager, SearchBox, Section, Select, Table } from '../../../shared/ui/index.js';
import { useBatteryForecast } from '../api/batteries.js';
import { ratingWords, shareWords } from './exposure-words.js';
import { phrase } from '../../../shared/language/index.js';

type Rating = BatteryForecastView['ratings'][number];
const SPANS = [3, 6, 12, 24];
const PER_PAGE = 25;

/** How many standby batteries, of which rating, in which month: what to order. */
export function BatteriesScreen() {
  const [months, setMonths] = useState(12);
  const [search, setSearch] = useState('');
  const forecast = useBatteryForecast(months);
  return (
    <Page title={phrase('exposure.battery-forecast')} lead={phrase('exposure.standby-batteries-expected-to-fail-by-month')}
      actions={<><Select label={phrase('exposure.months-ahead')} value={String(months)} onChange={(next) => setMonths(Number(next))} options={SPANS.map((one) => ({ value: String(one), label: phrase('exposure.one-months', { one }) }))} />
        <a className="button" href={addressOf(routes.batteryForecastCsv, { months })} download>{phrase('exposure.export-as-csv')}</a><LinkButton to="/exposure">{phrase('exposure.sites-by-exposure')}</LinkButton></>}>
      <Loaded query={forecast} what={phrase('exposure.the-forecast')}>{(shown) => (shown.inService === 0
        ? <Empty title={phrase('exposure.no-standby-battery-is-recorded')} action={<LinkButton to="/import">{phrase('exposure.import-a-fleet')}</LinkButton>}>{phrase('exposure.batteries-come-with-the-import-of-the')}</Empty>
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
      <Figure look amount={numberWords(order)} name={phrase('exposure.to-order-now')} why={phrase('exposure.failed-ones-and-the-coming-three-months')} />
      <Figure amount={numberWords(failed)} name={phrase('exposure.failed-their-last-check-2')} why={phrase('exposure.still-in-service')} />
      <Figure amount={numberWords(total(shown.ratings), 1)} name={phrase('exposure.expected-to-fail-in-months', { months: phrase('count.month', { n: shown.months.length }) })} why={phrase('exposure.of-inservice-in-service', { inService: numberWords(shown.inService) })} />
      <Figure amount={numberWords(shown.undated)} name={phrase('exposure.without-a-date-of-make')} why={phrase('exposure.averaged-over-the-ages-they-may-have')} />
    </div>
    <Section title={phrase('exposure.what-to-order')}>
      <Table caption={phrase('exposure.batteries-by-rating')} rows={shown.ratings} rowKey={(row) => String(row.ratedMah)} columns={[
        { key: 'rating', title: phrase('exposure.rating'), cell: (row) => ratingWords(row.ratedMah) },
        { key: 'order', title: phrase('exposure.order-now'), align: 'end', sortBy: (row) => row.orderNow, cell: (row) => <strong>{numberWords(row.orderNow)}</strong> },
        { key: 'failed', title: phrase('exposure.failed-their-last-check'), align: 'end', sortBy: (row) => row.failedNow, cell: (row) => numberWords(row.failedNow) },
        { key: 'quarter', title: phrase('exposure.expected-in-three-months'), align: 'end', cell: (row) => numberWords(sumOf(row, 3), 1) },
        { key: 'all', title: phrase('exposure.expected-in-months', { months: phrase('count.month', { n: shown.months.length }) }), align: 'end', sortBy: (row) => sumOf(row, shown.months.length), cell: (row) => numberWords(sumOf(row, shown.months.length), 1) },
        { key: 'service', title: phrase('exposure.in-service'), align: 'end', sortBy: (row) => row.inService, cell: (row) => numberWords(row.inService) },
      ]} />
      <p className="note">{phrase('exposure.order-now-what-failed-and-as-many')}</p>
    </Section>
    <Section title={phrase('exposure.by-month')}>
      <Table caption={phrase('exposure.expected-failures-by-month-and-rating')} rows={shown.months.map((from, at) => ({ from, at }))} rowKey={(row) => row.from} columns={[
        { key: 'month', title: phrase('exposure.month-from'), cell: (row) => dayWords(row.from) },
        ...shown.ratings.map((rating) => ({ key: String(rating.ratedMah), title: ratingWords(rating.ratedMah), align: 'end' as const, cell: (row: { at: number }) => <>{numberWords(rating.expected[row.at]!, 1)} <span className="small quiet">{phrase('exposure.at-most-value', { value: rating.upper[row.at] })}</span></> })),
        { key: 'all', title: phrase('exposure.all'), cell: (row) => <Bar of={shown.ratings.reduce((sum, one) => sum + one.expected[row.at]!, 0)} most={mostOf(shown)} /> },
      ]} />
      <p className="note">{phrase('exposure.at-most-nine-months-of-ten-stay')}</p>
    </Section>
    <Section title={phrase('exposure.which-ones')} actions={<SearchBox label={phrase('exposure.search-batteries')} value={search} onChange={(next) => { setOffset(0); setSearch(next); }} placeholder={phrase('exposure.site-or-label')} />}>
      {found.length === 0 ? <Empty title={phrase('exposure.no-battery-of-the-batteries-likeliest-matches', { batteries: shown.batteries.length, search })} action={<Button onClick={() => setSearch('')}>{phrase('exposure.show-all')}</Button>} /> : (
        <><Table caption={phrase('exposure.the-batteries-likeliest-to-fail-in-months', { months: phrase('count.month', { n: shown.months.length }) })} rows={found.slice(offset, offset + PER_PAGE)} rowKey={(row) => `${row.siteId} ${row.label} ${row.madeOn ?? ''}`} columns={[
          { key: 'site', title: phrase('exposure.site'), sortBy: (row) => row.siteName, cell: (row) => <LinkButton kind="bare" size="small" to={`/sites/${row.siteId}`}>{row.siteName}</LinkButton> },
          { key: 'battery', title: phrase('exposure.battery'), cell: (row) => `${row.label}, ${ratingWords(row.ratedMah)}` },
          { key: 'made', title: phrase('exposure.made'), sortBy: (row) => row.madeOn, cell: (row) => (row.madeOn === null ? phrase('app.cant-tell') : dayShort(row.madeOn)) },
          { key: 'warm', title: phrase('exposure.temperature'), align: 'end', sortBy: (row) => row.temperatureC, cell: (row) => (row.temperatureC === null ? phrase('app.cant-tell') : temperatureWords(row.temperatureC, 0)) },
          { key: 'chance', title: phrase('exposure.chance-to-fail'), align: 'end', sortBy: (row) => row.chance, cell: (row) => (row.failedNow ? phrase('exposure.failed-its-last-check') : shareWords(row.chance)) },
        ]} /><Pager offset={offset} limit={PER_PAGE} total={found.length} onMove={setOffset} what={phrase('exposure.batteries')} /></>)}
      {shown.inService > shown.batteries.length ? <p className="note">{phrase('exposure.the-batteries-likeliest-of-inservice-are-listed', { batteries: shown.batteries.length, inService: numberWords(shown.inService) })}</p> : null}
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
