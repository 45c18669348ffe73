import { BLACKOUT_KINDS, type SiteDetail } from '@bellround/contracts';
import { useState } from 'react';
import { dayShort, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, DateField, Dialog, Form, ProblemBox, Section, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { useAddBlackout, useRemoveBlackout } from '../api/sites.js';
import { phrase } from '../../../shared/language/index.js';

type Kind = (typeof BLACKOUT_KINDS)[number];
const KIND_WORDS: Record<Kind, string> = { closed: phrase('fleet.closed'), noise: phrase('fleet.no-sounders'), season: phrase('fleet.shut-each-year-in-this-season'), suspended: phrase('fleet.suspended') };

/** Days on which nobody may come, or nothing may sound, with who decided it. */
export function BlackoutsOf({ site }: { site: SiteDetail }) {
  const mayPlan = useMay('plan');
  const say = useToast();
  const [isAdding, setAdding] = useState(false);
  const remove = useRemoveBlackout(() => say(phrase('fleet.taken-away')));
  return (
    <Section title={phrase('fleet.closed-and-silent-days')} actions={mayPlan ? <Button size="small" onClick={() => setAdding(true)}>{phrase('fleet.add-days')}</Button> : undefined}>
      {remove.error ? <ProblemBox problem={remove.error} /> : null}
      {site.blackouts.length === 0 ? <p className="quiet">{phrase('fleet.none-recorded')}</p> : (
        <ul className="stack" style={{ listStyle: 'none' }}>{site.blackouts.map((one) => (
          <li key={one.id} className="row"><strong>{KIND_WORDS[one.kind]}</strong><span>{dayShort(one.fromDay)} {one.toDay ? phrase('fleet.to-today', { toDay: dayShort(one.toDay) }) : phrase('fleet.until-further-notice')}</span><span className="quiet">{phrase('fleet.reason-decided-by-authority', { reason: one.reason, authority: one.authority })}</span>
            {mayPlan ? <Button size="small" kind="bare" busy={remove.isPending} onClick={() => remove.mutate({ siteId: site.id, blackoutId: one.id })}>{phrase('fleet.take-away')}</Button> : null}</li>
        ))}</ul>
      )}
      {isAdding ? <BlackoutDialog site={site} onClose={() => setAdding(false)} /> : null}
    </Section>
  );
}

function BlackoutDialog({ site, onClose }: { site: SiteDetail; onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ id: newId(), kind: 'closed' as Kind, fromDay: todayIn(site.timeZone), toDay: '', reason: '', authority: '' }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const add = useAddBlackout(() => { say(phrase('fleet.days-added-at-name', { name: site.name })); onClose(); });
  return (
    <Dialog title={phrase('fleet.closed-or-silent-days-of-name', { name: site.name })} onClose={onClose}>
      <Form problem={add.error} onSubmit={() => add.mutate({ siteId: site.id, ...draft, toDay: draft.toDay || null })}>
        <Select label={phrase('fleet.on-these-days-the-site-is')} name="kind" required value={draft.kind} onChange={(kind) => set({ kind: kind as Kind })} options={BLACKOUT_KINDS.map((kind) => ({ value: kind, label: KIND_WORDS[kind] }))} />
        <div className="grid narrow"><DateField label={phrase('fleet.first-day')} name="fromDay" required value={draft.fromDay} onChange={(fromDay) => set({ fromDay })} /><DateField label={phrase('fleet.last-day')} name="toDay" value={draft.toDay} onChange={(toDay) => set({ toDay })} help={phrase('fleet.empty-until-further-notice')} /></div>
        <TextField label={phrase('fleet.why')} name="reason" required value={draft.reason} onChange={(reason) => set({ reason })} />
        <TextField label={phrase('fleet.who-decided-it')} name="authority" required value={draft.authority} onChange={(authority) => set({ authority })} />
        <div className="row"><Button kind="do" type="submit" busy={add.isPending ? phrase('fleet.adding') : false}>{phrase('fleet.add-these-days')}</Button><Button onClick={onClose}>{phrase('fleet.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}
