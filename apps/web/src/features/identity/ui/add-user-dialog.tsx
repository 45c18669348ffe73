import { type Role, NewUser, fieldFaults } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { newId } from '../../../shared/new-id.js';
import { Button, Dialog, Form, ProblemBox, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { useAddUser, useTechniciansToName } from '../api/users.js';

const ROLES: { value: Role; label: string }[] = [
  { value: 'dispatcher', label: 'dispatcher: plans rounds, keeps the fleet and its people' },
  { value: 'technician', label: 'technician: works visits' },
  { value: 'owner', label: 'owner: everything, with settings and acceptances' },
  { value: 'auditor', label: 'auditor: reads, changes nothing' },
];

/** The id is made once per opening, so that a second press of the button adds nobody twice. */
export function AddUserDialog({ onClose }: { onClose: () => void }) {
  const say = useToast();
  const [id] = useState(newId);
  const [draft, setDraft] = useState({ name: '', email: '', role: 'dispatcher' as Role, technicianId: '', password: '' });
  const [isTried, setTried] = useState(false);
  const add = useAddUser(() => { say(`${draft.name} may sign in`); onClose(); });
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const input = { ...draft, id, technicianId: draft.technicianId === '' ? null : draft.technicianId };
  const checked = NewUser.safeParse(input);
  const submit = () => {
    setTried(true);
    if (checked.success) add.mutate(input);
  };
  return (
    <Dialog title="Let a person sign in" onClose={onClose}>
      <Form problem={add.error} {...(isTried && !checked.success ? { faults: fieldFaults(checked.error) } : {})} onSubmit={submit}>
        <TextField label="Name" name="name" required autoFocus value={draft.name} onChange={(name) => set({ name })} />
        <TextField label="E-mail" name="email" required type="email" value={draft.email} onChange={(email) => set({ email })} />
        <Select label="Role" name="role" required value={draft.role} onChange={(role) => set({ role: role as Role })} options={ROLES} />
        {draft.role === 'technician' ? <TechnicianField value={draft.technicianId} onChange={(technicianId) => set({ technicianId })} /> : null}
        <TextField label="First password" name="password" required type="password" autoComplete="new-password" help="At least 12 characters. Hand it over in person." value={draft.password} onChange={(password) => set({ password })} />
        <div className="row"><Button kind="do" type="submit" busy={add.isPending ? 'Adding …' : false}>Let them sign in</Button><Button onClick={onClose}>Leave as it is</Button></div>
      </Form>
    </Dialog>
  );
}

/** Which technician signs in, by name. */
function TechnicianField({ value, onChange }: { value: string; onChange: (value: string) => void }) {
  const technicians = useTechniciansToName();
  if (technicians.error) return <ProblemBox problem={technicians.error} onRetry={() => void technicians.refetch()} />;
  if (technicians.data?.rows.length === 0) return <p className="note">No technician is entered yet. <Link to="/import?kind=technicians">Import technicians</Link> first.</p>;
  return <Select label="Technician" name="technicianId" required empty={technicians.data ? 'choose' : 'fetching …'} value={value} onChange={onChange} options={(technicians.data?.rows ?? []).map((one) => ({ value: one.id, label: one.name }))} />;
}
