import type { MoveAnswer, WeekView } from '@bellround/contracts';
import { useEffect, useState } from 'react';
import { Link } from 'react-router';
import { clockWords, dayShort, dayWords, minutesWords, numberWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, Drawer, Facts, Form, Mark, NumberField, ProblemBox, Section, Select, useToast } from '../../../shared/ui/index.js';
import { useBestPlaces, useMoveStop, usePinStop, usePreviewMove } from '../api/week.js';

/** One visit of the week: what it is for, where it stands, and moving it with the cost shown before. */
export function VisitDrawer({ view, visitId, onClose }: { view: WeekView; visitId: string; onClose: () => void }) {
  const may = useMay('plan');
  const toast = useToast();
  const visit = view.visits.find((one) => one.id === visitId);
  const round = view.rounds.find((one) => one.stops.some((stop) => stop.visitId === visitId && stop.joins === undefined));
  const stop = round?.stops.find((one) => one.visitId === visitId);
  const reason = view.unplaced.find((one) => one.visitId === visitId);
  const pin = usePinStop();
  const technician = view.technicians.find((one) => one.id === round?.technicianId);
  const draft = view.plan?.state === 'draft';
  if (!visit) return null;
  return (
    <Drawer title={visit.siteName} onClose={onClose}>
      <Facts of={[
        ['What for', visit.title], ['Takes', minutesWords(visit.serviceMin)], ['Lapses', visit.lapsesOn ? dayWords(visit.lapsesOn) : 'nothing mandated lapses soon'],
        ['Asks for', [...visit.skills, ...visit.licences, ...(visit.persons === 2 ? ['two persons'] : [])].join(', ') || 'no special skill'],
        ['Where it stands', stop && round ? `${technician?.name ?? ''}, ${dayShort(round.day)}, ${clockWords(stop.startMin)} to ${clockWords(stop.endMin)}` : (reason?.words ?? 'on no round')],
        ...(visit.promise ? [['Promised', visit.promise] as const] : []),
      ]} />
      {visit.overdue ? <p><Mark shape="bracketed" tone="bad">a duty of this visit is lapsed or can’t be told</Mark></p> : null}
      <div className="row">
        <Link className="button small" to={`/sites/${visit.siteId}`}>Open the site</Link>
        <Link className="button small" to={`/visits/${visit.id}`}>Open the visit</Link>
        {may && stop && view.plan && (draft || view.plan.state === 'published') ? <Button size="small" busy={pin.isPending} onClick={() => pin.mutate({ planId: view.plan!.id, revision: view.plan!.revision, visitId, pinned: !visit.pinned }, { onSuccess: () => toast(visit.pinned ? 'Let go: later plans may move it' : 'Pinned: later plans leave it here') })}>{visit.pinned ? 'Let it go' : 'Pin it here'}</Button> : null}
      </div>
      {pin.error ? <ProblemBox problem={pin.error} /> : null}
      {may && draft && view.plan ? <MoveForm view={view} visitId={visitId} planId={view.plan.id} revision={view.plan.revision} now={{ technicianId: round?.technicianId ?? '', day: round?.day ?? view.days.find((day) => day >= view.today) ?? view.days[0]! }} onMoved={onClose} />
        : may ? <p className="note">Only a draft is changed. Compute a new plan of this week to move visits; pinned ones stay.</p> : null}
    </Drawer>
  );
}

function MoveForm({ view, visitId, planId, revision, now, onMoved }: { view: WeekView; visitId: string; planId: string; revision: number; now: { technicianId: string; day: string }; onMoved: () => void }) {
  const [technicianId, setTechnician] = useState(now.technicianId);
  const [day, setDay] = useState(now.day);
  const [position, setPosition] = useState<number | null>(null);
  const preview = usePreviewMove();
  const toast = useToast();
  const move = useMoveStop(() => { toast('Moved'); onMoved(); });
  const places = useBestPlaces(planId, visitId, true);
  const asked = { planId, revision, visitId, technicianId: technicianId || null, day, ...(position === null ? {} : { position: position - 1 }) };
  const changed = technicianId !== now.technicianId || day !== now.day || position !== null;
  const { mutate } = preview;
  useEffect(() => { if (changed) mutate(asked); }, [technicianId, day, position]);
  return (
    <Section title="Move it">
      <Form problem={move.error} onSubmit={() => move.mutate(asked)}>
        <Select label="Technician" value={technicianId} onChange={setTechnician} empty="take it off the rounds" options={view.technicians.map((one) => ({ value: one.id, label: one.name }))} />
        <Select label="Day" value={day} onChange={setDay} options={view.days.filter((one) => one >= view.today).map((one) => ({ value: one, label: dayWords(one) }))} />
        <NumberField label="Place in the round" help="1 is the first stop; left empty: where it fits last" unit="" min={1} max={60} step={1} value={position} onChange={setPosition} />
        {preview.error && changed ? <ProblemBox problem={preview.error} /> : null}
        {preview.data && changed ? <Effect answer={preview.data} /> : null}
        <Button kind="do" type="submit" busy={move.isPending} disabled={!changed || !preview.data || preview.data.broken.length > 0}>{technicianId ? 'Move visit' : 'Take it off the rounds'}</Button>
      </Form>
      {places.data && places.data.rows.length > 0 ? (
        <div className="stack"><h3>Best places</h3>{places.data.rows.slice(0, 5).map((place) => (
          <Button key={`${place.technicianId} ${place.day} ${place.position}`} size="small" onClick={() => { setTechnician(place.technicianId); setDay(place.day); setPosition(place.position + 1); }}>
            {place.technicianName}, {dayShort(place.day)} {clockWords(place.startMin)}: {place.travelMin >= 0 ? '+' : ''}{place.travelMin} min of travel
          </Button>))}
        </div>) : null}
    </Section>
  );
}

/** What the move would cost, before it is made. */
function Effect({ answer }: { answer: MoveAnswer }) {
  const terms = answer.delta.filter((term) => Math.abs(term.change) > 0.004);
  return (
    <div className="note" role="status">
      {answer.broken.length > 0 ? <><strong>Cannot be done:</strong><ul>{answer.broken.map((words) => <li key={words}>{words}</li>)}</ul></> : <strong>Breaks no rule.</strong>}
      <ul>{terms.length === 0 ? <li>Costs nothing.</li> : terms.map((term) => <li key={term.name}>{term.name}: {term.change > 0 ? '+' : ''}{numberWords(term.change)} {term.unit} ({term.words})</li>)}</ul>
    </div>
  );
}
