import { hoursInWords, readHours, type SiteDetail } from '@bellround/contracts';
import { useState } from 'react';
import { Button, Dialog, Form, TextArea, TextField, useToast } from '../../../shared/ui/index.js';
import { useEditSite } from '../api/sites.js';

const HOURS_HELP = 'Such as "Mon-Fri 08:00-18:00; Sat 09:00-12:00", or "any time", or "never". Local time of the site.';

/** Hours are written as they are read in files. A change by somebody else in between is told, and what was typed stays. */
export function EditSiteDialog({ site, onClose }: { site: SiteDetail; onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ access: hoursInWords(site.accessHours), noise: site.noiseHours === null ? '' : hoursInWords(site.noiseHours), accessNotes: site.accessNotes ?? '', notes: site.notes ?? '' }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const edit = useEditSite(() => { say(`Hours and notes of ${site.name} changed`); onClose(); });
  const [access, noise] = [readHours(draft.access, false), draft.noise.trim() === '' ? null : readHours(draft.noise, false)];
  const submit = () => {
    if ('problem' in access || (noise && 'problem' in noise)) return;
    edit.mutate({ siteId: site.id, version: site.version, accessHours: access.hours, noiseHours: noise?.hours ?? null, accessNotes: draft.accessNotes.trim() || null, notes: draft.notes.trim() || null });
  };
  return (
    <Dialog title={`Hours and notes of ${site.name}`} onClose={onClose}>
      <Form problem={edit.error} onSubmit={submit}>
        <TextField label="Work may be done" required value={draft.access} help={HOURS_HELP} fault={'problem' in access ? access.problem : null} onChange={(value) => set({ access: value })} />
        <TextField label="Sounders may sound" value={draft.noise} help="Empty: whenever access is given." fault={noise && 'problem' in noise ? noise.problem : null} onChange={(value) => set({ noise: value })} />
        <TextArea label="How to get in" value={draft.accessNotes} maxLength={2000} help="Never a code: codes are held in custody, not in notes." onChange={(value) => set({ accessNotes: value })} />
        <TextArea label="Notes" value={draft.notes} maxLength={2000} onChange={(value) => set({ notes: value })} />
        <div className="row"><Button kind="do" type="submit" busy={edit.isPending ? 'Changing …' : false}>Change the site</Button><Button onClick={onClose}>Leave as it is</Button></div>
      </Form>
    </Dialog>
  );
}
