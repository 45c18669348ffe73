import type { PublicationRow } from '@bellround/contracts';
import { useSearchParams } from 'react-router';
import { clockWords, dayWords, momentWords, plusDays, todayIn } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, LinkButton, Loaded, Page, Section, Table } from '../../../shared/ui/index.js';
import { usePublications } from '../api/plans.js';
import { useWeek } from '../api/week.js';
import { ChangesTable } from './answer-view.js';
import { mondayOf } from './week-screen.js';
import { phrase } from '../../../shared/language/index.js';

/** What was published for a week, when and by whom, as it stood then. A record: later plans do not touch it. */
export function RecordScreen() {
  const [params, setParams] = useSearchParams();
  const zone = useMe().company.timeZone;
  const weekStart = params.get('from') ?? mondayOf(todayIn(zone));
  const rows = usePublications(weekStart);
  const week = useWeek(weekStart, null);
  const names = new Map(week.data?.technicians.map((one) => [one.id, one.name]));
  const sites = new Map(week.data?.visits.map((visit) => [visit.id, visit.siteName]));
  const go = (day: string) => setParams({ from: day }, { replace: true });
  return (
    <Page title={phrase('planning.what-was-published')} lead={phrase('planning.week-of-weekstart', { weekStart: dayWords(weekStart) })} actions={<><Button size="small" onClick={() => go(plusDays(weekStart, -7))}>{phrase('planning.week-before')}</Button><Button size="small" onClick={() => go(plusDays(weekStart, 7))}>{phrase('planning.week-after')}</Button><LinkButton size="small" to={`/week?from=${weekStart}`}>{phrase('planning.back-to-the-week')}</LinkButton></>}>
      <Loaded query={rows} what={phrase('planning.the-record')}>{({ rows: published }) => (published.length === 0 ? <Empty title={phrase('planning.nothing-was-published-for-this-week')} action={<LinkButton to={`/week?from=${weekStart}`}>{phrase('planning.go-to-the-week')}</LinkButton>} />
        : published.map((row, index) => (
          <Section key={row.id} title={phrase('planning.at-by-byname-value', { at: momentWords(row.at, zone), byName: row.byName, value: index === 0 ? phrase('planning.in-force') : '' })}>
            <p>{phrase('planning.placed-on-rounds-leftout-left-out-value', { placed: phrase('count.visit', { n: row.placed }), leftOut: row.leftOut, value: index === published.length - 1 ? phrase('planning.the-first-of-this-week') : phrase('planning.changes-against-the-plan-before', { changes: phrase('count.change', { n: row.changes.length }) }) })}</p>
            <details><summary>{phrase('planning.what-changed')}</summary><ChangesTable changes={row.changes} caption={phrase('planning.changes-of-this-publication')} /></details>
            <details><summary>{phrase('planning.the-rounds-as-published')}</summary><Rounds row={row} names={names} sites={sites} /></details>
          </Section>)))}</Loaded>
    </Page>
  );
}

function Rounds({ row, names, sites }: { row: PublicationRow; names: ReadonlyMap<string, string>; sites: ReadonlyMap<string, string> }) {
  const lines = row.rounds.toSorted((a, b) => a.day.localeCompare(b.day)).flatMap((round) => round.stops.map((stop) => ({ key: `${round.technicianId} ${round.day} ${stop.visitId}`, day: round.day, who: names.get(round.technicianId) ?? phrase('planning.somebody-who-left'), site: sites.get(stop.visitId) ?? phrase('planning.a-visit-that-is-over'), startMin: stop.startMin, endMin: stop.endMin })));
  return <Table caption={phrase('planning.rounds-as-published')} rows={lines} rowKey={(line) => line.key} columns={[
    { key: 'site', title: phrase('planning.site'), sortBy: (line) => line.site, cell: (line) => line.site }, { key: 'day', title: phrase('planning.day'), sortBy: (line) => line.day, cell: (line) => dayWords(line.day) }, { key: 'who', title: phrase('planning.technician'), sortBy: (line) => line.who, cell: (line) => line.who }, { key: 'time', title: phrase('planning.time'), cell: (line) => phrase('planning.startmin-to-endmin', { startMin: clockWords(line.startMin), endMin: clockWords(line.endMin) }) },
  ]} />;
}
