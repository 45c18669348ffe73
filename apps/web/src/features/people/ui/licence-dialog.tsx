import type { LicenceRow, TechnicianRow } from '@bellround/contracts';
import { useState } from 'react';
import { newId } from '../../../shared/new-id.js';
import { Button, DateField, Dialog, Form, TextField, useToast } from '../../../shared/ui/index.js';
import { useKeepLicence } from '../api/technicians.js';

/** Adds a licence or renews the one of its kind. Without a last day nobody can tell, and that never counts as valid. */
export function LicenceDialog({ one, licence, onClose }: { one: TechnicianRow; licence: LicenceRow | null; onClose: () => void }) {
  const say = useToast();
  const [id] = useState(() => licence?.id ?? newId());
  const [draft, setDraft] = useState(() => ({ kind: licence?.kind ?? '', number: licence?.number ?? '', body: licence?.body ?? '', validFrom: licence?.validFrom ?? '', validTo: licence?.validTo ?? '' }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const keep = useKeepLicence(() => { say(`Licence ${draft.kind} of ${one.name} kept`); onClose(); });
  const submit = () => keep.mutate({ technicianId: one.id, id, kind: draft.kind, number: draft.number || null, body: draft.body || null, validFrom: draft.validFrom || null, validTo: draft.validTo || null });
  return (
    <Dialog title={licence ? `Renew ${licence.kind} of ${one.name}` : `Add a licence of ${one.name}`} onClose={onClose}>
      <Form problem={keep.error} onSubmit={submit}>
        <TextField label="What it allows" name="kind" required disabled={licence !== null} value={draft.kind} help="As duties name it, such as fire." onChange={(kind) => set({ kind })} />
        <TextField label="Number" name="number" value={draft.number} onChange={(number) => set({ number })} />
        <TextField label="Who issued it" name="body" value={draft.body} onChange={(body) => set({ body })} />
        <div className="grid narrow"><DateField label="First valid day" name="validFrom" value={draft.validFrom} onChange={(validFrom) => set({ validFrom })} /><DateField label="Last valid day" name="validTo" value={draft.validTo} help="Empty: can’t tell, which never counts as valid." onChange={(validTo) => set({ validTo })} /></div>
        <div className="row"><Button kind="do" type="submit" busy={keep.isPending ? 'Keeping …' : false}>Keep the licence</Button><Button onClick={onClose}>Leave as it is</Button></div>
      </Form>
    </Dialog>
  );
}
