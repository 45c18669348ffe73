import type { PlanHead, WeekView } from '@bellround/contracts';
import { useState } from 'react';
import { clockWords, dayWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, Choices, Empty, Form, Mark, NumberField, ProblemBox, SearchBox, Select, Table, TextField, useToast } from '../../../shared/ui/index.js';
import { plainWords } from './plain-words.js';
import { useFindSites, usePlaceUrgent, useRankUrgent } from '../api/questions.js';
import { phrase } from '../../../shared/language/index.js';

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
      <SearchBox label={phrase('planning.find-the-site')} value={search} onChange={(text) => { setSearch(text); setSite(null); }} placeholder={phrase('planning.name-address-client-or-account')} />
      {site ? <p><Mark shape="whole" tone="good">{site.name}</Mark></p> : sites.data ? (sites.data.rows.length === 0 ? <Empty title={phrase('planning.no-site-by-these-words')} /> : <div className="choices">{sites.data.rows.slice(0, 8).map((one) => <Button key={one.id} size="small" onClick={() => setSite({ id: one.id, name: one.name })}>{one.name}{one.locality ? `, ${one.locality}` : ''}</Button>)}</div>) : null}
      <Form onSubmit={() => rank.mutate({ planId: plan.id, ...asked })}>
        <TextField label={phrase('planning.what-is-wrong')} value={title} onChange={setTitle} required maxLength={200} />
        <NumberField label={phrase('planning.about-how-long')} unit={phrase('planning.min')} min={5} max={720} step={15} value={serviceMin} onChange={setService} />
        <Select label={phrase('planning.skill')} value={skill} onChange={setSkill} empty={phrase('planning.any')} options={skills.map((one) => ({ value: one, label: one }))} />
        <Select label={phrase('planning.not-later-than')} value={byDay} onChange={setBy} empty={phrase('planning.any-day-of-this-week')} options={view.days.filter((day) => day >= view.today).map((day) => ({ value: day, label: dayWords(day) }))} />
        <Choices label={phrase('planning.people')} value={persons} onChange={setPersons} options={[{ value: '1', label: phrase('planning.one') }, { value: '2', label: phrase('planning.two') }]} />
        <Button type="submit" busy={rank.isPending} disabled={site === null || serviceMin === null}>{phrase('planning.rank-the-places')}</Button>
      </Form>
      {rank.error ? <ProblemBox problem={rank.error} /> : null}
      {rank.data ? (rank.data.rows.length === 0 ? <Empty title={phrase('planning.it-fits-nowhere-in-this-week')}>{phrase('planning.nobody-with-these-skills-has-time-on')}</Empty> : (
        <Table caption={phrase('planning.best-places-cheapest-first')} rows={rank.data.rows} rowKey={(row) => `${row.technicianId} ${row.day}`} columns={[
          { key: 'where', title: phrase('planning.where'), cell: (row) => `${row.technicianName}, ${dayWords(row.day)} ${clockWords(row.startMin)}` },
          { key: 'cost', title: phrase('planning.costs'), align: 'end', cell: (row) => phrase('planning.value-abs-min-travel-value2', { value: row.travelMin >= 0 ? '+' : '−', abs: Math.abs(row.travelMin), value2: row.overtimeMin > 0 ? phrase('planning.overtimemin-min-overtime', { overtimeMin: row.overtimeMin }) : '' }) },
          { key: 'rules', title: phrase('planning.rules'), cell: (row) => (row.breaks.length === 0 ? <Mark shape="standing" tone="good">{phrase('planning.breaks-none')}</Mark> : <><Mark shape="bracketed" tone="bad">{phrase('planning.breaks')}</Mark> {plainWords(row.breaks.join('; '))}</>) },
          { key: 'do', title: '', cell: (row) => (row.breaks.length > 0 ? null : <Button size="small" busy={place.isPending} disabled={title.trim().length < 3} onClick={() => place.mutate({ planId: plan.id, ...ids, title, ...asked, technicianId: row.technicianId, day: row.day, position: row.position, ...(row.second ? { secondTechnicianId: row.second.technicianId, secondPosition: row.second.position } : {}) }, { onSuccess: (head) => { toast(phrase('planning.placed-in-a-draft-publish-it-to')); onDraft(head.id); } })}>{phrase('planning.place-on-round')}</Button>) },
        ]} />)) : null}
      {rank.data && title.trim().length < 3 ? <p className="note">{phrase('planning.say-what-is-wrong-before-it-is')}</p> : null}
      {place.error ? <ProblemBox problem={place.error} /> : null}
    </>
  );
}
