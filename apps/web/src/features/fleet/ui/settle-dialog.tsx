import { DIFFERENCE_WORDS, type DifferenceRow } from '@bellround/contracts';
import { useState } from 'react';
import { useMe } from '../../../shared/session.js';
import { Button, Dialog, Facts, Form, ProblemBox, Section, Select, TextArea, useToast } from '../../../shared/ui/index.js';
import { useAssignDifference, useSettleDifference, useSettlers } from '../api/lists.js';

/** Name who settles a difference, or say how it was settled. It counts until the lists agree: words do not prove a site. */
export function SettleDialog({ difference, onClose }: { difference: DifferenceRow; onClose: () => void }) {
  const say = useToast();
  const [words, setWords] = useState('');
  const settle = useSettleDifference(() => { say(`Account ${difference.accountNumber} settled`); onClose(); });
  return (
    <Dialog title={`Account ${difference.accountNumber}, ${difference.name}`} onClose={onClose}>
      <Facts of={[['Disagreement', DIFFERENCE_WORDS[difference.kind].title], ['What it means', DIFFERENCE_WORDS[difference.kind].means], ...(difference.station ? [['Station', difference.station] as const] : [])]} />
      <Section title="Who settles it"><Assign difference={difference} onDone={(name) => { say(`${name} settles account ${difference.accountNumber}`); onClose(); }} /></Section>
      <Section title="Settled already">
        <Form problem={settle.error} onSubmit={() => settle.mutate({ differenceId: difference.id, words: words.trim() })}>
          <TextArea label="How it was settled" name="words" required value={words} maxLength={500} onChange={setWords} help="The difference goes when the lists agree; until then it keeps counting." />
          <div className="row"><Button kind="do" type="submit" busy={settle.isPending ? 'Writing …' : false}>Settle with these words</Button><Button onClick={onClose}>Leave as it is</Button></div>
        </Form>
      </Section>
    </Dialog>
  );
}

function Assign({ difference, onDone }: { difference: DifferenceRow; onDone: (name: string) => void }) {
  const me = useMe();
  const isOwner = me.role === 'owner';
  const users = useSettlers(isOwner);
  const [userId, setUserId] = useState(difference.assignee?.id ?? me.userId);
  const people = [{ id: me.userId, name: `${me.name} (you)` }, ...(users.data?.rows ?? []).filter((one) => one.id !== me.userId && !one.disabledAt)];
  const assign = useAssignDifference(() => onDone(people.find((one) => one.id === userId)?.name ?? 'Somebody'));
  return (
    <div className="stack">
      {assign.error ? <ProblemBox problem={assign.error} /> : null}
      <div className="row end">
        {isOwner ? <Select label="Person" required value={userId} onChange={setUserId} options={people.map((one) => ({ value: one.id, label: one.name }))} /> : <span>{difference.assignee ? `${difference.assignee.name} settles it.` : 'Nobody is named yet.'}</span>}
        <Button busy={assign.isPending} onClick={() => assign.mutate({ differenceId: difference.id, userId: isOwner ? userId : me.userId })}>{isOwner ? 'Name this person' : 'I settle this'}</Button>
      </div>
    </div>
  );
}
