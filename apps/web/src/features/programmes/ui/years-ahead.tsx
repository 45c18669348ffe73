import type { AheadShown } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { dayWords, kmWords, minutesWords } from '../../../shared/format.js';
import { Button, Empty, Facts, Loaded, Mark, NumberField, Section, Select, Table } from '../../../shared/ui/index.js';
import { useYearsAhead } from '../api/duties.js';
import { phrase } from '../../../shared/language/index.js';
import { useManners } from '../../../shared/locale.js';

const KM_A_MILE = 1.609344;

interface Asked { years: number; withinKm: number | null; neighbours: number | null; travelMinutes: number | null }

/** Visits of a site and its neighbours over years, so that their windows come to fall together; computed when asked for. */
export function YearsAhead({ siteId }: { siteId: string }) {
  const isMiles = useManners().units === 'imperial';
  const [draft, setDraft] = useState<Asked>({ years: 2, withinKm: 3, neighbours: 5, travelMinutes: 40 });
  const [asked, setAsked] = useState<Asked | null>(null);
  const given = asked ?? draft;
  const ahead = useYearsAhead({ siteId, years: given.years, withinKm: given.withinKm ?? 3, neighbours: given.neighbours ?? 5, travelMinutes: given.travelMinutes ?? 40 }, asked !== null);
  const set = (changes: Partial<Asked>) => setDraft({ ...draft, ...changes });
  const whole = Object.values(draft).every((value) => value !== null);
  return (
    <Section title={phrase('programmes.years-ahead-with-neighbours')}>
      <p className="quiet">{phrase('programmes.earlier-only-never-past-a-window-what')}</p>
      <div className="grid narrow">
        <Select label={phrase('programmes.years')} value={String(draft.years)} onChange={(years) => set({ years: Number(years) })} options={['1', '2', '3', '5'].map((value) => ({ value, label: value }))} />
        <NumberField label={phrase('programmes.neighbours-within')} unit={isMiles ? phrase('programmes.mi') : phrase('programmes.km')} min={0} max={isMiles ? 31 : 50} value={draft.withinKm === null || !isMiles ? draft.withinKm : Math.round(draft.withinKm / KM_A_MILE * 100) / 100} onChange={(within) => set({ withinKm: within === null || !isMiles ? within : within * KM_A_MILE })} />
        <NumberField label={phrase('programmes.at-most')} unit={phrase('programmes.sites')} min={0} max={12} value={draft.neighbours} onChange={(neighbours) => set({ neighbours })} />
        <NumberField label={phrase('programmes.travel-for-a-day-out')} unit={phrase('programmes.min')} min={0} max={480} value={draft.travelMinutes} onChange={(travelMinutes) => set({ travelMinutes })} />
      </div>
      <div className="row"><Button disabled={!whole} busy={ahead.isFetching ? phrase('programmes.computing') : false} onClick={() => setAsked(draft)}>{phrase('programmes.show-the-visits')}</Button></div>
      {asked ? <Loaded query={ahead} what={phrase('programmes.the-years-ahead')}>{(shown) => <Shown shown={shown} />}</Loaded> : null}
    </Section>
  );
}

function Shown({ shown }: { shown: AheadShown }) {
  const saved = shown.bySite.minutes - shown.together.minutes;
  const total = (one: AheadShown['together']) => phrase('programmes.days-out-stops-minutes-daysgivenaway-given-away', { days: phrase('count.day', { n: one.days }), stops: phrase('count.stop', { n: one.stops }), minutes: minutesWords(Math.round(one.minutes)), daysGivenAway: phrase('count.day', { n: one.daysGivenAway }) });
  return (
    <div className="stack">
      <p><Mark shape={saved > 0 ? 'whole' : 'line'} tone={saved > 0 ? 'good' : 'plain'}>{saved > 0 ? phrase('programmes.planned-together-minutes-less', { minutes: minutesWords(Math.round(saved)) }) : phrase('programmes.nothing-is-saved-by-going-together')}</Mark></p>
      <Facts of={[
        [phrase('programmes.sites-2'), shown.sites.map((site) => (site.km === 0 ? site.name : `${site.name} (${kmWords(site.km * 1000)})`)).join(', ')], [phrase('programmes.together'), total(shown.together)], [phrase('programmes.each-site-by-itself'), total(shown.bySite)],
        [phrase('programmes.left-out'), shown.leftOut.join('; ') || phrase('programmes.nothing')], [phrase('programmes.met-after-its-lapse'), shown.lapsed.map((one) => phrase('programmes.name-on-on', { name: one.name, on: dayWords(one.on) })).join('; ') || phrase('programmes.nothing')],
      ]} />
      {shown.visits.length === 0 ? <Empty title={phrase('programmes.no-visit-falls-into-these-years')} /> : <Table caption={phrase('programmes.days-out')} rows={shown.visits} rowKey={(row) => row.on} columns={[
        { key: 'on', title: phrase('programmes.day'), width: '10rem', cell: (row) => <strong>{dayWords(row.on)}</strong> },
        { key: 'sites', title: phrase('programmes.sites-2'), cell: (row) => row.sites.map((site) => <details key={site.siteId}><summary><Link to={`/sites/${site.siteId}`}>{site.name}</Link>, {phrase('count.window', { n: site.duties.length })}</summary><ul className="small">{site.duties.map((duty) => <li key={duty}>{duty.replace(`${site.name}: `, '')}</li>)}</ul></details>) },
        { key: 'given', title: phrase('programmes.given-away'), cell: (row) => (row.givenAway.length === 0 ? phrase('app.none') : <details><summary>{phrase('count.day', { n: row.givenAway.reduce((sum, one) => sum + one.days, 0) })}</summary><ul className="small">{row.givenAway.map((one) => <li key={one.name}>{phrase('programmes.days-of-name', { days: phrase('count.day', { n: one.days }), name: one.name })}</li>)}</ul></details>) },
      ]} />}
    </div>
  );
}
