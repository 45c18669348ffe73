import type { AheadShown } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { countWords, dayWords, minutesWords, numberWords } from '../../../shared/format.js';
import { Button, Empty, Facts, Loaded, Mark, NumberField, Section, Select, Table } from '../../../shared/ui/index.js';
import { useYearsAhead } from '../api/duties.js';

interface Asked { years: number; withinKm: number | null; neighbours: number | null; travelMinutes: number | null }

/** Visits of a site and its neighbours over years, so that their windows come to fall together; computed when asked for. */
export function YearsAhead({ siteId }: { siteId: string }) {
  const [draft, setDraft] = useState<Asked>({ years: 2, withinKm: 3, neighbours: 5, travelMinutes: 40 });
  const [asked, setAsked] = useState<Asked | null>(null);
  const given = asked ?? draft;
  const ahead = useYearsAhead({ siteId, years: given.years, withinKm: given.withinKm ?? 3, neighbours: given.neighbours ?? 5, travelMinutes: given.travelMinutes ?? 40 }, asked !== null);
  const set = (changes: Partial<Asked>) => setDraft({ ...draft, ...changes });
  const whole = Object.values(draft).every((value) => value !== null);
  return (
    <Section title="Years ahead, with neighbours">
      <p className="quiet">Earlier only, never past a window: what saves more than the days it gives away goes along.</p>
      <div className="grid narrow">
        <Select label="Years" value={String(draft.years)} onChange={(years) => set({ years: Number(years) })} options={['1', '2', '3', '5'].map((value) => ({ value, label: value }))} />
        <NumberField label="Neighbours within" unit="km" min={0} max={50} value={draft.withinKm} onChange={(withinKm) => set({ withinKm })} />
        <NumberField label="At most" unit="sites" min={0} max={12} value={draft.neighbours} onChange={(neighbours) => set({ neighbours })} />
        <NumberField label="Travel for a day out" unit="min" min={0} max={480} value={draft.travelMinutes} onChange={(travelMinutes) => set({ travelMinutes })} />
      </div>
      <div className="row"><Button disabled={!whole} busy={ahead.isFetching ? 'Computing …' : false} onClick={() => setAsked(draft)}>Show the visits</Button></div>
      {asked ? <Loaded query={ahead} what="the years ahead">{(shown) => <Shown shown={shown} />}</Loaded> : null}
    </Section>
  );
}

function Shown({ shown }: { shown: AheadShown }) {
  const saved = shown.bySite.minutes - shown.together.minutes;
  const total = (one: AheadShown['together']) => `${countWords(one.days, 'day')} out, ${countWords(one.stops, 'stop')}, ${minutesWords(Math.round(one.minutes))}, ${countWords(one.daysGivenAway, 'day')} given away`;
  return (
    <div className="stack">
      <p><Mark shape={saved > 0 ? 'whole' : 'line'} tone={saved > 0 ? 'good' : 'plain'}>{saved > 0 ? `planned together: ${minutesWords(Math.round(saved))} less` : 'nothing is saved by going together'}</Mark></p>
      <Facts of={[
        ['Sites', shown.sites.map((site) => (site.km === 0 ? site.name : `${site.name} (${numberWords(site.km)} km)`)).join(', ')], ['Together', total(shown.together)], ['Each site by itself', total(shown.bySite)],
        ['Left out', shown.leftOut.join('; ') || 'nothing'], ['Met after its lapse', shown.lapsed.map((one) => `${one.name} on ${dayWords(one.on)}`).join('; ') || 'nothing'],
      ]} />
      {shown.visits.length === 0 ? <Empty title="No visit falls into these years" /> : <Table caption="Days out" rows={shown.visits} rowKey={(row) => row.on} columns={[
        { key: 'on', title: 'Day', width: '10rem', cell: (row) => <strong>{dayWords(row.on)}</strong> },
        { key: 'sites', title: 'Sites', cell: (row) => row.sites.map((site) => <details key={site.siteId}><summary><Link to={`/sites/${site.siteId}`}>{site.name}</Link>, {countWords(site.duties.length, 'window')}</summary><ul className="small">{site.duties.map((duty) => <li key={duty}>{duty.replace(`${site.name}: `, '')}</li>)}</ul></details>) },
        { key: 'given', title: 'Given away', cell: (row) => (row.givenAway.length === 0 ? 'none' : <details><summary>{countWords(row.givenAway.reduce((sum, one) => sum + one.days, 0), 'day')}</summary><ul className="small">{row.givenAway.map((one) => <li key={one.name}>{countWords(one.days, 'day')} of {one.name}</li>)}</ul></details>) },
      ]} />}
    </div>
  );
}
