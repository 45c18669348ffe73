import { ENVIRONMENTS, hoursInWords, readHours, type SiteDetail } from '@bellround/contracts';
import { useState } from 'react';
import { Button, Dialog, Form, Select, TextArea, TextField, useToast } from '../../../shared/ui/index.js';
import { useEditSite } from '../api/sites.js';
import { phrase } from '../../../shared/language/index.js';
import { ENVIRONMENT, wordOf } from '../../../shared/words.js';

const HOURS_HELP = phrase('fleet.such-as-mon-fri-08-00-18');

/** Hours are written as they are read in files. A change by somebody else in between is told, and what was typed stays. */
export function EditSiteDialog({ site, onClose }: { site: SiteDetail; onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ access: hoursInWords(site.accessHours), noise: site.noiseHours === null ? '' : hoursInWords(site.noiseHours), accessNotes: site.accessNotes ?? '', notes: site.notes ?? '', environment: site.environment ?? '' }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const edit = useEditSite(() => { say(phrase('fleet.hours-and-notes-of-name-changed', { name: site.name })); onClose(); });
  const [access, noise] = [readHours(draft.access, false), draft.noise.trim() === '' ? null : readHours(draft.noise, false)];
  const submit = () => {
    if ('problem' in access || (noise && 'problem' in noise)) return;
    edit.mutate({ siteId: site.id, version: site.version, accessHours: access.hours, noiseHours: noise?.hours ?? null, accessNotes: draft.accessNotes.trim() || null, notes: draft.notes.trim() || null, environment: draft.environment === '' ? null : draft.environment as (typeof ENVIRONMENTS)[number] });
  };
  return (
    <Dialog title={phrase('fleet.hours-and-notes-of-name', { name: site.name })} onClose={onClose}>
      <Form problem={edit.error} onSubmit={submit}>
        <TextField label={phrase('fleet.work-may-be-done')} required value={draft.access} help={HOURS_HELP} fault={'problem' in access ? access.problem : null} onChange={(value) => set({ access: value })} />
        <TextField label={phrase('fleet.sounders-may-sound')} value={draft.noise} help={phrase('fleet.empty-whenever-access-is-given')} fault={noise && 'problem' in noise ? noise.problem : null} onChange={(value) => set({ noise: value })} />
        <TextArea label={phrase('fleet.how-to-get-in')} value={draft.accessNotes} maxLength={2000} help={phrase('fleet.never-a-code-codes-are-held-in')} onChange={(value) => set({ accessNotes: value })} />
        <Select label={phrase('fleet.environment')} value={draft.environment} empty={phrase('fleet.not-known-counted-as-harsh')} options={ENVIRONMENTS.map((value) => ({ value, label: wordOf(ENVIRONMENT, value) }))} help={phrase('fleet.what-most-of-its-parts-live-in')} onChange={(environment) => set({ environment })} />
        <TextArea label={phrase('fleet.notes')} value={draft.notes} maxLength={2000} onChange={(value) => set({ notes: value })} />
        <div className="row"><Button kind="do" type="submit" busy={edit.isPending ? phrase('fleet.changing') : false}>{phrase('fleet.change-the-site')}</Button><Button onClick={onClose}>{phrase('fleet.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}
