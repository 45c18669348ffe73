import type { CatchUpShown } from '@bellround/contracts';
import { useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { dayShort, dayWords, minutesWords, numberWords } from '../../../shared/format.js';
import { Empty, Facts, LinkButton, Loaded, Mark, NumberField, Page, SearchBox, Section, Table } from '../../../shared/ui/index.js';
import { useCatchUp } from '../api/duties.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

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
    <Page title={phrase('programmes.catch-up')} lead={phrase('programmes.sites-of-which-nothing-is-known-stay')} actions={<>
      <NumberField label={phrase('programmes.given-to-it-each-week')} unit={phrase('programmes.hours')} min={0.25} max={1000} step={4} value={hours} onChange={write} />
      <SearchBox label={phrase('programmes.search-sites')} value={search} onChange={setSearch} placeholder={phrase('programmes.site-or-client')} /></>}>
      <Loaded query={plan} what={phrase('programmes.the-catch-up')}>{(shown) => <Plan shown={shown} search={search.toLowerCase()} />}</Loaded>
    </Page>
  );
}

function Plan({ shown, search }: { shown: CatchUpShown; search: string }) {
  const weeks = shown.weeks.map((week) => ({ ...week, visits: week.visits.filter((visit) => `${visit.siteName} ${visit.clientName}`.toLowerCase().includes(search)) })).filter((week) => week.visits.length > 0);
  return (
    <>
      {shown.withoutProgramme > 0 ? <p className="note">{phrase('programmes.withoutprogramme-without-a-programme-value-in-no', { withoutProgramme: phrase('count.site', { n: shown.withoutProgramme }), value: shown.withoutProgramme === 1 ? phrase('programmes.is') : phrase('programmes.are') })} <Link to="/programmes">{phrase('programmes.lay-one-first')}</Link>.</p> : null}
      {shown.sites === 0 ? <Empty title={phrase('programmes.nothing-is-left-to-catch-up')}>{phrase('programmes.every-duty-of-a-technician-has-a')}</Empty> : <>
        <p className="row"><Mark shape="whole" tone="good">{phrase('programmes.ends-value', { value: shown.endsOn ? dayWords(shown.endsOn) : phrase('programmes.nowhere') })}</Mark>{shown.lapseBefore > 0 ? <Mark shape="beyond" tone="bad">{phrase('programmes.lapsebefore-lapse-before-their-week', { lapseBefore: phrase('count.site', { n: shown.lapseBefore }) })}</Mark> : null}</p>
        <Facts of={[
          [phrase('programmes.sites-2'), phrase('programmes.sites-minutes-on-site', { sites: shown.sites, minutes: minutesWords(shown.minutes) })], [phrase('programmes.first-week'), dayWords(shown.firstWeek)],
          [phrase('programmes.least-that-could-save-all'), shown.atLeastMinutes === null ? phrase('programmes.none-one-has-lapsed-already') : phrase('programmes.minutes-a-week', { minutes: minutesWords(shown.atLeastMinutes) })],
          [phrase('programmes.longer-than-a-whole-week'), shown.tooLong.length === 0 ? phrase('app.none') : shown.tooLong.map((site) => `${site.siteName} (${minutesWords(site.minutes)})`).join(', ')], ...(shown.beyond > 0 ? [[phrase('programmes.not-in-this-plan'), phrase('count.site', { n: shown.beyond })] as const] : []),
        ]} />
        {weeks.length === 0 ? <Empty title={phrase('programmes.no-site-matches')} /> : weeks.map((week) => (
          <Section key={week.weekStart} title={phrase('programmes.week-of-weekstart-minutes', { weekStart: dayWords(week.weekStart), minutes: minutesWords(week.minutes) })} actions={<LinkButton size="small" to={`/week?from=${week.weekStart}`}>{phrase('programmes.open-the-week')}</LinkButton>}>
            <Table caption={phrase('programmes.sites-of-the-week-of-weekstart', { weekStart: dayShort(week.weekStart) })} rows={week.visits} rowKey={(row) => row.siteId} columns={[
              { key: 'site', title: phrase('programmes.site'), cell: (row) => <>{row.place}. <Link to={`/sites/${row.siteId}`}><strong>{row.siteName}</strong></Link><br /><span className="small quiet">{row.clientName}{row.takenOverOn ? phrase('programmes.taken-over-takenoveron', { takenOverOn: dayShort(row.takenOverOn) }) : ''}</span></> },
              { key: 'risk', title: phrase('programmes.risk'), cell: (row) => (row.score === null ? <Mark shape="hatched" tone="unsure">{phrase('programmes.cant-tell-first')}</Mark> : <>{numberWords(row.score, 1)}{row.reasons[0] ? <><br /><span className="small quiet">{said(row.reasons[0])}</span></> : null}</>) },
              { key: 'duties', title: phrase('programmes.unproven'), align: 'end', cell: (row) => phrase('programmes.duties-mandated-mandated', { duties: phrase('count.duty', { n: row.duties }), mandated: row.mandated }) },
              { key: 'minutes', title: phrase('programmes.on-site'), align: 'end', cell: (row) => minutesWords(row.minutes) },
              { key: 'lapses', title: phrase('programmes.lapses'), cell: (row) => (row.lapses === null ? phrase('programmes.no-day-set') : row.lapsesBefore ? <Mark shape="beyond" tone="bad">{phrase('programmes.lapses-before-its-week', { lapses: dayShort(row.lapses) })}</Mark> : dayShort(row.lapses)) },
            ]} />
          </Section>
        ))}
      </>}
    </>
  );
}
