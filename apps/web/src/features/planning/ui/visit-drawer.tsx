import type { WeekQuestion, WeekView } from '@bellround/contracts';
import { useEffect, useState } from 'react';
import { Link } from 'react-router';
import { clockWords, dayShort, dayWords, minutesWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, Drawer, Facts, Form, Loaded, Mark, NumberField, ProblemBox, Section, Select, useToast } from '../../../shared/ui/index.js';
import { useWhy } from '../api/questions.js';
import { useBestPlaces, usePinStop, usePreviewMove } from '../api/week.js';
import { AgreeForm } from './agree-form.js';
import { needsFacts, VisitFacts } from './visit-facts.js';
import { Answer } from './ask-dialog.js';
import { Effect, TERMS, unitWords } from './carry-panel.js';
import { plainWords } from './plain-words.js';
import { sameSpot, spotOf, useMoves, type Move } from './week-moves.js';
import { phrase } from '../../../shared/language/index.js';
import { PLAN_STATE, VISIT_STATE, wordOf } from '../../../shared/words.js';

/** One visit of the week: what it is for, where it stands and why, moving it with the cost shown before, and what was agreed. */
export function VisitDrawer({ view, visitId, onClose, onDraft }: { view: WeekView; visitId: string; onClose: () => void; onDraft: (planId: string) => void }) {
  const may = useMay('plan');
  const toast = useToast();
  const [question, setQuestion] = useState<WeekQuestion | null>(null);
  const pin = usePinStop();
  const visit = view.visits.find((one) => one.id === visitId);
  const round = view.rounds.find((one) => one.stops.some((stop) => stop.visitId === visitId && stop.joins === undefined));
  const stop = round?.stops.find((one) => one.visitId === visitId);
  const done = view.done.find((one) => one.visitId === visitId);
  const reason = view.unplaced.find((one) => one.visitId === visitId);
  const technician = view.technicians.find((one) => one.id === (done?.technicianId ?? round?.technicianId));
  if (!visit) return null;
  const { plan } = view;
  const wholeId = visitId.split('#')[0]!;
  const live = plan !== null && (plan.state === 'draft' || plan.state === 'published');
  const where = done ? phrase('planning.value-day-startmin-to-endmin-state', { value: technician?.name ?? '', day: dayShort(done.day), startMin: clockWords(done.startMin), endMin: clockWords(done.endMin), state: wordOf(VISIT_STATE, done.state) }) : stop && round ? phrase('planning.value-day-startmin-to-endmin', { value: technician?.name ?? '', day: dayShort(round.day), startMin: clockWords(stop.startMin), endMin: clockWords(stop.endMin) }) : plainWords(reason?.words ?? phrase('planning.on-no-round'));
  return (
    <Drawer title={visit.siteName} onClose={onClose}>
      <Facts of={[
        [phrase('planning.what-for'), visit.title], [phrase('planning.takes'), visit.needs?.minutesFrom ? phrase('planning.servicemin-from', { serviceMin: minutesWords(visit.serviceMin), from: visit.needs.minutesFrom }) : minutesWords(visit.serviceMin)], [phrase('planning.lapses'), visit.lapsesOn ? dayWords(visit.lapsesOn) : phrase('planning.nothing-mandated-lapses-soon')],
        [phrase('planning.asks-for'), [...visit.skills, ...visit.licences, ...(visit.persons === 2 ? [phrase('planning.two-persons')] : [])].join(', ') || phrase('planning.no-special-skill')],
        [phrase('planning.where-it-stands'), where], ...(visit.promise ? [[phrase('planning.agreed'), visit.promise] as const] : []), ...(visit.needs ? needsFacts(visit.needs) : []),
      ]} />
      {visit.overdue ? <p><Mark shape="bracketed" tone="bad">{phrase('planning.a-duty-of-this-visit-is-lapsed')}</Mark></p> : null}
      <div className="row">
        <Link className="button small" to={`/sites/${visit.siteId}`}>{phrase('planning.open-the-site')}</Link>
        <Link className="button small" to={`/visits/${wholeId}`}>{phrase('planning.open-the-visit')}</Link>
        {may && stop && !done && live ? <Button size="small" busy={pin.isPending} onClick={() => pin.mutate({ planId: plan.id, revision: plan.revision, visitId, pinned: !visit.pinned }, { onSuccess: () => toast(visit.pinned ? phrase('planning.let-go-later-plans-may-move-it') : phrase('planning.pinned-later-plans-leave-it-here')) })}>{visit.pinned ? phrase('planning.let-it-go') : phrase('planning.pin-it-here')}</Button> : null}
      </div>
      {pin.error ? <ProblemBox problem={pin.error} /> : null}
      {plan && plan.state !== 'computing' ? <Why view={view} planId={plan.id} visitId={visitId} /> : null}
      {may && live && !done ? <Section title={phrase('planning.what-if')}>
        <div className="row">
          {stop ? <Button size="small" onClick={() => setQuestion({ kind: 'overrun', visitId, extraMin: 50 })}>{phrase('planning.it-takes-50-min-longer')}</Button> : <Button size="small" onClick={() => setQuestion({ kind: 'force', visitId })}>{phrase('planning.it-must-be-in')}</Button>}
        </div>
        {question ? <Answer key={question.kind} view={view} plan={plan} question={question} onDraft={onDraft} /> : null}
      </Section> : null}
      {may && live && !done ? <MoveForm view={view} visitId={visitId} planId={plan.id} revision={plan.revision} onMoved={onClose} onDraft={onDraft} /> : null}
      {may && !live && plan ? <p className="note">{phrase('planning.this-plan-is-state-copy-it-to', { state: PLAN_STATE[plan.state] })}</p> : null}
      {may && !done && visit.needs ? <VisitFacts visit={view.visits.find((one) => one.id === wholeId) ?? visit} wholeId={wholeId} /> : null}
      {may && !done ? <Section title={phrase('planning.agree-a-date-with-the-client')}><AgreeForm visitId={wholeId} day={round?.day ?? view.days.find((day) => day >= view.today) ?? view.days[0]!} startMin={stop?.startMin ?? 540} onDone={onClose} /></Section> : null}
    </Drawer>
  );
}

/** Why it is where it is, or why it is left out; asked of the plan, not remembered. */
function Why({ view, planId, visitId }: { view: WeekView; planId: string; visitId: string }) {
  const why = useWhy(planId, visitId);
  return (
    <Section title={view.unplaced.some((one) => one.visitId === visitId) ? phrase('planning.why-it-is-left-out') : phrase('planning.why-it-is-here')}>
      <Loaded query={why} what={phrase('planning.the-reasons')}>{(told) => (<>
        <ul>{told.reasons.map((words) => <li key={words}>{plainWords(words)}</li>)}</ul>
        {told.without && told.without.length > 0 ? <p>{phrase('planning.without-it-join', { join: told.without.map((term) => `${TERMS[term.name] ?? term.name} ${term.change > 0 ? '+' : '−'}${Math.abs(Math.round(term.change * 100) / 100)} ${unitWords(term.unit)}`).join(', ') })}</p> : null}
      </>)}</Loaded>
    </Section>
  );
}

function MoveForm({ view, visitId, planId, revision, onMoved, onDraft }: { view: WeekView; visitId: string; planId: string; revision: number; onMoved: () => void; onDraft: (planId: string) => void }) {
  const spot = spotOf(view, visitId);
  const [technicianId, setTechnician] = useState(spot.technicianId ?? '');
  const [day, setDay] = useState(spot.day ?? view.days.find((one) => one >= view.today) ?? view.days[0]!);
  const [position, setPosition] = useState<number | null>(spot.position === undefined ? null : spot.position + 1);
  const [second, setSecond] = useState(spot.secondTechnicianId ?? '');
  const preview = usePreviewMove();
  const toast = useToast();
  const moves = useMoves(view, onDraft);
  const places = useBestPlaces(planId, visitId, true);
  const visit = view.visits.find((one) => one.id === visitId);
  const move: Move = { visitId, technicianId: technicianId || null, ...(technicianId ? { day, ...(position === null ? {} : { position: position - 1 }), ...(second ? { secondTechnicianId: second } : {}) } : {}) };
  const changed = !sameSpot(move, spot) || second !== (spot.secondTechnicianId ?? '');
  const { mutate } = preview;
  useEffect(() => { if (changed) mutate({ planId, revision, ...move }); }, [technicianId, day, position, second]);
  return (
    <Section title={phrase('planning.move-it')}>
      <Form problem={moves.error} onSubmit={() => { void moves.move(move, visit?.siteName ?? 'visit').then((moved) => { if (moved) { toast(phrase('planning.moved-2')); onMoved(); } }); }}>
        <Select label={phrase('planning.technician')} required value={technicianId} onChange={setTechnician} empty={phrase('planning.take-it-off-the-rounds')} options={view.technicians.map((one) => ({ value: one.id, label: one.name }))} />
        {visit?.persons === 2 ? <Select label={phrase('planning.second-person')} value={second} onChange={setSecond} empty={phrase('planning.choose-a-second-person')} options={view.technicians.filter((one) => one.id !== technicianId).map((one) => ({ value: one.id, label: one.name }))} /> : null}
        <Select label={phrase('planning.day')} value={day} onChange={(next) => { setDay(next); setPosition(null); }} options={view.days.filter((one) => one >= view.today || view.today > view.days[6]!).map((one) => ({ value: one, label: dayWords(one) }))} />
        <NumberField label={phrase('planning.place-in-the-round')} help={phrase('planning.1-is-the-first-stop-left-empty')} unit="" min={1} max={60} step={1} value={position} onChange={setPosition} />
        {preview.error && changed ? <ProblemBox problem={preview.error} /> : null}
        {preview.data && changed ? <div className="note" role="status"><Effect answer={preview.data} /></div> : null}
        <Button type="submit" busy={moves.busy} disabled={!changed || !preview.data || preview.data.broken.length > 0}>{technicianId ? phrase('planning.move-visit') : phrase('planning.take-it-off-the-rounds-2')}</Button>
      </Form>
      {places.data && places.data.rows.length > 0 ? (
        <div className="stack"><h3>{phrase('planning.best-places')}</h3>{places.data.rows.slice(0, 5).map((place) => (
          <Button key={`${place.technicianId} ${place.day} ${place.position}`} size="small" disabled={place.breaks.length > 0} onClick={() => { setTechnician(place.technicianId); setDay(place.day); setPosition(place.position + 1); setSecond(place.second?.technicianId ?? ''); }}>
            {phrase('planning.technicianname-day-startmin-value-abs-min-of', { technicianName: place.technicianName, day: dayShort(place.day), startMin: clockWords(place.startMin), value: place.travelMin >= 0 ? '+' : '−', abs: Math.abs(place.travelMin), value2: place.breaks.length > 0 ? `; ${plainWords(place.breaks.join('; '))}` : '' })}
          </Button>))}
        </div>) : null}
    </Section>
  );
}
