import type { CheckToDo, VisitView } from '@bellround/contracts';
import { useEffect, useState } from 'react';
import { useParams } from 'react-router';
import { useOutbox } from '../../../shared/device-outbox.js';
import { countWords, dayWords, minutesWords, momentWords } from '../../../shared/format.js';
import { setOpenHolds } from '../../../shared/holds.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, CautionBox, Empty, Facts, Loaded, Mark, Page, ProblemBox, Section, VerdictMark } from '../../../shared/ui/index.js';
import { useStartVisit, useVisit } from '../api/visits.js';
import { CheckForm } from './check-form.js';
import { EndOfVisit } from './end-of-visit.js';
import { HoldSection } from './hold-section.js';
import { NoAccess } from './no-access.js';
import { PutBackTray } from './put-back-tray.js';
import './visits.css';

/** One visit on site: cautions, the hold, one check at a time, what is out of normal, and the end. */
export function VisitScreen() {
  const { visitId = '' } = useParams();
  const visit = useVisit(visitId);
  return <Loaded query={visit} what="the visit">{(view) => <OnSite key={visitId} view={view} />}</Loaded>;
}

function OnSite({ view }: { view: VisitView }) {
  const may = useMay('work');
  const { visit, site } = view;
  const [chosen, setChosen] = useState<CheckToDo | null>(null);
  const open = visit.state === 'open';
  useEffect(() => {
    setOpenHolds(visit.id, view.holds.filter((hold) => hold.closedAt === null).map((hold) => ({ holdId: hold.id, visitId: visit.id, siteName: site.name, reference: hold.stationReference, parts: hold.parts.length > 0 ? hold.parts : ['everything'], endsAt: hold.untilAt, path: `/visits/${visit.id}` })));
  }, [view.holds, visit.id, site.name]);
  return (
    <Page title={site.name} lead={`${site.address}${site.locality ? `, ${site.locality}` : ''}`} slim>
      <p><Mark shape={visit.state === 'closed' ? 'whole' : open ? 'half' : 'empty'} tone={visit.state === 'closed' ? 'good' : 'plain'}>{visit.state.replace('-', ' ')}</Mark> {visit.title}; {minutesWords(visit.serviceMin)}{visit.day ? `; ${dayWords(visit.day)}` : ''}{visit.technicianName ? `; ${visit.technicianName}` : ''}</p>
      {site.accessNotes ? <p className="note">{site.accessNotes}</p> : null}
      <Cautions view={view} />
      {may && !open && ['wanted', 'planned', 'published'].includes(visit.state) ? <Start view={view} /> : null}
      {open ? <HoldSection view={view} /> : null}
      {open && chosen ? <CheckForm key={`${chosen.subjectId} ${chosen.checkKind} ${view.checks.length}`} view={view} toDo={chosen} onDone={() => setChosen(null)} />
        : <ToDo view={view} onChoose={open && may ? setChosen : null} />}
      {view.checks.length > 0 ? <Done view={view} /> : null}
      {open && may ? <EndOfVisit view={view} /> : null}
      <Section title="The site"><Facts of={[['Who lets you in', site.contacts.map((one) => `${one.name}${one.phone ? ` ${one.phone}` : ''}`).join(', ') || null], ['Accounts', view.accounts.map((one) => `${one.number} at ${one.stationName}${one.stationPhone ? `, ${one.stationPhone}` : ''}`).join('; ') || null], ['Open deficiencies', view.deficiencies.filter((one) => one.state === 'open').map((one) => one.title).join('; ') || 'none']]} /></Section>
      {open ? <PutBackTray items={view.putBack} /> : null}
    </Page>
  );
}

function Cautions({ view }: { view: VisitView }) {
  const kinds = new Set(view.toDo.map((one) => one.checkKind));
  const words = [...new Set(view.definitions.filter((definition) => kinds.has(definition.key)).flatMap((definition) => definition.cautions))];
  return <CautionBox>{words.length === 0 ? 'Local codes and licensed practice prevail.' : <ul>{words.slice(0, 6).map((one) => <li key={one}>{one}</li>)}<li>Local codes and licensed practice prevail.</li></ul>}{words.length > 6 ? <details><summary>{words.length - 6} more cautions</summary><ul>{words.slice(6).map((one) => <li key={one}>{one}</li>)}</ul></details> : null}</CautionBox>;
}

function Start({ view }: { view: VisitView }) {
  const [id] = useState(() => newId());
  const [away, setAway] = useState(false);
  const start = useStartVisit();
  return (
    <div className="stack">
      {start.error ? <ProblemBox problem={start.error} /> : null}
      <Button kind="do" size="big" fill busy={start.isPending} onClick={() => start.mutate({ visitId: view.visit.id, id, deviceClockAt: new Date().toISOString(), deviceClockNow: new Date().toISOString() })}>Start visit</Button>
      <Button fill onClick={() => setAway(true)}>No access</Button>
      {away ? <NoAccess view={view} onClose={() => setAway(false)} /> : null}
    </div>
  );
}

/** Checks in the order in which they are best done, by place. */
function ToDo({ view, onChoose }: { view: VisitView; onChoose: ((toDo: CheckToDo) => void) | null }) {
  const titles = new Map(view.definitions.map((definition) => [definition.key, definition]));
  const waiting = useOutbox();
  const left = view.toDo.filter((one) => !one.done);
  if (view.toDo.length === 0) return <Empty title="This visit asks for no check">Close it, or add duties from the site’s page.</Empty>;
  return (
    <Section title={left.length === 0 ? 'Every check is done' : `${countWords(left.length, 'check')} to do, about ${minutesWords(left.reduce((sum, one) => sum + one.minutes, 0))}`}>
      <ol className="todo">{view.toDo.map((one) => {
        const definition = titles.get(one.checkKind);
        const check = view.checks.filter((done) => done.subjectId === one.subjectId && done.checkKind === one.checkKind).at(-1);
        const onItsWay = waiting.entries.some((entry) => (entry.input as { subjectId?: string; checkKind?: string }).subjectId === one.subjectId && (entry.input as { checkKind?: string }).checkKind === one.checkKind);
        return (
          <li key={`${one.subjectId} ${one.checkKind}`}>
            <button type="button" className="button" disabled={!onChoose} onClick={() => onChoose?.(one)}>
              <span><strong>{one.subjectName}</strong>: {definition?.title ?? one.checkKind}{definition?.needsHold ? ' (on test)' : ''}</span>
              {onItsWay ? <Mark shape="half">kept, being sent</Mark> : check ? <VerdictMark verdict={check.verdict} /> : <Mark shape="empty">to do</Mark>}
            </button>
          </li>);
      })}</ol>
    </Section>
  );
}

function Done({ view }: { view: VisitView }) {
  const titles = new Map(view.definitions.map((definition) => [definition.key, definition.title]));
  const names = new Map([...view.toDo.map((one) => [one.subjectId, one.subjectName] as const), ...view.devices.map((one) => [one.id, one.label] as const)]);
  return (
    <Section title="What this visit has recorded">
      <ul>{view.checks.toReversed().map((check) => <li key={check.id}><VerdictMark verdict={check.verdict} /> {names.get(check.subjectId) ?? check.subjectKind}: {titles.get(check.checkKind) ?? check.checkKind}. {check.reason} <span className="small quiet">{momentWords(check.performedAt, view.site.timeZone)}{check.limitSource ? `; limit: ${check.limitSource}` : ''}</span></li>)}</ul>
    </Section>
  );
}
