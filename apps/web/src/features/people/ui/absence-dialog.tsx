import type { TechnicianRow } from '@bellround/contracts';
import { useState } from 'react';
import { todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { Button, DateField, Dialog, Form, TextField, useToast } from '../../../shared/ui/index.js';
import { useAddAbsence } from '../api/technicians.js';

export function AbsenceDialog({ one, onClose }: { one: TechnicianRow; onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ id: newId(), fromDay: todayIn(one.timeZone), toDay: todayIn(one.timeZone), reason: '' }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const add = useAddAbsence(() => { say(`${one.name} is away`); onClose(); });
  return (
    <Dialog title={`${one.name} is away`} onClose={onClose}>
      <Form problem={add.error} onSubmit={() => add.mutate({ technicianId: one.id, ...draft })}>
        <div className="grid narrow"><DateField label="First day" name="fromDay" required value={draft.fromDay} onChange={(fromDay) => set({ fromDay, ...(draft.toDay < fromDay ? { toDay: fromDay } : {}) })} /><DateField label="Last day" name="toDay" required value={draft.toDay} min={draft.fromDay} onChange={(toDay) => set({ toDay })} /></div>
        <TextField label="Why" name="reason" required value={draft.reason} suggestions={['leave', 'sick', 'training']} onChange={(reason) => set({ reason })} />
        <div className="row"><Button kind="do" type="submit" busy={add.isPending ? 'Adding …' : false}>Add the absence</Button><Button onClick={onClose}>Leave as it is</Button></div>
      </Form>
    </Dialog>
  );
}
