import type { PublicationRow } from '@bellround/contracts';
import { useSearchParams } from 'react-router';
import { clockWords, countWords, dayWords, momentWords, plusDays, todayIn } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, LinkButton, Loaded, Page, Section, Table } from '../../../shared/ui/index.js';
import { usePublications } from '../api/plans.js';
import { useWeek } from '../api/week.js';
import { ChangesTable } from './answer-view.js';
import { mondayOf } from './week-screen.js';

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
    <Page title="What was published" lead={`Week of ${dayWords(weekStart)}`} actions={<><Button size="small" onClick={() => go(plusDays(weekStart, -7))}>Week before</Button><Button size="small" onClick={() => go(plusDays(weekStart, 7))}>Week after</Button><LinkButton size="small" to={`/week?from=${weekStart}`}>Back to the week</LinkButton></>}>
      <Loaded query={rows} what="the record">{({ rows: published }) => (published.length === 0 ? <Empty title="Nothing was published for this week" action={<LinkButton to={`/week?from=${weekStart}`}>Go to the week</LinkButton>} />
        : published.map((row, index) => (
          <Section key={row.id} title={`${momentWords(row.at, zone)}, by ${row.byName}${index === 0 ? ' (in force)' : ''}`}>
            <p>{countWords(row.placed, 'visit')} on rounds, {row.leftOut} left out; {index === published.length - 1 ? 'the first of this week.' : `${countWords(row.changes.length, 'change')} against the plan before.`}</p>
            <details><summary>What changed</summary><ChangesTable changes={row.changes} caption="Changes of this publication" /></details>
            <details><summary>The rounds as published</summary><Rounds row={row} names={names} sites={sites} /></details>
          </Section>)))}</Loaded>
    </Page>
  );
}

function Rounds({ row, names, sites }: { row: PublicationRow; names: ReadonlyMap<string, string>; sites: ReadonlyMap<string, string> }) {
  const lines = row.rounds.toSorted((a, b) => a.day.localeCompare(b.day)).flatMap((round) => round.stops.map((stop) => ({ key: `${round.technicianId} ${round.day} ${stop.visitId}`, day: round.day, who: names.get(round.technicianId) ?? 'somebody who left', site: sites.get(stop.visitId) ?? 'a visit that is over', startMin: stop.startMin, endMin: stop.endMin })));
  return <Table caption="Rounds as published" rows={lines} rowKey={(line) => line.key} columns={[
    { key: 'site', title: 'Site', sortBy: (line) => line.site, cell: (line) => line.site }, { key: 'day', title: 'Day', sortBy: (line) => line.day, cell: (line) => dayWords(line.day) }, { key: 'who', title: 'Technician', sortBy: (line) => line.who, cell: (line) => line.who }, { key: 'time', title: 'Time', cell: (line) => `${clockWords(line.startMin)} to ${clockWords(line.endMin)}` },
  ]} />;
}
