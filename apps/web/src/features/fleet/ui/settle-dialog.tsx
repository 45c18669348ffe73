import { DIFFERENCE_WORDS, type DifferenceRow } from '@bellround/contracts';
import { useState } from 'react';
import { useMe } from '../../../shared/session.js';
import { Button, Dialog, Facts, Form, ProblemBox, Section, Select, TextArea, useToast } from '../../../shared/ui/index.js';
import { useAssignDifference, useSettleDifference, useSettlers } from '../api/lists.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

/** Name who settles a difference, or say how it was settled. It counts until the lists agree: words do not prove a site. */
export function SettleDialog({ difference, onClose }: { difference: DifferenceRow; onClose: () => void }) {
  const say = useToast();
  const [words, setWords] = useState('');
  const settle = useSettleDifference(() => { say(phrase('fleet.account-accountnumber-settled', { accountNumber: difference.accountNumber })); onClose(); });
  return (
    <Dialog title={phrase('fleet.account-accountnumber-name', { accountNumber: difference.accountNumber, name: difference.name })} onClose={onClose}>
      <Facts of={[[phrase('fleet.disagreement'), said(DIFFERENCE_WORDS[difference.kind].title)], [phrase('fleet.what-it-means'), said(DIFFERENCE_WORDS[difference.kind].means)], ...(difference.station ? [[phrase('fleet.station'), difference.station] as const] : [])]} />
      <Section title={phrase('fleet.who-settles-it')}><Assign difference={difference} onDone={(name) => { say(phrase('fleet.name-settles-account-accountnumber', { name, accountNumber: difference.accountNumber })); onClose(); }} /></Section>
      <Section title={phrase('fleet.settled-already')}>
        <Form problem={settle.error} onSubmit={() => settle.mutate({ differenceId: difference.id, words: words.trim() })}>
          <TextArea label={phrase('fleet.how-it-was-settled')} name="words" required value={words} maxLength={500} onChange={setWords} help={phrase('fleet.the-difference-goes-when-the-lists-agree')} />
          <div className="row"><Button kind="do" type="submit" busy={settle.isPending ? phrase('fleet.writing') : false}>{phrase('fleet.settle-with-these-words')}</Button><Button onClick={onClose}>{phrase('fleet.leave-as-it-is')}</Button></div>
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
  const people = [{ id: me.userId, name: phrase('fleet.name-you', { name: me.name }) }, ...(users.data?.rows ?? []).filter((one) => one.id !== me.userId && !one.disabledAt)];
  const assign = useAssignDifference(() => onDone(people.find((one) => one.id === userId)?.name ?? phrase('fleet.somebody')));
  return (
    <div className="stack">
      {assign.error ? <ProblemBox problem={assign.error} /> : null}
      <div className="row end">
        {isOwner ? <Select label={phrase('fleet.person')} required value={userId} onChange={setUserId} options={people.map((one) => ({ value: one.id, label: one.name }))} /> : <span>{difference.assignee ? phrase('fleet.name-settles-it', { name: difference.assignee.name }) : phrase('fleet.nobody-is-named-yet')}</span>}
        <Button busy={assign.isPending} onClick={() => assign.mutate({ differenceId: difference.id, userId: isOwner ? userId : me.userId })}>{isOwner ? phrase('fleet.name-this-person') : phrase('fleet.i-settle-this')}</Button>
      </div>
    </div>
  );
}
