import { routes, type TogetherShown, type TogetherVisitShown } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { addressOf } from '../../../shared/client.js';
import { countWords, dayShort, dayWords, minutesWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, CautionBox, Dialog, Empty, Facts, Form, Loaded, Mark, Section, Select, Table, TextField, useToast } from '../../../shared/ui/index.js';
import { useChooseSiteHolidays, useTogether } from '../api/duties.js';
import { TogetherStrip } from './together-strip.js';

const AHEAD = ['0', '60', '120', '240', '365'] as const;

/** What can be done together at a site: the fewest visits, the rule that limits each, and why not fewer. */
export function TogetherSection({ siteId, asOf }: { siteId: string; asOf: string | null }) {
  const [ahead, setAhead] = useState('120');
  const together = useTogether({ siteId, aheadDays: Number(ahead), ...(asOf ? { asOf } : {}) });
  return (
    <Section title="Do together" actions={<>
      <Select label="Windows that open within" value={ahead} onChange={setAhead} options={AHEAD.map((days) => ({ value: days, label: days === '0' ? 'open now' : `${days} days` }))} />
      <a className="button small" href={addressOf(routes.dutiesCalendar, { siteId })} download>Duties as calendar file</a></>}>
      <Loaded query={together} what="what can be done together">{(shown) => <Together shown={shown} />}</Loaded>
    </Section>
  );
}

function Together({ shown }: { shown: TogetherShown }) {
  const [choosing, setChoosing] = useState(false);
  const may = useMay('plan');
  const left = [[shown.leftOut.later, 'opens later'], [shown.leftOut.remotely, 'can be met from the station’s history'], [shown.leftOut.occupant, 'is done by the occupant']] as const;
  return (
    <div className="stack">
      {shown.suspended ? <p className="note"><Mark shape="line">suspended</Mark> {shown.suspended}</p> : null}
      {shown.windows.length === 0 && !shown.suspended ? <Empty title="No duty of a technician is open">Choose more days ahead to see what comes.</Empty> : null}
      {shown.windows.length > 0 ? <>
        <p className="row">{shown.visits.length > 0 ? <Mark shape={shown.visits.length === 1 ? 'whole' : 'half'} tone={shown.visits.length === 1 ? 'good' : 'warn'}>{shown.visits.length === 1 ? 'one visit meets all that can be met' : `${countWords(shown.visits.length, 'visit')} are needed`}</Mark> : null}
          {shown.cannotBeMet.length > 0 ? <Mark shape="fallen" tone="bad">{countWords(shown.cannotBeMet.length, 'window')} without a usable day</Mark> : null}</p>
        <TogetherStrip shown={shown} />
        {shown.visits.map((visit, at) => <Visit key={visit.names.join()} visit={visit} n={at + 1} />)}
        {shown.split ? <p className="note">Or in two parts: the silent part from {dayWords(shown.split.silent.days[0]!)} ({countWords(shown.split.silent.days.length, 'day')}), the sounding part {run(shown.split.sounding.days)}.</p> : null}
        {shown.apart ? <p className="note">One visit is impossible: <strong>{shown.apart.first}</strong> and <strong>{shown.apart.second}</strong>: {shown.apart.why}.</p> : null}
        {shown.visits.length > 1 && !shown.apart ? <p className="note">Each two of these windows share a day, all of them share none.</p> : null}
        {shown.cannotBeMet.map((one) => <div key={one.name} className="note"><strong>{one.name}</strong>: {one.why}. What can be done:<ul>{one.waysOut.map((way) => <li key={way}>{way}</li>)}</ul></div>)}
        <details><summary>Every window in words</summary><Windows shown={shown} /></details>
        <CautionBox title="Before you rely on it">{shown.caution}</CautionBox>
      </> : null}
      <p className="small quiet">Left out: {left.filter(([count]) => count > 0).map(([count, words]) => `${countWords(count, 'duty', 'duties')} that ${words}`).join('; ') || 'nothing'}.</p>
      <Facts of={[['Work may be done', shown.access.hours], ['Sounders may sound', shown.access.noise ?? 'whenever access is given'],
        ['Public holidays', <span key="holidays" className="row">{shown.access.holidays}{shown.access.ownRegion ? ' (chosen for this site)' : ' (as the company)'}{may ? <Button size="small" kind="bare" onClick={() => setChoosing(true)}>Choose others</Button> : null} <Link to="/closed-days">Closed days of all sites</Link></span>]]} />
      {choosing ? <HolidaysDialog shown={shown} onClose={() => setChoosing(false)} /> : null}
    </div>
  );
}

function run(days: readonly string[]): string {
  return days.length === 1 ? `on ${dayWords(days[0]!)}` : `${dayWords(days[0]!)} to ${dayWords(days.at(-1)!)} (${countWords(days.length, 'day')})`;
}

/** The limiting rule first, then what else stands in the way. */
function edge({ rule, because }: TogetherVisitShown['notBefore']): string {
  const rest = because.filter((one) => one !== rule);
  return rest.length === 0 ? rule : `${rule} (on the way: ${rest.join(', ')})`;
}

function Visit({ visit, n }: { visit: TogetherVisitShown; n: number }) {
  return (
    <div className="leaf stack">
      <p><strong>Visit {n}: best {dayWords(visit.best)}</strong>, about {minutesWords(visit.minutes)}</p>
      <Facts of={[
        ['Meets', visit.names.length === 1 ? visit.names[0] : <ul key="meets">{visit.names.map((name) => <li key={name}>{name}</li>)}</ul>],
        ['Days', run(visit.days)], ['Not earlier, because', edge(visit.notBefore)], ['Not later, because', edge(visit.notAfter)],
        ['Days given away', visit.givenAway.length === 0 ? 'none' : <ul key="given">{visit.givenAway.map((one) => <li key={one.name}>{countWords(one.days, 'day')} of {one.name} ({one.cadence})</li>)}</ul>],
      ]} />
    </div>
  );
}

function Windows({ shown }: { shown: TogetherShown }) {
  return (
    <Table caption="Windows looked at" rows={shown.windows} rowKey={(row) => row.name} columns={[
      { key: 'name', title: 'Duties', cell: (row) => <>{row.duties.length === 1 ? <Link to={`/duties/${row.duties[0]!.id}`}><strong>{row.name}</strong></Link> : <strong>{row.name}</strong>}<br /><span className="small quiet">{row.regime}</span>
        {row.duties.length > 1 ? <details><summary className="small">{countWords(row.duties.length, 'duty', 'duties')}</summary><ul>{row.duties.map((duty) => <li key={duty.id}><Link to={`/duties/${duty.id}`}>{duty.title}: {duty.subject}</Link></li>)}</ul></details> : null}</> },
      { key: 'window', title: 'Window from today', cell: (row) => `${dayShort(row.opens)} to ${dayShort(row.lapses)}${row.overdue ? '; overdue, as soon as possible' : `, due ${dayShort(row.due)}`}` },
      { key: 'kind', title: 'How', cell: (row) => `${row.sounds ? 'sounders work' : 'silent'}; ${row.rolling ? 'counts from the last proof' : 'set by the calendar'}` },
      { key: 'why', title: 'Why', cell: (row) => row.duties[0]!.why },
    ]} />
  );
}

function HolidaysDialog({ shown, onClose }: { shown: TogetherShown; onClose: () => void }) {
  const say = useToast();
  const [region, setRegion] = useState(shown.access.ownRegion ?? '');
  const choose = useChooseSiteHolidays(() => { say('Chosen: due days follow'); onClose(); });
  return (
    <Dialog title={`Public holidays of ${shown.siteName}`} onClose={onClose}>
      <Form problem={choose.error} onSubmit={() => choose.mutate({ siteId: shown.siteId, region: region.trim() || null })}>
        <TextField label="Country or region" name="region" value={region} onChange={setRegion} help="ISO 3166 code such as ES or ES-MD; 'none' when holidays do not close it; empty: as the company." />
        <div className="row"><Button kind="do" type="submit" busy={choose.isPending ? 'Choosing …' : false}>Choose for this site</Button><Button onClick={onClose}>Leave as it is</Button></div>
      </Form>
    </Dialog>
  );
}
