import { hoursInWords, readHours, type TechnicianRow } from '@bellround/contracts';
import { useState } from 'react';
import { Button, CheckBox, Dialog, Form, NumberField, TextField, useToast } from '../../../shared/ui/index.js';
import { useEditTechnician } from '../api/technicians.js';

export function EditTechnicianDialog({ one, onClose }: { one: TechnicianRow; onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ skills: one.skills.join('; '), shifts: hoursInWords(one.shifts), pairOnly: one.pairOnly, maxOvertimeMin: one.maxOvertimeMin as number | null }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const edit = useEditTechnician(() => { say(`Skills and shifts of ${one.name} changed`); onClose(); });
  const shifts = readHours(draft.shifts, true);
  const skills = draft.skills.split(';').map((skill) => skill.trim()).filter((skill) => skill !== '');
  const submit = () => {
    if ('problem' in shifts || draft.maxOvertimeMin === null) return;
    edit.mutate({ technicianId: one.id, version: one.version, skills, shifts: shifts.hours, pairOnly: draft.pairOnly, maxOvertimeMin: draft.maxOvertimeMin });
  };
  return (
    <Dialog title={`Skills and shifts of ${one.name}`} onClose={onClose}>
      <Form problem={edit.error} onSubmit={submit}>
        <TextField label="Skills" name="skills" value={draft.skills} help="As duties name them, divided by semicolons." onChange={(value) => set({ skills: value })} />
        <TextField label="Shifts" name="shifts" required value={draft.shifts} help={'Such as "Mon-Fri 08:00-16:30 break 30".'} fault={'problem' in shifts ? shifts.problem : null} onChange={(value) => set({ shifts: value })} />
        <NumberField label="Most overtime in a day" name="maxOvertimeMin" required unit="min" min={0} max={480} value={draft.maxOvertimeMin} fault={draft.maxOvertimeMin === null ? 'say how many minutes; 0 for none' : null} onChange={(maxOvertimeMin) => set({ maxOvertimeMin })} />
        <CheckBox label="Works only beside another" checked={draft.pairOnly} onChange={(pairOnly) => set({ pairOnly })} />
        <div className="row"><Button kind="do" type="submit" busy={edit.isPending ? 'Changing …' : false}>Change {one.name}</Button><Button onClick={onClose}>Leave as it is</Button></div>
      </Form>
    </Dialog>
  );
}
