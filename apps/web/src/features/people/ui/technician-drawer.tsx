import { hoursInWords, type LicenceRow, type TechnicianRow } from '@bellround/contracts';
import { useState } from 'react';
import { dayShort, minutesWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, Drawer, Facts, Loaded, Mark, ProblemBox, Section, Tag, useToast } from '../../../shared/ui/index.js';
import { useRemoveAbsence, useTechnician } from '../api/technicians.js';
import { AbsenceDialog } from './absence-dialog.js';
import { EditTechnicianDialog } from './edit-technician-dialog.js';
import { LicenceDialog } from './licence-dialog.js';
import { LicenceMark } from './licence-mark.js';
import { VanSection } from './van-section.js';
import { phrase } from '../../../shared/language/index.js';
import { SYSTEM_KIND, wordOf } from '../../../shared/words.js';

export function TechnicianDrawer({ technicianId, onClose }: { technicianId: string; onClose: () => void }) {
  const query = useTechnician(technicianId);
  return (
    <Drawer title={phrase('people.technician')} onClose={onClose}>
      <Loaded query={query} what={phrase('people.the-technician')}>{(one) => <div className="stack wide"><Work one={one} /><VanSection technicianId={one.id} /><Licences one={one} /><Absences one={one} /></div>}</Loaded>
    </Drawer>
  );
}

function Work({ one }: { one: TechnicianRow }) {
  const mayPlan = useMay('plan');
  const [isEditing, setEditing] = useState(false);
  return (
    <Section title={one.name} actions={mayPlan ? <Button size="small" onClick={() => setEditing(true)}>{phrase('people.change-skills-and-shifts')}</Button> : undefined}>
      <Facts of={[
        [phrase('people.key'), one.key], [phrase('people.telephone'), one.phone], [phrase('identity.e-mail'), one.email], [phrase('people.skills'), one.skills.length > 0 ? <span className="row">{one.skills.map((skill) => <Tag key={skill}>{wordOf(SYSTEM_KIND, skill)}</Tag>)}</span> : null],
        [phrase('people.shifts'), `${hoursInWords(one.shifts)} (${one.timeZone})`], [phrase('people.works-alone'), one.pairOnly ? phrase('people.no-only-beside-another') : 'yes'], [phrase('people.most-overtime-in-a-day'), minutesWords(one.maxOvertimeMin)],
        [phrase('people.home-base'), one.homeLat === null ? <Mark shape="hatched" tone="unsure">{phrase('people.not-known-no-round-can-begin')}</Mark> : `${one.homeLat}, ${one.homeLon}`],
      ]} />
      {isEditing ? <EditTechnicianDialog one={one} onClose={() => setEditing(false)} /> : null}
    </Section>
  );
}

function Licences({ one }: { one: TechnicianRow }) {
  const mayPlan = useMay('plan');
  const [open, setOpen] = useState<LicenceRow | 'new' | null>(null);
  return (
    <Section title={phrase('people.licences')} actions={mayPlan ? <Button size="small" onClick={() => setOpen('new')}>{phrase('people.add-a-licence')}</Button> : undefined}>
      {one.licences.length === 0 ? <p className="quiet">{phrase('people.none-recorded-this-person-may-sign-nothing')}</p> : (
        <ul className="stack" style={{ listStyle: 'none' }}>{one.licences.map((licence) => (
          <li key={licence.id} className="row"><LicenceMark licence={licence} /><span className="quiet">{[licence.number, licence.body].filter(Boolean).join(', ')}</span>{mayPlan ? <Button size="small" kind="bare" onClick={() => setOpen(licence)}>{phrase('people.renew-kind', { kind: licence.kind })}</Button> : null}</li>
        ))}</ul>
      )}
      {open ? <LicenceDialog one={one} licence={open === 'new' ? null : open} onClose={() => setOpen(null)} /> : null}
    </Section>
  );
}

function Absences({ one }: { one: TechnicianRow }) {
  const mayPlan = useMay('plan');
  const say = useToast();
  const [isAdding, setAdding] = useState(false);
  const remove = useRemoveAbsence(() => say(phrase('people.taken-away')));
  return (
    <Section title={phrase('people.absences')} actions={mayPlan ? <Button size="small" onClick={() => setAdding(true)}>{phrase('people.add-an-absence')}</Button> : undefined}>
      {remove.error ? <ProblemBox problem={remove.error} /> : null}
      {one.absences.length === 0 ? <p className="quiet">{phrase('people.none')}</p> : (
        <ul className="stack" style={{ listStyle: 'none' }}>{one.absences.map((absence) => (
          <li key={absence.id} className="row"><strong>{phrase('people.fromday-to-today', { fromDay: dayShort(absence.fromDay), toDay: dayShort(absence.toDay) })}</strong><span>{absence.reason}</span>{mayPlan ? <Button size="small" kind="bare" busy={remove.isPending} onClick={() => remove.mutate({ technicianId: one.id, absenceId: absence.id })}>{phrase('people.take-away')}</Button> : null}</li>
        ))}</ul>
      )}
      <p className="quiet small">{phrase('people.absences-rounds-already-published-are-not-changed', { absences: phrase('count.absence', { n: one.absences.length }) })}</p>
      {isAdding ? <AbsenceDialog one={one} onClose={() => setAdding(false)} /> : null}
    </Section>
  );
}
