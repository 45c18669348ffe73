import { BLACKOUT_KINDS, type SiteDetail } from '@bellround/contracts';
import { useState } from 'react';
import { dayShort, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, DateField, Dialog, Form, ProblemBox, Section, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { useAddBlackout, useRemoveBlackout } from '../api/sites.js';

type Kind = (typeof BLACKOUT_KINDS)[number];
const KIND_WORDS: Record<Kind, string> = { closed: 'closed', noise: 'no sounders', season: 'shut each year in this season', suspended: 'suspended' };

/** Days on which nobody may come, or nothing may sound, with who decided it. */
export function BlackoutsOf({ site }: { site: SiteDetail }) {
  const mayPlan = useMay('plan');
  const say = useToast();
  const [isAdding, setAdding] = useState(false);
  const remove = useRemoveBlackout(() => say('Taken away'));
  return (
    <Section title="Closed and silent days" actions={mayPlan ? <Button size="small" onClick={() => setAdding(true)}>Add days</Button> : undefined}>
      {remove.error ? <ProblemBox problem={remove.error} /> : null}
      {site.blackouts.length === 0 ? <p className="quiet">None recorded.</p> : (
        <ul className="stack" style={{ listStyle: 'none' }}>{site.blackouts.map((one) => (
          <li key={one.id} className="row"><strong>{KIND_WORDS[one.kind]}</strong><span>{dayShort(one.fromDay)} {one.toDay ? `to ${dayShort(one.toDay)}` : 'until further notice'}</span><span className="quiet">{one.reason}; decided by {one.authority}</span>
            {mayPlan ? <Button size="small" kind="bare" busy={remove.isPending} onClick={() => remove.mutate({ siteId: site.id, blackoutId: one.id })}>Take away</Button> : null}</li>
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
  const add = useAddBlackout(() => { say(`Days added at ${site.name}`); onClose(); });
  return (
    <Dialog title={`Closed or silent days of ${site.name}`} onClose={onClose}>
      <Form problem={add.error} onSubmit={() => add.mutate({ siteId: site.id, ...draft, toDay: draft.toDay || null })}>
        <Select label="On these days the site is" name="kind" required value={draft.kind} onChange={(kind) => set({ kind: kind as Kind })} options={BLACKOUT_KINDS.map((kind) => ({ value: kind, label: KIND_WORDS[kind] }))} />
        <div className="grid narrow"><DateField label="First day" name="fromDay" required value={draft.fromDay} onChange={(fromDay) => set({ fromDay })} /><DateField label="Last day" name="toDay" value={draft.toDay} onChange={(toDay) => set({ toDay })} help="Empty: until further notice." /></div>
        <TextField label="Why" name="reason" required value={draft.reason} onChange={(reason) => set({ reason })} />
        <TextField label="Who decided it" name="authority" required value={draft.authority} onChange={(authority) => set({ authority })} />
        <div className="row"><Button kind="do" type="submit" busy={add.isPending ? 'Adding …' : false}>Add these days</Button><Button onClick={onClose}>Leave as it is</Button></div>
      </Form>
    </Dialog>
  );
}
