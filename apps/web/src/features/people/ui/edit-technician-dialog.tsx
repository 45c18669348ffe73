import { hoursInWords, readHours, type TechnicianRow } from '@bellround/contracts';
import { useState } from 'react';
import { Button, CheckBox, Dialog, Form, NumberField, TextField, useToast } from '../../../shared/ui/index.js';
import { useEditTechnician } from '../api/technicians.js';
import { phrase } from '../../../shared/language/index.js';

export function EditTechnicianDialog({ one, onClose }: { one: TechnicianRow; onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ skills: one.skills.join('; '), shifts: hoursInWords(one.shifts), pairOnly: one.pairOnly, maxOvertimeMin: one.maxOvertimeMin as number | null }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const edit = useEditTechnician(() => { say(phrase('people.skills-and-shifts-of-name-changed', { name: one.name })); onClose(); });
  const shifts = readHours(draft.shifts, true);
  const skills = draft.skills.split(';').map((skill) => skill.trim()).filter((skill) => skill !== '');
  const submit = () => {
    if ('problem' in shifts || draft.maxOvertimeMin === null) return;
    edit.mutate({ technicianId: one.id, version: one.version, skills, shifts: shifts.hours, pairOnly: draft.pairOnly, maxOvertimeMin: draft.maxOvertimeMin });
  };
  return (
    <Dialog title={phrase('people.skills-and-shifts-of-name', { name: one.name })} onClose={onClose}>
      <Form problem={edit.error} onSubmit={submit}>
        <TextField label={phrase('people.skills')} name="skills" value={draft.skills} help={phrase('people.as-duties-name-them-divided-by-semicolons')} onChange={(value) => set({ skills: value })} />
        <TextField label={phrase('people.shifts')} name="shifts" required value={draft.shifts} help={phrase('people.such-as-mon-fri-08-00-16')} fault={'problem' in shifts ? shifts.problem : null} onChange={(value) => set({ shifts: value })} />
        <NumberField label={phrase('people.most-overtime-in-a-day')} name="maxOvertimeMin" required unit={phrase('people.min')} min={0} max={480} value={draft.maxOvertimeMin} fault={draft.maxOvertimeMin === null ? phrase('people.say-how-many-minutes-0-for-none') : null} onChange={(maxOvertimeMin) => set({ maxOvertimeMin })} />
        <CheckBox label={phrase('people.works-only-beside-another')} checked={draft.pairOnly} onChange={(pairOnly) => set({ pairOnly })} />
        <div className="row"><Button kind="do" type="submit" busy={edit.isPending ? phrase('people.changing') : false}>{phrase('people.change-name', { name: one.name })}</Button><Button onClick={onClose}>{phrase('people.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}
