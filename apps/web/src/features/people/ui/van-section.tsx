import type { Van } from '@bellround/contracts';
import { useState } from 'react';
import { useMay } from '../../../shared/session.js';
import { Button, Dialog, Facts, Form, Loaded, Section, Select, TextArea, TextField, useToast } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { useKeepVan, useVan } from '../api/technicians.js';

const ENDS = { home: phrase('people.at-home'), depot: phrase('people.at-the-depot') };

/** Where rounds begin and end, and what is on the van: plans send nobody without what a visit asks. */
export function VanSection({ technicianId }: { technicianId: string }) {
  const van = useVan(technicianId);
  const mayPlan = useMay('plan');
  const [isEditing, setEditing] = useState(false);
  return (
    <Section title={phrase('people.van')} actions={mayPlan ? <Button size="small" onClick={() => setEditing(true)}>{phrase('people.count-the-van')}</Button> : undefined}>
      <Loaded query={van} what={phrase('people.the-van')}>{(of) => (<>
        <Facts of={[[phrase('people.rounds-begin'), ENDS[of.startsAt]], [phrase('people.rounds-end'), ENDS[of.endsAt]], [phrase('people.equipment'), of.equipment.join(', ') || null], [phrase('people.parts'), of.stock.map((one) => `${one.quantity} × ${one.part}`).join(', ') || null]]} />
        {isEditing ? <VanDialog of={of} onClose={() => setEditing(false)} /> : null}
      </>)}</Loaded>
    </Section>
  );
}

const lineOf = (text: string): { part: string; quantity: number } | null => {
  const found = /^\s*(\d+)\s*(?:x|×)?\s+(.+?)\s*$/i.exec(text);
  return found ? { quantity: Number(found[1]), part: found[2]! } : null;
};

function VanDialog({ of, onClose }: { of: Van; onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ startsAt: of.startsAt, endsAt: of.endsAt, equipment: of.equipment.join('; '), stock: of.stock.map((one) => `${one.quantity} x ${one.part}`).join('\n') }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const keep = useKeepVan(() => { say(phrase('people.van-counted')); onClose(); });
  const lines = draft.stock.split('\n').filter((one) => one.trim() !== '');
  const wrong = lines.find((one) => lineOf(one) === null);
  const submit = () => { if (wrong === undefined) keep.mutate({ technicianId: of.technicianId, version: of.version, startsAt: draft.startsAt, endsAt: draft.endsAt, equipment: draft.equipment.split(';').map((one) => one.trim()).filter((one) => one !== ''), stock: lines.map((one) => lineOf(one)!) }); };
  const options = Object.entries(ENDS).map(([value, label]) => ({ value, label }));
  return (
    <Dialog title={phrase('people.count-the-van')} onClose={onClose}>
      <Form problem={keep.error} onSubmit={submit}>
        <div className="grid narrow"><Select label={phrase('people.rounds-begin')} value={draft.startsAt} onChange={(value) => set({ startsAt: value as Van['startsAt'] })} options={options} /><Select label={phrase('people.rounds-end')} value={draft.endsAt} onChange={(value) => set({ endsAt: value as Van['endsAt'] })} options={options} /></div>
        <TextField label={phrase('people.equipment')} name="equipment" value={draft.equipment} onChange={(equipment) => set({ equipment })} help={phrase('people.as-sites-ask-for-it-divided-by')} />
        <TextArea label={phrase('people.parts')} value={draft.stock} maxLength={5000} onChange={(stock) => set({ stock })} help={phrase('people.one-a-line-such-as-3-x')} />
        {wrong === undefined ? null : <p role="alert">{phrase('people.line-is-not-read', { line: wrong })}</p>}
        <div className="row"><Button kind="do" type="submit" busy={keep.isPending}>{phrase('people.keep-the-count')}</Button><Button onClick={onClose}>{phrase('people.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}
