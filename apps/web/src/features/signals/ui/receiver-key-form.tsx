import { fieldFaults, MOST_GRACE_H, type ReceiverRow, SetReceiverKey } from '@bellround/contracts';
import { useState } from 'react';
import { phrase } from '../../../shared/language/index.js';
import { newId } from '../../../shared/new-id.js';
import { Button, Choices, Drawer, Form, NumberField, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { useSetReceiverKey } from '../api/receivers.js';

/** A fresh key from this device's own source of randomness. */
const madeKey = (bits: number): string => Array.from(crypto.getRandomValues(new Uint8Array(bits / 8)), (byte) => byte.toString(16).padStart(2, '0')).join('').toUpperCase();

/** Sets an account's key: made here and shown this once, or typed in. Nobody reads it back afterwards. */
export function ReceiverKeyForm({ receiver, account: given, onClose }: { receiver: ReceiverRow; account: string; onClose: () => void }) {
  const say = useToast();
  const [id] = useState(newId);
  const [account, setAccount] = useState(given === '*' ? '' : given);
  const [whose, setWhose] = useState<'one' | 'all'>(given === '*' ? 'all' : 'one');
  const [bits, setBits] = useState('128');
  const [way, setWay] = useState<'made' | 'typed'>('made');
  const [made, setMade] = useState(() => madeKey(128));
  const [typed, setTyped] = useState('');
  const [graceH, setGrace] = useState<number | null>(24);
  const [isTried, setTried] = useState(false);
  const [isSet, setSet] = useState(false);
  const set = useSetReceiverKey(() => { if (way === 'made') setSet(true); else { say(phrase('signals.the-key-is-set-and-sealed')); onClose(); } });
  const named = whose === 'all' ? '*' : account.trim().toUpperCase();
  const hasOld = receiver.keys.some((key) => key.account === named && key.state !== 'ended');
  const checked = SetReceiverKey.safeParse({ receiverId: receiver.id, id, account: named, key: way === 'made' ? made : typed.replace(/\s/g, ''), graceH: hasOld ? graceH ?? -1 : 0 });
  if (isSet) return <Shown account={named} text={made} onClose={onClose} />;
  return (
    <Drawer title={phrase('signals.a-key-at-name', { name: receiver.setting.name })} onClose={onClose}>
      <Form problem={set.error} {...(isTried && !checked.success ? { faults: fieldFaults(checked.error) } : {})} onSubmit={() => { setTried(true); if (checked.success) set.mutate(checked.data); }}>
        <Choices label={phrase('signals.whose-key')} value={whose} onChange={setWhose} options={[{ value: 'one', label: phrase('signals.one-account') }, { value: 'all', label: phrase('signals.all-without-a-key-of-their-own') }]} />
        {whose === 'all' ? null : <TextField label={phrase('signals.account')} name="account" required value={account} maxLength={16} help={phrase('signals.as-the-control-unit-sends-it')} onChange={setAccount} />}
        <Choices label={phrase('signals.the-key')} value={way} onChange={setWay} options={[{ value: 'made', label: phrase('signals.make-one-here') }, { value: 'typed', label: phrase('signals.it-is-in-the-control-unit') }]} />
        {way === 'made' ? <Select label={phrase('signals.length')} value={bits} onChange={(next) => { setBits(next); setMade(madeKey(Number(next))); }} options={['128', '192', '256'].map((one) => ({ value: one, label: `${one} bit` }))} />
          : <TextField label={phrase('signals.key-in-hex')} name="key" required value={typed} maxLength={100} help={phrase('signals.32-48-or-64-hex-digits')} onChange={setTyped} />}
        {hasOld ? <NumberField label={phrase('signals.the-old-key-opens-on-for')} name="graceH" required unit="h" min={0} max={MOST_GRACE_H} value={graceH} help={phrase('signals.until-its-control-unit-has-the-new')} onChange={setGrace} /> : null}
        <div className="row"><Button kind="do" type="submit" busy={set.isPending}>{phrase('signals.set-the-key')}</Button><Button onClick={onClose}>{phrase('signals.leave-as-it-is')}</Button></div>
      </Form>
    </Drawer>
  );
}

function Shown({ account, text, onClose }: { account: string; text: string; onClose: () => void }) {
  const [isCopied, setCopied] = useState(false);
  return (
    <Drawer title={phrase('signals.the-key-of-account-shown-this-once', { account })} onClose={onClose} foot={<Button onClick={onClose}>{phrase('signals.done')}</Button>}>
      <p>{phrase('signals.enter-it-in-the-control-unit-now')}</p>
      <p className="leaf"><code style={{ overflowWrap: 'anywhere' }}>{text.replace(/(.{4})(?=.)/g, '$1 ')}</code></p>
      <div className="row"><Button kind="do" onClick={() => { void navigator.clipboard.writeText(text).then(() => setCopied(true), () => setCopied(false)); }}>{phrase('signals.copy-the-key')}</Button><span role="status">{isCopied ? phrase('signals.copied') : ''}</span></div>
    </Drawer>
  );
}
