import { hoursInWords, readHours, type SiteNeeds } from '@bellround/contracts';
import { useState } from 'react';
import { dayShort, momentWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, CheckBox, DateField, Dialog, Facts, Form, Loaded, Mark, NumberField, ProblemBox, Section, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { useFeedOwners } from '../api/feeds.js';
import { useEditSiteNeeds, useHandKey, useKeepKey, useKeepPermit, useRemovePermit, useSiteNeeds } from '../api/needs.js';

type Key = SiteNeeds['keys'][number];
type Permit = SiteNeeds['permits'][number];
type Open = { kind: 'needs' } | { kind: 'permit'; permit: Permit | null } | { kind: 'key'; key: Key | null } | { kind: 'hand'; key: Key } | null;

/** What coming to a site takes, and its editors: the plan counts each of them. */
export function ComingHere({ siteId }: { siteId: string }) {
  const needs = useSiteNeeds(siteId);
  const mayPlan = useMay('plan');
  const zone = useMe().company.timeZone;
  const [open, setOpen] = useState<Open>(null);
  const say = useToast();
  const remove = useRemovePermit(() => say(phrase('planning.taken-away')));
  const close = () => setOpen(null);
  const small = (label: string, next: Open) => (mayPlan ? <Button size="small" kind="bare" onClick={() => setOpen(next)}>{label}</Button> : null);
  return (
    <Section title={phrase('planning.coming-here')} actions={mayPlan ? <><Button size="small" onClick={() => setOpen({ kind: 'needs' })}>{phrase('planning.change-notice-and-equipment')}</Button><Button size="small" onClick={() => setOpen({ kind: 'permit', permit: null })}>{phrase('planning.add-a-permit')}</Button><Button size="small" onClick={() => setOpen({ kind: 'key', key: null })}>{phrase('planning.add-a-key')}</Button></> : undefined}>
      <Loaded query={needs} what={phrase('planning.what-coming-here-takes')}>{(of) => (<>
        {remove.error ? <ProblemBox problem={remove.error} /> : null}
        <Facts of={[[phrase('planning.notice'), of.noticeDays === 0 ? phrase('planning.none-needed') : phrase('planning.days-ahead', { n: of.noticeDays })], [phrase('planning.equipment'), of.equipment.join(', ') || phrase('planning.none-needed')]]} />
        {of.permits.length > 0 ? <ul className="stack" style={{ listStyle: 'none' }}>{of.permits.map((one) => (
          <li key={one.id} className="row"><strong>{one.name}</strong>{one.fromDay === null ? <Mark shape="hatched" tone="warn">{phrase('planning.not-granted')}</Mark> : <span>{one.toDay === null ? phrase('planning.from-on', { from: dayShort(one.fromDay) }) : phrase('planning.from-to', { from: dayShort(one.fromDay), to: dayShort(one.toDay) })}</span>}
            {small(phrase('planning.change-name', { name: one.name }), { kind: 'permit', permit: one })}{mayPlan ? <Button size="small" kind="bare" busy={remove.isPending} onClick={() => remove.mutate({ siteId, permitId: one.id })}>{phrase('planning.not-needed', { name: one.name })}</Button> : null}</li>))}</ul> : null}
        {of.keys.length > 0 ? <ul className="stack" style={{ listStyle: 'none' }}>{of.keys.map((one) => (
          <li key={one.id} className="row"><strong>{one.label}</strong><span>{one.needed ? (one.collectAt ? phrase('planning.collected-at', { collectAt: one.collectAt, hours: one.hours === null ? phrase('planning.at-any-time') : hoursInWords(one.hours) }) : phrase('planning.needed-place-not-recorded')) : phrase('planning.not-needed-for-visits')}</span>
            <span className="quiet">{one.holder ? phrase('planning.with-name-since', { name: one.holder.name, since: momentWords(one.holder.since, zone) }) : phrase('planning.nobody-recorded-who-has-it')}</span>
            {small(phrase('planning.change-name', { name: one.label }), { kind: 'key', key: one })}{small(phrase('planning.hand-over-name', { name: one.label }), { kind: 'hand', key: one })}</li>))}</ul> : null}
        {open?.kind === 'needs' ? <NeedsDialog needs={of} onClose={close} /> : null}
        {open?.kind === 'permit' ? <PermitDialog siteId={siteId} permit={open.permit} onClose={close} /> : null}
        {open?.kind === 'key' ? <KeyDialog siteId={siteId} siteKey={open.key} onClose={close} /> : null}
        {open?.kind === 'hand' ? <HandDialog siteKey={open.key} onClose={close} /> : null}
      </>)}</Loaded>
    </Section>
  );
}

const Ends = ({ busy, onClose }: { busy: boolean; onClose: () => void }) => <div className="row"><Button kind="do" type="submit" busy={busy}>{phrase('planning.keep-it')}</Button><Button onClick={onClose}>{phrase('planning.leave-as-it-is')}</Button></div>;

function NeedsDialog({ needs, onClose }: { needs: SiteNeeds; onClose: () => void }) {
  const [draft, setDraft] = useState({ noticeDays: needs.noticeDays as number | null, equipment: needs.equipment.join('; ') });
  const edit = useEditSiteNeeds(onClose);
  return (
    <Dialog title={phrase('planning.change-notice-and-equipment')} onClose={onClose}>
      <Form problem={edit.error} onSubmit={() => edit.mutate({ siteId: needs.siteId, version: needs.version, noticeDays: draft.noticeDays ?? 0, equipment: draft.equipment.split(';').map((one) => one.trim()).filter((one) => one !== '') })}>
        <NumberField label={phrase('planning.notice-so-many-days-ahead')} name="noticeDays" unit={phrase('planning.days')} min={0} max={90} value={draft.noticeDays} onChange={(noticeDays) => setDraft({ ...draft, noticeDays })} help={phrase('planning.0-none-needed')} />
        <TextField label={phrase('planning.equipment')} name="equipment" value={draft.equipment} onChange={(equipment) => setDraft({ ...draft, equipment })} help={phrase('planning.as-vans-carry-it-divided-by-semicolons')} />
        <Ends busy={edit.isPending} onClose={onClose} />
      </Form>
    </Dialog>
  );
}

function PermitDialog({ siteId, permit, onClose }: { siteId: string; permit: Permit | null; onClose: () => void }) {
  const [draft, setDraft] = useState(() => ({ id: permit?.id ?? newId(), name: permit?.name ?? '', fromDay: permit?.fromDay ?? '', toDay: permit?.toDay ?? '' }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const keep = useKeepPermit(onClose);
  return (
    <Dialog title={permit?.name ?? phrase('planning.add-a-permit')} onClose={onClose}>
      <Form problem={keep.error} onSubmit={() => keep.mutate({ siteId, ...draft, fromDay: draft.fromDay || null, toDay: draft.toDay || null })}>
        <TextField label={phrase('planning.permit')} name="name" required value={draft.name} onChange={(name) => set({ name })} />
        <div className="grid narrow"><DateField label={phrase('planning.counts-from')} name="fromDay" value={draft.fromDay} onChange={(fromDay) => set({ fromDay })} help={phrase('planning.empty-not-granted-yet')} /><DateField label={phrase('planning.counts-to')} name="toDay" value={draft.toDay} onChange={(toDay) => set({ toDay })} help={phrase('planning.empty-without-end')} /></div>
        <Ends busy={keep.isPending} onClose={onClose} />
      </Form>
    </Dialog>
  );
}

function KeyDialog({ siteId, siteKey, onClose }: { siteId: string; siteKey: Key | null; onClose: () => void }) {
  const [draft, setDraft] = useState(() => ({ id: siteKey?.id ?? newId(), kind: siteKey?.kind ?? ('key' as const), label: siteKey?.label ?? '', needed: siteKey?.needed ?? true, collectAt: siteKey?.collectAt ?? '', lat: siteKey?.lat ?? null, lon: siteKey?.lon ?? null, hours: siteKey?.hours ? hoursInWords(siteKey.hours) : '', handMin: (siteKey?.handMin ?? 10) as number | null, broughtBack: siteKey?.broughtBack ?? true }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const keep = useKeepKey(onClose);
  const hours = draft.hours.trim() === '' ? null : readHours(draft.hours, false);
  const submit = () => {
    if (hours && 'problem' in hours) return;
    keep.mutate({ siteId, ...draft, collectAt: draft.collectAt.trim() || null, hours: hours?.hours ?? null, handMin: draft.handMin ?? 0 });
  };
  return (
    <Dialog title={siteKey?.label ?? phrase('planning.add-a-key')} onClose={onClose}>
      <Form problem={keep.error} onSubmit={submit}>
        <TextField label={phrase('planning.which-key')} name="label" required value={draft.label} onChange={(label) => set({ label })} help={phrase('planning.never-a-code')} />
        <Select label={phrase('planning.kind')} value={draft.kind} onChange={(kind) => set({ kind: kind === 'fob' ? 'fob' : 'key' })} options={[{ value: 'key', label: phrase('planning.key') }, { value: 'fob', label: phrase('planning.fob') }]} />
        <CheckBox label={phrase('planning.needed-for-visits')} checked={draft.needed} onChange={(needed) => set({ needed })} />
        <TextField label={phrase('planning.collected-where')} name="collectAt" value={draft.collectAt} onChange={(collectAt) => set({ collectAt })} />
        <div className="grid narrow"><NumberField label={phrase('planning.latitude')} name="lat" unit="°" min={-90} max={90} value={draft.lat} onChange={(lat) => set({ lat })} /><NumberField label={phrase('planning.longitude')} name="lon" unit="°" min={-180} max={180} value={draft.lon} onChange={(lon) => set({ lon })} /></div>
        <TextField label={phrase('planning.in-which-hours')} name="hours" value={draft.hours} onChange={(value) => set({ hours: value })} fault={hours && 'problem' in hours ? hours.problem : null} help={phrase('planning.empty-at-any-time')} />
        <NumberField label={phrase('planning.takes-each-time')} name="handMin" unit={phrase('planning.min')} min={0} max={120} value={draft.handMin} onChange={(handMin) => set({ handMin })} />
        <CheckBox label={phrase('planning.brought-back-on-the-same-round')} checked={draft.broughtBack} onChange={(broughtBack) => set({ broughtBack })} />
        <Ends busy={keep.isPending} onClose={onClose} />
      </Form>
    </Dialog>
  );
}

const HOLDERS = { technician: phrase('planning.a-technician'), office: phrase('planning.the-office'), site: phrase('planning.the-site'), client: phrase('planning.the-client') };

function HandDialog({ siteKey, onClose }: { siteKey: Key; onClose: () => void }) {
  const people = useFeedOwners();
  const [draft, setDraft] = useState(() => ({ id: newId(), holderKind: 'office' as keyof typeof HOLDERS, technicianId: '', holderName: '' }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const hand = useHandKey(onClose);
  const rows = people.data?.rows ?? [];
  const isTechnician = draft.holderKind === 'technician';
  return (
    <Dialog title={phrase('planning.hand-over-name', { name: siteKey.label })} onClose={onClose}>
      <Form problem={hand.error} onSubmit={() => hand.mutate({ keyId: siteKey.id, id: draft.id, holderKind: draft.holderKind, technicianId: isTechnician ? draft.technicianId : null, holderName: isTechnician ? rows.find((one) => one.id === draft.technicianId)?.name ?? '' : draft.holderName })}>
        <Select label={phrase('planning.who-has-it-now')} value={draft.holderKind} onChange={(kind) => set({ holderKind: kind as keyof typeof HOLDERS })} options={Object.entries(HOLDERS).map(([value, label]) => ({ value, label }))} />
        {isTechnician ? <Select label={phrase('planning.technician')} value={draft.technicianId} onChange={(technicianId) => set({ technicianId })} empty={phrase('planning.choose-a-technician')} options={rows.map((one) => ({ value: one.id, label: one.name }))} /> : <TextField label={phrase('planning.name')} name="holderName" required value={draft.holderName} onChange={(holderName) => set({ holderName })} />}
        <Ends busy={hand.isPending} onClose={onClose} />
      </Form>
    </Dialog>
  );
}
