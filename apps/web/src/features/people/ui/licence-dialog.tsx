import type { LicenceRow, TechnicianRow } from '@bellround/contracts';
import { useState } from 'react';
import { newId } from '../../../shared/new-id.js';
import { Button, DateField, Dialog, Form, TextField, useToast } from '../../../shared/ui/index.js';
import { useKeepLicence } from '../api/technicians.js';
import { phrase } from '../../../shared/language/index.js';

/** Adds a licence or renews the one of its kind. Without a last day nobody can tell, and that never counts as valid. */
export function LicenceDialog({ one, licence, onClose }: { one: TechnicianRow; licence: LicenceRow | null; onClose: () => void }) {
  const say = useToast();
  const [id] = useState(() => licence?.id ?? newId());
  const [draft, setDraft] = useState(() => ({ kind: licence?.kind ?? '', number: licence?.number ?? '', body: licence?.body ?? '', validFrom: licence?.validFrom ?? '', validTo: licence?.validTo ?? '' }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const keep = useKeepLicence(() => { say(phrase('people.licence-kind-of-name-kept', { kind: draft.kind, name: one.name })); onClose(); });
  const submit = () => keep.mutate({ technicianId: one.id, id, kind: draft.kind, number: draft.number || null, body: draft.body || null, validFrom: draft.validFrom || null, validTo: draft.validTo || null });
  return (
    <Dialog title={licence ? phrase('people.renew-kind-of-name', { kind: licence.kind, name: one.name }) : phrase('people.add-a-licence-of-name', { name: one.name })} onClose={onClose}>
      <Form problem={keep.error} onSubmit={submit}>
        <TextField label={phrase('people.what-it-allows')} name="kind" required disabled={licence !== null} value={draft.kind} help={phrase('people.as-duties-name-it-such-as-fire')} onChange={(kind) => set({ kind })} />
        <TextField label={phrase('people.number')} name="number" value={draft.number} onChange={(number) => set({ number })} />
        <TextField label={phrase('people.who-issued-it')} name="body" value={draft.body} onChange={(body) => set({ body })} />
        <div className="grid narrow"><DateField label={phrase('people.first-valid-day')} name="validFrom" value={draft.validFrom} onChange={(validFrom) => set({ validFrom })} /><DateField label={phrase('people.last-valid-day')} name="validTo" value={draft.validTo} help={phrase('people.empty-cant-tell-which-never-counts-as')} onChange={(validTo) => set({ validTo })} /></div>
        <div className="row"><Button kind="do" type="submit" busy={keep.isPending ? phrase('people.keeping') : false}>{phrase('people.keep-the-licence')}</Button><Button onClick={onClose}>{phrase('people.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}
