import { CONTACT_ROLES, type SiteDetail } from '@bellround/contracts';
import { useState } from 'react';
import { dayShort, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, CheckBox, DateField, Dialog, Form, Section, Tag, TextField, useToast } from '../../../shared/ui/index.js';
import { useKeepContact } from '../api/sites.js';
import { phrase } from '../../../shared/language/index.js';

type Contact = SiteDetail['contacts'][number];
const ROLE_WORDS: Record<(typeof CONTACT_ROLES)[number], string> = { 'permits-entry': phrase('fleet.permits-entry'), 'is-obliged': phrase('fleet.is-obliged'), pays: phrase('fleet.pays'), 'is-told': phrase('fleet.is-told'), 'holds-keys': phrase('fleet.holds-keys') };

/** Who permits entry, who is obliged, who pays, who is told: often four people. */
export function ContactsOf({ site }: { site: SiteDetail }) {
  const mayPlan = useMay('plan');
  const [open, setOpen] = useState<Contact | 'new' | null>(null);
  return (
    <Section title={phrase('fleet.people-of-the-site')} actions={mayPlan ? <Button size="small" onClick={() => setOpen('new')}>{phrase('fleet.add-a-person')}</Button> : undefined}>
      {site.contacts.length === 0 ? <p className="quiet">{phrase('fleet.nobody-is-recorded-there-is-no-one')}</p> : (
        <ul className="stack" style={{ listStyle: 'none' }}>{site.contacts.map((one) => (
          <li key={one.id} className="row"><strong>{one.name}</strong>{one.roles.map((role) => <Tag key={role}>{ROLE_WORDS[role]}</Tag>)}<span>{[one.phone, one.email].filter(Boolean).join(', ')}</span>
            {one.validTo ? <span className="quiet">{phrase('fleet.until-validto', { validTo: dayShort(one.validTo) })}</span> : null}{mayPlan ? <Button size="small" kind="bare" onClick={() => setOpen(one)}>{phrase('fleet.change-name', { name: one.name })}</Button> : null}</li>
        ))}</ul>
      )}
      {open ? <ContactDialog site={site} contact={open === 'new' ? null : open} onClose={() => setOpen(null)} /> : null}
    </Section>
  );
}

function ContactDialog({ site, contact, onClose }: { site: SiteDetail; contact: Contact | null; onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState<Contact>(() => contact ?? { id: newId(), name: '', roles: [], email: null, phone: null, language: null, validFrom: todayIn(site.timeZone), validTo: null });
  const set = (changes: Partial<Contact>) => setDraft({ ...draft, ...changes });
  const keep = useKeepContact(() => { say(phrase('fleet.name-kept', { name: draft.name })); onClose(); });
  return (
    <Dialog title={contact ? phrase('fleet.change-name', { name: contact.name }) : phrase('fleet.add-a-person')} onClose={onClose}>
      <Form problem={keep.error} onSubmit={() => keep.mutate({ siteId: site.id, ...draft })}>
        <TextField label={phrase('fleet.name')} name="name" required autoFocus value={draft.name} onChange={(name) => set({ name })} />
        <fieldset className="field"><legend>{phrase('fleet.what-this-person-does')}</legend>{CONTACT_ROLES.map((role) => (
          <CheckBox key={role} label={ROLE_WORDS[role]} checked={draft.roles.includes(role)} onChange={(checked) => set({ roles: checked ? [...draft.roles, role] : draft.roles.filter((one) => one !== role) })} />
        ))}</fieldset>
        <TextField label={phrase('fleet.telephone')} name="phone" type="tel" value={draft.phone ?? ''} onChange={(phone) => set({ phone: phone || null })} />
        <TextField label={phrase('fleet.e-mail')} name="email" type="email" value={draft.email ?? ''} onChange={(email) => set({ email: email || null })} />
        <TextField label={phrase('fleet.language')} name="language" value={draft.language ?? ''} onChange={(language) => set({ language: language || null })} />
        <div className="grid narrow"><DateField label={phrase('fleet.first-day')} name="validFrom" required value={draft.validFrom} onChange={(validFrom) => set({ validFrom })} /><DateField label={phrase('fleet.last-day')} name="validTo" value={draft.validTo ?? ''} onChange={(validTo) => set({ validTo: validTo || null })} /></div>
        <div className="row"><Button kind="do" type="submit" busy={keep.isPending ? phrase('fleet.keeping') : false}>{phrase('fleet.keep-this-person')}</Button><Button onClick={onClose}>{phrase('fleet.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}
