import { hoursInWords, type LicenceRow, type TechnicianRow } from '@bellround/contracts';
import { useState } from 'react';
import { countWords, dayShort, minutesWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, Drawer, Facts, Loaded, Mark, ProblemBox, Section, Tag, useToast } from '../../../shared/ui/index.js';
import { useRemoveAbsence, useTechnician } from '../api/technicians.js';
import { AbsenceDialog } from './absence-dialog.js';
import { EditTechnicianDialog } from './edit-technician-dialog.js';
import { LicenceDialog } from './licence-dialog.js';
import { LicenceMark } from './licence-mark.js';

export function TechnicianDrawer({ technicianId, onClose }: { technicianId: string; onClose: () => void }) {
  const query = useTechnician(technicianId);
  return (
    <Drawer title="Technician" onClose={onClose}>
      <Loaded query={query} what="the technician">{(one) => <div className="stack wide"><Work one={one} /><Licences one={one} /><Absences one={one} /></div>}</Loaded>
    </Drawer>
  );
}

function Work({ one }: { one: TechnicianRow }) {
  const mayPlan = useMay('plan');
  const [isEditing, setEditing] = useState(false);
  return (
    <Section title={one.name} actions={mayPlan ? <Button size="small" onClick={() => setEditing(true)}>Change skills and shifts</Button> : undefined}>
      <Facts of={[
        ['Key', one.key], ['Id, for a sign-in', <code>{one.id}</code>], ['Telephone', one.phone], ['E-mail', one.email], ['Skills', one.skills.length > 0 ? <span className="row">{one.skills.map((skill) => <Tag key={skill}>{skill}</Tag>)}</span> : null],
        ['Shifts', `${hoursInWords(one.shifts)} (${one.timeZone})`], ['Works alone', one.pairOnly ? 'no: only beside another' : 'yes'], ['Most overtime in a day', minutesWords(one.maxOvertimeMin)],
        ['Home base', one.homeLat === null ? <Mark shape="hatched" tone="unsure">not known: no round can begin</Mark> : `${one.homeLat}, ${one.homeLon}`],
      ]} />
      {isEditing ? <EditTechnicianDialog one={one} onClose={() => setEditing(false)} /> : null}
    </Section>
  );
}

function Licences({ one }: { one: TechnicianRow }) {
  const mayPlan = useMay('plan');
  const [open, setOpen] = useState<LicenceRow | 'new' | null>(null);
  return (
    <Section title="Licences" actions={mayPlan ? <Button size="small" onClick={() => setOpen('new')}>Add a licence</Button> : undefined}>
      {one.licences.length === 0 ? <p className="quiet">None recorded: this person may sign nothing that needs a licence.</p> : (
        <ul className="stack" style={{ listStyle: 'none' }}>{one.licences.map((licence) => (
          <li key={licence.id} className="row"><LicenceMark licence={licence} /><span className="quiet">{[licence.number, licence.body].filter(Boolean).join(', ')}</span>{mayPlan ? <Button size="small" kind="bare" onClick={() => setOpen(licence)}>Renew {licence.kind}</Button> : null}</li>
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
  const remove = useRemoveAbsence(() => say('Taken away'));
  return (
    <Section title="Absences" actions={mayPlan ? <Button size="small" onClick={() => setAdding(true)}>Add an absence</Button> : undefined}>
      {remove.error ? <ProblemBox problem={remove.error} /> : null}
      {one.absences.length === 0 ? <p className="quiet">None.</p> : (
        <ul className="stack" style={{ listStyle: 'none' }}>{one.absences.map((absence) => (
          <li key={absence.id} className="row"><strong>{dayShort(absence.fromDay)} to {dayShort(absence.toDay)}</strong><span>{absence.reason}</span>{mayPlan ? <Button size="small" kind="bare" busy={remove.isPending} onClick={() => remove.mutate({ technicianId: one.id, absenceId: absence.id })}>Take away</Button> : null}</li>
        ))}</ul>
      )}
      <p className="quiet small">{countWords(one.absences.length, 'absence')}. Rounds already published are not changed by themselves: look at the week.</p>
      {isAdding ? <AbsenceDialog one={one} onClose={() => setAdding(false)} /> : null}
    </Section>
  );
}
