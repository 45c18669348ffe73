import { routes, type TogetherShown, type TogetherVisitShown } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { addressOf } from '../../../shared/client.js';
import { dayShort, dayWords, minutesWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, CautionBox, Dialog, Empty, Facts, Form, Loaded, Mark, Section, Select, Table, TextField, useToast } from '../../../shared/ui/index.js';
import { useChooseSiteHolidays, useTogether } from '../api/duties.js';
import { TogetherStrip } from './together-strip.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

const AHEAD = ['0', '60', '120', '240', '365'] as const;

/** What can be done together at a site: the fewest visits, the rule that limits each, and why not fewer. */
export function TogetherSection({ siteId, asOf }: { siteId: string; asOf: string | null }) {
  const [ahead, setAhead] = useState('120');
  const together = useTogether({ siteId, aheadDays: Number(ahead), ...(asOf ? { asOf } : {}) });
  return (
    <Section title={phrase('programmes.do-together')} actions={<>
      <Select label={phrase('programmes.windows-that-open-within')} value={ahead} onChange={setAhead} options={AHEAD.map((days) => ({ value: days, label: days === '0' ? phrase('programmes.open-now') : phrase('programmes.days-days', { days }) }))} />
      <a className="button small" href={addressOf(routes.dutiesCalendar, { siteId })} download>{phrase('programmes.duties-as-calendar-file')}</a></>}>
      <Loaded query={together} what={phrase('programmes.what-can-be-done-together')}>{(shown) => <Together shown={shown} />}</Loaded>
    </Section>
  );
}

function Together({ shown }: { shown: TogetherShown }) {
  const [choosing, setChoosing] = useState(false);
  const may = useMay('plan');
  const left = [[shown.leftOut.later, phrase('programmes.opens-later')], [shown.leftOut.remotely, phrase('programmes.can-be-met-from-the-stations-history')], [shown.leftOut.occupant, phrase('programmes.is-done-by-the-occupant')]] as const;
  return (
    <div className="stack">
      {shown.suspended ? <p className="note"><Mark shape="line">{phrase('programmes.suspended')}</Mark> {shown.suspended}</p> : null}
      {shown.windows.length === 0 && !shown.suspended ? <Empty title={phrase('programmes.no-duty-of-a-technician-is-open')}>{phrase('programmes.choose-more-days-ahead-to-see-what')}</Empty> : null}
      {shown.windows.length > 0 ? <>
        <p className="row">{shown.visits.length > 0 ? <Mark shape={shown.visits.length === 1 ? 'whole' : 'half'} tone={shown.visits.length === 1 ? 'good' : 'warn'}>{shown.visits.length === 1 ? phrase('programmes.one-visit-meets-all-that-can-be') : phrase('programmes.visits-are-needed', { visits: phrase('count.visit', { n: shown.visits.length }) })}</Mark> : null}
          {shown.cannotBeMet.length > 0 ? <Mark shape="fallen" tone="bad">{phrase('programmes.cannotbemet-without-a-usable-day', { cannotBeMet: phrase('count.window', { n: shown.cannotBeMet.length }) })}</Mark> : null}</p>
        <TogetherStrip shown={shown} />
        {shown.visits.map((visit, at) => <Visit key={visit.names.join()} visit={visit} n={at + 1} />)}
        {shown.split ? <p className="note">{phrase('programmes.or-in-two-parts-the-silent-part', { day: dayWords(shown.split.silent.days[0]!), days: phrase('count.day', { n: shown.split.silent.days.length }), run: run(shown.split.sounding.days) })}</p> : null}
        {shown.apart ? <div className="note">{phrase('programmes.one-visit-is-impossible')} <strong>{[shown.apart.first, shown.apart.second, ...shown.apart.further].join(' · ')}</strong>: {phrase('programmes.why-what-can-be-done', { why: said(shown.apart.why) })}<ul>{shown.apart.waysOut.map((way) => <li key={way}>{said(way)}</li>)}</ul></div> : null}
        {shown.cannotBeMet.map((one) => <div key={one.name} className="note"><strong>{one.name}</strong>{phrase('programmes.why-what-can-be-done', { why: said(one.why) })}<ul>{one.waysOut.map((way) => <li key={way}>{said(way)}</li>)}</ul></div>)}
        <details><summary>{phrase('programmes.every-window-in-words')}</summary><Windows shown={shown} /></details>
        <CautionBox title={phrase('programmes.before-you-rely-on-it')}>{shown.caution}</CautionBox>
      </> : null}
      <p className="small quiet">{phrase('programmes.left-out-value', { value: left.filter(([count]) => count > 0).map(([count, words]) => phrase('programmes.duties-that-words', { duties: phrase('count.duty', { n: count }), words })).join('; ') || phrase('programmes.nothing') })}</p>
      <Facts of={[[phrase('programmes.work-may-be-done'), shown.access.hours], [phrase('programmes.sounders-may-sound'), shown.access.noise ?? phrase('programmes.whenever-access-is-given')],
        [phrase('programmes.public-holidays'), <span key="holidays" className="row">{shown.access.holidays}{shown.access.ownRegion ? phrase('programmes.chosen-for-this-site') : phrase('programmes.as-the-company')}{may ? <Button size="small" kind="bare" onClick={() => setChoosing(true)}>{phrase('programmes.choose-others')}</Button> : null} <Link to="/closed-days">{phrase('programmes.closed-days-of-all-sites')}</Link></span>]]} />
      {choosing ? <HolidaysDialog shown={shown} onClose={() => setChoosing(false)} /> : null}
    </div>
  );
}

function run(days: readonly string[]): string {
  return days.length === 1 ? phrase('programmes.on-day', { day: dayWords(days[0]!) }) : phrase('programmes.day-to-day2-days', { day: dayWords(days[0]!), day2: dayWords(days.at(-1)!), days: phrase('count.day', { n: days.length }) });
}

/** The limiting rule first, then what else stands in the way. */
function edge({ rule, because }: TogetherVisitShown['notBefore']): string {
  const rest = because.filter((one) => one !== rule);
  return rest.length === 0 ? rule : phrase('programmes.rule-on-the-way-join', { rule, join: rest.join(', ') });
}

function Visit({ visit, n }: { visit: TogetherVisitShown; n: number }) {
  return (
    <div className="leaf stack">
      <p><strong>{phrase('programmes.visit-count-best-best', { count: n, best: dayWords(visit.best) })}</strong>{phrase('programmes.about-minutes', { minutes: minutesWords(visit.minutes) })}</p>
      <Facts of={[
        [phrase('programmes.meets'), visit.names.length === 1 ? visit.names[0] : <ul key="meets">{visit.names.map((name) => <li key={name}>{name}</li>)}</ul>],
        [phrase('programmes.days-2'), run(visit.days)], [phrase('programmes.not-earlier-because'), edge(visit.notBefore)], [phrase('programmes.not-later-because'), edge(visit.notAfter)],
        [phrase('programmes.days-given-away'), visit.givenAway.length === 0 ? phrase('app.none') : <ul key="given">{visit.givenAway.map((one) => <li key={one.name}>{phrase('programmes.days-of-name-cadence', { days: phrase('count.day', { n: one.days }), name: one.name, cadence: one.cadence })}</li>)}</ul>],
      ]} />
    </div>
  );
}

function Windows({ shown }: { shown: TogetherShown }) {
  return (
    <Table caption={phrase('programmes.windows-looked-at')} rows={shown.windows} rowKey={(row) => row.name} columns={[
      { key: 'name', title: phrase('programmes.duties'), cell: (row) => <>{row.duties.length === 1 ? <Link to={`/duties/${row.duties[0]!.id}`}><strong>{row.name}</strong></Link> : <strong>{row.name}</strong>}<br /><span className="small quiet">{row.regime}</span>
        {row.duties.length > 1 ? <details><summary className="small">{phrase('count.duty', { n: row.duties.length })}</summary><ul>{row.duties.map((duty) => <li key={duty.id}><Link to={`/duties/${duty.id}`}>{duty.title}: {duty.subject}</Link></li>)}</ul></details> : null}</> },
      { key: 'window', title: phrase('programmes.window-from-today'), cell: (row) => phrase('programmes.opens-to-lapses-value', { opens: dayShort(row.opens), lapses: dayShort(row.lapses), value: row.overdue ? phrase('programmes.overdue-as-soon-as-possible') : phrase('programmes.due-due', { due: dayShort(row.due) }) }) },
      { key: 'kind', title: phrase('programmes.how'), cell: (row) => `${row.sounds ? phrase('programmes.sounders-work') : phrase('programmes.silent')}; ${row.rolling ? phrase('programmes.counts-from-the-last-proof') : phrase('programmes.set-by-the-calendar')}` },
      { key: 'why', title: phrase('programmes.why'), cell: (row) => said(row.duties[0]!.why) },
    ]} />
  );
}

function HolidaysDialog({ shown, onClose }: { shown: TogetherShown; onClose: () => void }) {
  const say = useToast();
  const [region, setRegion] = useState(shown.access.ownRegion ?? '');
  const choose = useChooseSiteHolidays(() => { say(phrase('programmes.chosen-due-days-follow')); onClose(); });
  return (
    <Dialog title={phrase('programmes.public-holidays-of-sitename', { siteName: shown.siteName })} onClose={onClose}>
      <Form problem={choose.error} onSubmit={() => choose.mutate({ siteId: shown.siteId, region: region.trim() || null })}>
        <TextField label={phrase('programmes.country-or-region')} name="region" value={region} onChange={setRegion} help={phrase('programmes.iso-3166-code-such-as-es-or')} />
        <div className="row"><Button kind="do" type="submit" busy={choose.isPending ? phrase('programmes.choosing') : false}>{phrase('programmes.choose-for-this-site')}</Button><Button onClick={onClose}>{phrase('programmes.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}
