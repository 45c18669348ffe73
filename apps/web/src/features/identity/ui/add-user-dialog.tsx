import { type Role, NewUser, fieldFaults } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { newId } from '../../../shared/new-id.js';
import { Button, Dialog, Form, ProblemBox, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { useAddUser, useTechniciansToName } from '../api/users.js';
import { phrase } from '../../../shared/language/index.js';

const ROLES: { value: Role; label: string }[] = [
  { value: 'dispatcher', label: phrase('identity.dispatcher-plans-rounds-keeps-the-fleet-and') },
  { value: 'technician', label: phrase('identity.technician-works-visits') },
  { value: 'owner', label: phrase('identity.owner-everything-with-settings-and-acceptances') },
  { value: 'auditor', label: phrase('identity.auditor-reads-changes-nothing') },
];

/** The id is made once per opening, so that a second press of the button adds nobody twice. */
export function AddUserDialog({ onClose }: { onClose: () => void }) {
  const say = useToast();
  const [id] = useState(newId);
  const [draft, setDraft] = useState({ name: '', email: '', role: 'dispatcher' as Role, technicianId: '', password: '' });
  const [isTried, setTried] = useState(false);
  const add = useAddUser(() => { say(phrase('identity.name-may-sign-in', { name: draft.name })); onClose(); });
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const input = { ...draft, id, technicianId: draft.technicianId === '' ? null : draft.technicianId };
  const checked = NewUser.safeParse(input);
  const submit = () => {
    setTried(true);
    if (checked.success) add.mutate(input);
  };
  return (
    <Dialog title={phrase('identity.let-a-person-sign-in')} onClose={onClose}>
      <Form problem={add.error} {...(isTried && !checked.success ? { faults: fieldFaults(checked.error) } : {})} onSubmit={submit}>
        <TextField label={phrase('identity.name')} name="name" required autoFocus value={draft.name} onChange={(name) => set({ name })} />
        <TextField label={phrase('identity.e-mail')} name="email" required type="email" value={draft.email} onChange={(email) => set({ email })} />
        <Select label={phrase('identity.role')} name="role" required value={draft.role} onChange={(role) => set({ role: role as Role })} options={ROLES} />
        {draft.role === 'technician' ? <TechnicianField value={draft.technicianId} onChange={(technicianId) => set({ technicianId })} /> : null}
        <TextField label={phrase('identity.first-password')} name="password" required type="password" autoComplete="new-password" help={phrase('identity.at-least-12-characters-hand-it-over')} value={draft.password} onChange={(password) => set({ password })} />
        <div className="row"><Button kind="do" type="submit" busy={add.isPending ? phrase('identity.adding') : false}>{phrase('identity.let-them-sign-in')}</Button><Button onClick={onClose}>{phrase('identity.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}

/** Which technician signs in, by name. */
function TechnicianField({ value, onChange }: { value: string; onChange: (value: string) => void }) {
  const technicians = useTechniciansToName();
  if (technicians.error) return <ProblemBox problem={technicians.error} onRetry={() => void technicians.refetch()} />;
  if (technicians.data?.rows.length === 0) return <p className="note">{phrase('identity.no-technician-is-entered-yet')} <Link to="/import?kind=technicians">{phrase('identity.import-technicians')}</Link> {phrase('identity.first')}</p>;
  return <Select label={phrase('identity.technician')} name="technicianId" required empty={technicians.data ? phrase('identity.choose') : phrase('identity.fetching')} value={value} onChange={onChange} options={(technicians.data?.rows ?? []).map((one) => ({ value: one.id, label: one.name }))} />;
}
