import type { PlanHead, WeekView } from '@bellround/contracts';
import { useState } from 'react';
import { clockWords, dayWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, Choices, Empty, Form, Mark, NumberField, ProblemBox, SearchBox, Select, Table, TextField, useToast } from '../../../shared/ui/index.js';
import { plainWords } from './plain-words.js';
import { useFindSites, usePlaceUrgent, useRankUrgent } from '../api/questions.js';

/** An urgent visit: where it fits best, before it exists; then made and put on a round in a draft. */
export function UrgentForm({ view, plan, onDraft }: { view: WeekView; plan: PlanHead; onDraft: (planId: string) => void }) {
  const [search, setSearch] = useState('');
  const [site, setSite] = useState<{ id: string; name: string } | null>(null);
  const [title, setTitle] = useState('');
  const [serviceMin, setService] = useState<number | null>(60);
  const [skill, setSkill] = useState('');
  const [persons, setPersons] = useState<'1' | '2'>('1');
  const [byDay, setBy] = useState('');
  const [ids] = useState(() => ({ visitId: newId(), newPlanId: newId() }));
  const sites = useFindSites(search);
  const rank = useRankUrgent();
  const place = usePlaceUrgent();
  const toast = useToast();
  const skills = [...new Set(view.technicians.flatMap((one) => one.skills))].sort();
  const asked = { siteId: site?.id ?? '', serviceMin: serviceMin ?? 60, skills: skill === '' ? [] : [skill], persons: persons === '2' ? (2 as const) : (1 as const), byDay: byDay === '' ? null : byDay };
  return (
    <>
      <SearchBox label="Find the site" value={search} onChange={(text) => { setSearch(text); setSite(null); }} placeholder="Name, address, client or account" />
      {site ? <p><Mark shape="whole" tone="good">{site.name}</Mark></p> : sites.data ? (sites.data.rows.length === 0 ? <Empty title="No site by these words" /> : <div className="choices">{sites.data.rows.slice(0, 8).map((one) => <Button key={one.id} size="small" onClick={() => setSite({ id: one.id, name: one.name })}>{one.name}{one.locality ? `, ${one.locality}` : ''}</Button>)}</div>) : null}
      <Form onSubmit={() => rank.mutate({ planId: plan.id, ...asked })}>
        <TextField label="What is wrong" value={title} onChange={setTitle} required maxLength={200} />
        <NumberField label="About how long" unit="min" min={5} max={720} step={15} value={serviceMin} onChange={setService} />
        <Select label="Skill" value={skill} onChange={setSkill} empty="any" options={skills.map((one) => ({ value: one, label: one }))} />
        <Select label="Not later than" value={byDay} onChange={setBy} empty="any day of this week" options={view.days.filter((day) => day >= view.today).map((day) => ({ value: day, label: dayWords(day) }))} />
        <Choices label="People" value={persons} onChange={setPersons} options={[{ value: '1', label: 'one' }, { value: '2', label: 'two' }]} />
        <Button type="submit" busy={rank.isPending} disabled={site === null || serviceMin === null}>Rank the places</Button>
      </Form>
      {rank.error ? <ProblemBox problem={rank.error} /> : null}
      {rank.data ? (rank.data.rows.length === 0 ? <Empty title="It fits nowhere in this week">Nobody with these skills has time on these days. Ask for a later day, or take something out first.</Empty> : (
        <Table caption="Best places, cheapest first" rows={rank.data.rows} rowKey={(row) => `${row.technicianId} ${row.day}`} columns={[
          { key: 'where', title: 'Where', cell: (row) => `${row.technicianName}, ${dayWords(row.day)} ${clockWords(row.startMin)}` },
          { key: 'cost', title: 'Costs', align: 'end', cell: (row) => `${row.travelMin >= 0 ? '+' : '−'}${Math.abs(row.travelMin)} min travel${row.overtimeMin > 0 ? `, +${row.overtimeMin} min overtime` : ''}` },
          { key: 'rules', title: 'Rules', cell: (row) => (row.breaks.length === 0 ? <Mark shape="standing" tone="good">breaks none</Mark> : <><Mark shape="bracketed" tone="bad">breaks</Mark> {plainWords(row.breaks.join('; '))}</>) },
          { key: 'do', title: '', cell: (row) => (row.breaks.length > 0 ? null : <Button size="small" busy={place.isPending} disabled={title.trim().length < 3} onClick={() => place.mutate({ planId: plan.id, ...ids, title, ...asked, technicianId: row.technicianId, day: row.day, position: row.position, ...(row.second ? { secondTechnicianId: row.second.technicianId, secondPosition: row.second.position } : {}) }, { onSuccess: (head) => { toast('Placed in a draft: publish it to tell the technician'); onDraft(head.id); } })}>Place on round</Button>) },
        ]} />)) : null}
      {rank.data && title.trim().length < 3 ? <p className="note">Say what is wrong before it is placed.</p> : null}
      {place.error ? <ProblemBox problem={place.error} /> : null}
    </>
  );
}
