import { fieldFaults, KeepReceiver, type ReceiverRow, type ReceiverSetting } from '@bellround/contracts';
import { useState } from 'react';
import { phrase } from '../../../shared/language/index.js';
import { newId } from '../../../shared/new-id.js';
import { Button, CheckBox, Choices, Drawer, Form, NumberField, TextField, useToast } from '../../../shared/ui/index.js';
import { useKeepReceiver } from '../api/receivers.js';

const FRESH: ReceiverSetting = { name: '', host: '127.0.0.1', port: 12_009, udp: false, lines: [{ line: '0', path: '' }], requireKey: true, perMinute: 120, mostConnections: 4000, isOn: true };
const HERE = '127.0.0.1';
const ALL = '0.0.0.0';

/** A receiver's setting: a new one, or a change that the listener follows by itself. */
export function ReceiverForm({ row, onClose }: { row: ReceiverRow | null; onClose: () => void }) {
  const say = useToast();
  const [id] = useState(() => row?.id ?? newId());
  const [draft, setDraft] = useState(() => row?.setting ?? FRESH);
  const [isTried, setTried] = useState(false);
  const keep = useKeepReceiver(() => { say(phrase('signals.kept-the-listener-follows', { name: draft.name })); onClose(); });
  const set = (change: Partial<ReceiverSetting>) => setDraft((before) => ({ ...before, ...change }));
  const setLine = (at: number, change: Partial<ReceiverSetting['lines'][number]>) => set({ lines: draft.lines.map((one, i) => (i === at ? { ...one, ...change } : one)) });
  const input = { id, setting: { ...draft, lines: draft.lines.filter((one) => one.path.trim() !== '' || one.line.trim() === '') } };
  const checked = KeepReceiver.safeParse(input);
  return (
    <Drawer title={row ? phrase('signals.change-name', { name: row.setting.name }) : phrase('signals.add-a-receiver')} onClose={onClose}>
      <Form problem={keep.error} {...(isTried && !checked.success ? { faults: fieldFaults(checked.error) } : {})} onSubmit={() => { setTried(true); if (checked.success) keep.mutate(checked.data); }}>
        <TextField label={phrase('signals.name')} name="setting.name" required value={draft.name} maxLength={80} placeholder={phrase('signals.test-signals')} onChange={(name) => set({ name })} />
        <Choices label={phrase('signals.heard-from')} value={draft.host === HERE ? 'here' : draft.host === ALL ? 'all' : 'one'} onChange={(from) => set({ host: from === 'here' ? HERE : from === 'all' ? ALL : '' })}
          options={[{ value: 'here', label: phrase('signals.this-machine-only') }, { value: 'all', label: phrase('signals.every-network') }, { value: 'one', label: phrase('signals.one-address') }]} />
        {draft.host === HERE || draft.host === ALL ? null : <TextField label={phrase('signals.address')} name="setting.host" required value={draft.host} placeholder="192.0.2.10" onChange={(host) => set({ host })} />}
        <NumberField label={phrase('signals.port')} name="setting.port" required value={draft.port} min={1024} max={65_535} help={phrase('signals.if-it-is-taken-the-next')} onChange={(port) => set({ port: port ?? 0 })} />
        <CheckBox label={phrase('signals.udp-too')} checked={draft.udp} onChange={(udp) => set({ udp })} />
        <CheckBox label={phrase('signals.refuse-accounts-without-a-key')} checked={draft.requireKey} help={phrase('signals.frames-in-the-clear-carry-no-proof')} onChange={(requireKey) => set({ requireKey })} />
        <fieldset className="field"><legend>{phrase('signals.paths-by-line')}</legend><div className="help">{phrase('signals.which-path-a-frames-line-number-stands')}</div>
          {draft.lines.map((one, at) => <div className="row end" key={at}><TextField label={phrase('signals.line')} name={`setting.lines.${at}.line`} value={one.line} maxLength={6} onChange={(line) => setLine(at, { line })} /><TextField label={phrase('signals.path')} name={`setting.lines.${at}.path`} value={one.path} maxLength={60} onChange={(path) => setLine(at, { path })} /><Button size="small" onClick={() => set({ lines: draft.lines.filter((_, i) => i !== at) })}>{phrase('signals.take-away')}</Button></div>)}
          <Button size="small" disabled={draft.lines.length >= 32} onClick={() => set({ lines: [...draft.lines, { line: String(draft.lines.length), path: '' }] })}>{phrase('signals.another-line')}</Button></fieldset>
        <NumberField label={phrase('signals.frames-of-an-account-in-a-minute')} name="setting.perMinute" required value={draft.perMinute} min={1} max={100_000} onChange={(perMinute) => set({ perMinute: perMinute ?? 0 })} />
        <NumberField label={phrase('signals.connections-at-once')} name="setting.mostConnections" required value={draft.mostConnections} min={1} max={50_000} onChange={(mostConnections) => set({ mostConnections: mostConnections ?? 0 })} />
        <CheckBox label={phrase('signals.it-is-on')} checked={draft.isOn} help={phrase('signals.off-closes-it-and-keeps-its-setting')} onChange={(isOn) => set({ isOn })} />
        <div className="row"><Button kind="do" type="submit" busy={keep.isPending}>{row ? phrase('signals.keep-the-change') : phrase('signals.add-the-receiver')}</Button><Button onClick={onClose}>{phrase('signals.leave-as-it-is')}</Button></div>
      </Form>
    </Drawer>
  );
}
