import type { TechnicianRow } from '@bellround/contracts';
import { useState } from 'react';
import { todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, DateField, Dialog, Form, TextField, useToast } from '../../../shared/ui/index.js';
import { useAddAbsence } from '../api/technicians.js';
import { phrase } from '../../../shared/language/index.js';

export function AbsenceDialog({ one, onClose }: { one: TechnicianRow; onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ id: newId(), fromDay: todayIn(one.timeZone), toDay: todayIn(one.timeZone), reason: '' }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const add = useAddAbsence(() => { say(phrase('people.name-is-away', { name: one.name })); onClose(); });
  return (
    <Dialog title={phrase('people.name-is-away', { name: one.name })} onClose={onClose}>
      <Form problem={add.error} onSubmit={() => add.mutate({ technicianId: one.id, ...draft })}>
        <div className="grid narrow"><DateField label={phrase('people.first-day')} name="fromDay" required value={draft.fromDay} onChange={(fromDay) => set({ fromDay, ...(draft.toDay < fromDay ? { toDay: fromDay } : {}) })} /><DateField label={phrase('people.last-day')} name="toDay" required value={draft.toDay} min={draft.fromDay} onChange={(toDay) => set({ toDay })} /></div>
        <TextField label={phrase('people.why')} name="reason" required value={draft.reason} suggestions={[phrase('people.leave'), phrase('people.sick'), phrase('people.training')]} onChange={(reason) => set({ reason })} />
        <div className="row"><Button kind="do" type="submit" busy={add.isPending ? phrase('people.adding') : false}>{phrase('people.add-the-absence')}</Button><Button onClick={onClose}>{phrase('people.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}
