import type { CatchUpShown } from '@bellround/contracts';
import { useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { countWords, dayShort, dayWords, minutesWords, numberWords } from '../../../shared/format.js';
import { Empty, Facts, LinkButton, Loaded, Mark, NumberField, Page, SearchBox, Section, Table } from '../../../shared/ui/index.js';
import { useCatchUp } from '../api/duties.js';

const USUAL_HOURS = 20;

/** Sites taken over unproven: by risk, under what is given to it each week, with the week it ends. */
export function CatchUpScreen() {
  const [params, setParams] = useSearchParams();
  const given = Number(params.get('hours'));
  const [hours, setHours] = useState<number | null>(given > 0 ? given : USUAL_HOURS);
  const [search, setSearch] = useState('');
  const usable = hours !== null && hours >= 0.25 && hours <= 1000 ? hours : USUAL_HOURS;
  const plan = useCatchUp({ weeklyMinutes: Math.round(usable * 60) });
  const write = (next: number | null) => { setHours(next); if (next !== null) setParams({ hours: String(next) }, { replace: true }); };
  return (
    <Page title="Catch-up" lead="Sites of which nothing is known stay can’t tell until somebody has been there." actions={<>
      <NumberField label="Given to it each week" unit="hours" min={0.25} max={1000} step={4} value={hours} onChange={write} />
      <SearchBox label="Search sites" value={search} onChange={setSearch} placeholder="Site or client" /></>}>
      <Loaded query={plan} what="the catch-up">{(shown) => <Plan shown={shown} search={search.toLowerCase()} />}</Loaded>
    </Page>
  );
}

function Plan({ shown, search }: { shown: CatchUpShown; search: string }) {
  const weeks = shown.weeks.map((week) => ({ ...week, visits: week.visits.filter((visit) => `${visit.siteName} ${visit.clientName}`.toLowerCase().includes(search)) })).filter((week) => week.visits.length > 0);
  return (
    <>
      {shown.withoutProgramme > 0 ? <p className="note">{countWords(shown.withoutProgramme, 'site')} without a programme {shown.withoutProgramme === 1 ? 'is' : 'are'} in no plan: <Link to="/programmes">lay one first</Link>.</p> : null}
      {shown.sites === 0 ? <Empty title="Nothing is left to catch up">Every duty of a technician has a known proof or a known standing.</Empty> : <>
        <p className="row"><Mark shape="whole" tone="good">ends {shown.endsOn ? dayWords(shown.endsOn) : 'nowhere'}</Mark>{shown.lapseBefore > 0 ? <Mark shape="beyond" tone="bad">{countWords(shown.lapseBefore, 'site')} lapse before their week</Mark> : null}</p>
        <Facts of={[
          ['Sites', `${shown.sites}, ${minutesWords(shown.minutes)} on site`], ['First week', dayWords(shown.firstWeek)],
          ['Least that could save all', shown.atLeastMinutes === null ? 'none: one has lapsed already' : `${minutesWords(shown.atLeastMinutes)} a week`],
          ['Longer than a whole week', shown.tooLong.length === 0 ? 'none' : shown.tooLong.map((site) => `${site.siteName} (${minutesWords(site.minutes)})`).join(', ')], ...(shown.beyond > 0 ? [['Not in this plan', countWords(shown.beyond, 'site')] as const] : []),
        ]} />
        {weeks.length === 0 ? <Empty title="No site matches" /> : weeks.map((week) => (
          <Section key={week.weekStart} title={`Week of ${dayWords(week.weekStart)}: ${minutesWords(week.minutes)}`} actions={<LinkButton size="small" to={`/week?from=${week.weekStart}`}>Open the week</LinkButton>}>
            <Table caption={`Sites of the week of ${dayShort(week.weekStart)}`} rows={week.visits} rowKey={(row) => row.siteId} columns={[
              { key: 'site', title: 'Site', cell: (row) => <>{row.place}. <Link to={`/sites/${row.siteId}`}><strong>{row.siteName}</strong></Link><br /><span className="small quiet">{row.clientName}{row.takenOverOn ? `; taken over ${dayShort(row.takenOverOn)}` : ''}</span></> },
              { key: 'risk', title: 'Risk', cell: (row) => (row.score === null ? <Mark shape="hatched" tone="unsure">can’t tell: first</Mark> : <>{numberWords(row.score, 1)}{row.reasons[0] ? <><br /><span className="small quiet">{row.reasons[0]}</span></> : null}</>) },
              { key: 'duties', title: 'Unproven', align: 'end', cell: (row) => `${countWords(row.duties, 'duty', 'duties')}, ${row.mandated} mandated` },
              { key: 'minutes', title: 'On site', align: 'end', cell: (row) => minutesWords(row.minutes) },
              { key: 'lapses', title: 'Lapses', cell: (row) => (row.lapses === null ? 'no day set' : row.lapsesBefore ? <Mark shape="beyond" tone="bad">{dayShort(row.lapses)}, before its week</Mark> : dayShort(row.lapses)) },
            ]} />
          </Section>
        ))}
      </>}
    </>
  );
}
