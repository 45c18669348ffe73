import { routes, type CheckRow, type CheckToDo, type VisitView } from '@bellround/contracts';
import { type ReactNode, useEffect, useState } from 'react';
import { useParams } from 'react-router';
import { dayWords, minutesWords } from '../../../shared/format.js';
import { setOpenHolds } from '../../../shared/holds.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, CautionBox, Facts, Loaded, Mark, Page, ProblemBox, Region, Section } from '../../../shared/ui/index.js';
import { useAskAgainWhenSent, useQueuedAct } from '../api/queued.js';
import { useVisit } from '../api/visits.js';
import type { QueuedView } from '../queued-view.js';
import { CheckForm } from './check-form.js';
import { Contradicted } from './contradicted.js';
import { DoneList } from './done-list.js';
import { EvidenceList } from './evidence-list.js';
import { EndOfVisit } from './end-of-visit.js';
import { HoldSection } from './hold-section.js';
import { NoAccess } from './no-access.js';
import { PutBackTray } from './put-back-tray.js';
import { ReplacePart } from './replace-part.js';
import { RoundTripSection } from './round-trip.js';
import { ToDoList } from './to-do-list.js';
import { WayMark } from './way-mark.js';
import { ZoneListsSection } from './zone-lists.js';
import './visits.css';
import { phrase } from '../../../shared/language/index.js';
import { VISIT_STATE } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

/** One visit on site: cautions, the hold, one check at a time, what is out of normal, and the end. */
export function VisitScreen({ access }: { access?: ReactNode }) {
  const { visitId = '' } = useParams();
  const { query, queued } = useVisit(visitId);
  useAskAgainWhenSent();
  return <Loaded query={query} what={phrase('visits.the-visit')}>{() => (queued ? <OnSite key={visitId} queued={queued} access={access} /> : null)}</Loaded>;
}

function OnSite({ queued, access }: { queued: QueuedView; access: ReactNode }) {
  const may = useMay('work');
  const { view } = queued;
  const { visit, site } = view;
  const [chosen, setChosen] = useState<{ toDo: CheckToDo; correcting?: CheckRow } | null>(null);
  const [replacing, setReplacing] = useState(false);
  const open = visit.state === 'open';
  const isOver = visit.state === 'closed' || visit.state === 'stopped';
  useEffect(() => {
    setOpenHolds(visit.id, queued.holds.filter((hold) => hold.closedAt === null).map((hold) => ({ holdId: hold.id, visitId: visit.id, siteName: site.name, reference: hold.stationReference, parts: hold.parts.length > 0 ? hold.parts : ['everything'], endsAt: hold.untilAt, path: `/visits/${visit.id}`, isHereOnly: hold.openingWay === 'waiting', place: site.lat === null || site.lon === null ? null : { lat: site.lat, lon: site.lon } })));
  }, [queued.holds, visit.id, site.name, site.lat, site.lon]);
  const form = chosen ? <CheckForm key={`${chosen.toDo.subjectId} ${chosen.toDo.checkKind} ${chosen.correcting?.id ?? ''}`} queued={queued} {...chosen} onDone={() => setChosen(null)} /> : null;
  return (
    <Page title={site.name} lead={`${site.address}${site.locality ? `, ${site.locality}` : ''}`} slim>
      <p><Mark shape={visit.state === 'closed' ? 'whole' : open ? 'half' : 'empty'} tone={visit.state === 'closed' ? 'good' : 'plain'}>{VISIT_STATE[visit.state]}</Mark> {visit.title}; {minutesWords(visit.serviceMin)}{visit.day ? `; ${dayWords(visit.day)}` : ''}{visit.technicianName ? `; ${visit.technicianName}` : ''}</p>
      <WayMark way={queued.startWay} what={phrase('visits.start-entered')} />
      {open ? null : <WayMark way={queued.endWay} what={phrase('visits.the-end-of-the-visit-entered')} />}
      {site.accessNotes ? <p className="note">{site.accessNotes}</p> : null}
      {access}
      {form || isOver ? null : <Cautions view={view} />}
      {may && !open && queued.endWay === null && ['wanted', 'planned', 'published', 'no-access'].includes(visit.state) ? <Start queued={queued} /> : null}
      {open ? <HoldSection queued={queued} /> : null}
      {chosen ? null : <Contradicted queued={queued} {...(open && may ? { onAgain: (toDo: CheckToDo) => setChosen({ toDo }) } : {})} onCorrect={(correcting, toDo) => setChosen({ toDo, correcting })} />}
      {form && (open || chosen?.correcting) ? form : isOver && view.toDo.length === 0 ? null : <ToDoList queued={queued} onChoose={open && may ? (toDo) => setChosen({ toDo }) : null} />}
      {open && may && !chosen ? <div className="row"><Button onClick={() => setReplacing(true)}>{phrase('visits.a-part-was-replaced')}</Button></div> : null}
      {replacing ? <ReplacePart queued={queued} onClose={() => setReplacing(false)} /> : null}
      {view.checks.length > 0 ? <DoneList queued={queued} onCorrect={(correcting, toDo) => { setChosen({ toDo, correcting }); window.scrollTo({ top: 0 }); }} /> : null}
      {visit.openedAt !== null ? <Region name="round trip"><RoundTripSection view={view} /></Region> : null}
      {visit.openedAt !== null ? <Region name="missing proofs"><EvidenceList visitId={visit.id} /></Region> : null}
      {open && may ? <EndOfVisit queued={queued} /> : null}
      <Section title={phrase('visits.the-site')}><Facts of={[[phrase('visits.who-lets-you-in'), site.contacts.map((one) => `${one.name}${one.phone ? ` ${one.phone}` : ''}`).join(', ') || null], [phrase('visits.accounts'), view.accounts.map((one) => phrase('visits.number-at-station', { number: one.number, station: one.stationName, value: one.stationPhone ? `, ${one.stationPhone}` : '' })).join('; ') || null], [phrase('visits.open-deficiencies'), view.deficiencies.filter((one) => one.state === 'open').map((one) => one.title).join('; ') || phrase('programmes.none')]]} /></Section>
      <Region name="zone lists"><ZoneListsSection systems={view.systems} timeZone={view.site.timeZone} /></Region>
      {open ? <PutBackTray queued={queued} /> : null}
    </Page>
  );
}

function Cautions({ view }: { view: VisitView }) {
  const kinds = new Set(view.toDo.map((one) => one.checkKind));
  const words = [...new Set(view.definitions.filter((definition) => kinds.has(definition.key)).flatMap((definition) => definition.cautions))];
  const isSaid = words.slice(0, 6).some((one) => one.includes('licensed practice prevail'));
  return <CautionBox>{words.length === 0 ? phrase('visits.local-codes-and-licensed-practice-prevail') : <ul>{words.slice(0, 6).map((one) => <li key={one}>{said(one)}</li>)}{isSaid ? null : <li>{phrase('visits.local-codes-and-licensed-practice-prevail')}</li>}</ul>}{words.length > 6 ? <details><summary>{phrase('visits.value-more-cautions', { value: words.length - 6 })}</summary><ul>{words.slice(6).map((one) => <li key={one}>{said(one)}</li>)}</ul></details> : null}</CautionBox>;
}

function Start({ queued }: { queued: QueuedView }) {
  const visitId = queued.view.visit.id;
  const [id] = useState(() => newId());
  const [away, setAway] = useState(false);
  const start = useQueuedAct(routes.openVisit, visitId, { done: () => undefined, taken: phrase('visits.visit-started'), waits: phrase('visits.kept-on-this-phone-the-house-does-2') });
  return (
    <div className="stack">
      {start.problem ? <ProblemBox problem={start.problem} /> : null}
      <Button kind="do" size="big" fill busy={start.isBusy} onClick={() => void start.put({ visitId, id }, phrase('visits.start-the-visit-at-name', { name: queued.view.site.name }))}>{phrase('visits.start-visit')}</Button>
      <Button fill onClick={() => setAway(true)}>{phrase('visits.no-access-2')}</Button>
      {away ? <NoAccess queued={queued} onClose={() => setAway(false)} /> : null}
    </div>
  );
}
