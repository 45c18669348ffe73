import type { ReceiverKeyRow, ReceiverRow } from '@bellround/contracts';
import { useState } from 'react';
import { momentWords, numberWords } from '../../../shared/format.js';
import { phrase } from '../../../shared/language/index.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, CautionBox, ConfirmDialog, Empty, Facts, Figure, LinkButton, Loaded, Mark, Page, Pager, SearchBox, Section, Table, useToast } from '../../../shared/ui/index.js';
import { useEndReceiverKey, useReceivers, useRetireReceiver } from '../api/receivers.js';
import { ReceiverForm } from './receiver-form.js';
import { ReceiverKeyForm } from './receiver-key-form.js';

const PER_PAGE = 25;

/** Where test signals are heard besides the station: settings, keys, and what came. Nobody is dispatched from here. */
export function ReceiversScreen() {
  const mayPlan = useMay('plan');
  const [isAdding, setAdding] = useState(false);
  if (!mayPlan) return <Page title={phrase('signals.receivers')} slim><Empty title={phrase('signals.only-those-who-plan-set-receivers')}>{phrase('signals.ask-your-dispatcher-or-an-owner')}</Empty></Page>;
  return (
    <Page title={phrase('signals.receivers')} lead={phrase('signals.where-control-units-send-their-test-signals')} actions={<Button kind="do" onClick={() => setAdding(true)}>{phrase('signals.add-a-receiver')}</Button>}>
      <CautionBox>{phrase('signals.a-receiver-only-confirms-arrival')}</CautionBox>
      <All onAdd={() => setAdding(true)} />
      {isAdding ? <ReceiverForm row={null} onClose={() => setAdding(false)} /> : null}
    </Page>
  );
}

function All({ onAdd }: { onAdd: () => void }) {
  const receivers = useReceivers();
  return (
    <Loaded query={receivers} what={phrase('signals.the-receivers')}>{({ rows }) => {
      const [live, retired] = [rows.filter((row) => row.retiredAt === null), rows.filter((row) => row.retiredAt !== null)];
      return (<>
        {live.length === 0 ? <Empty title={phrase('signals.no-receiver-is-set')} action={<Button onClick={onAdd}>{phrase('signals.add-a-receiver')}</Button>}>{phrase('signals.add-one-then-send-control-units')}</Empty> : live.map((row) => <One key={row.id} row={row} />)}
        {retired.length === 0 ? null : <details><summary>{phrase('signals.retired-receivers', { n: retired.length })}</summary>{retired.map((row) => <One key={row.id} row={row} />)}</details>}
      </>);
    }}</Loaded>
  );
}

function One({ row }: { row: ReceiverRow }) {
  const { timeZone } = useMe().company;
  const [open, setOpen] = useState<'change' | 'retire' | 'key' | null>(null);
  const { setting, state } = row;
  const when = (instant: string | null) => (instant === null ? phrase('signals.never') : momentWords(instant, timeZone));
  const isRetired = row.retiredAt !== null;
  return (
    <Section title={setting.name} actions={isRetired ? null : <><Button size="small" onClick={() => setOpen('key')}>{phrase('signals.set-a-key')}</Button><Button size="small" onClick={() => setOpen('change')}>{phrase('signals.change')}</Button><Button size="small" kind="danger" onClick={() => setOpen('retire')}>{phrase('signals.retire')}</Button></>}>
      <Facts of={[
        [phrase('signals.state'), <StateOf key="state" row={row} timeZone={timeZone} />],
        [phrase('signals.listens-on'), `${setting.host}:${setting.port}, ${setting.udp ? phrase('signals.tcp-and-udp') : 'TCP'}`],
        [phrase('signals.speaks'), phrase('signals.sia-dc-09-adm-cid-sia')],
        [phrase('signals.without-a-key'), setting.requireKey ? phrase('signals.refused') : phrase('signals.taken-in-the-clear')],
        [phrase('signals.limits'), phrase('signals.per-minute-of-an-account-and-connections', { perMinute: numberWords(setting.perMinute), mostConnections: numberWords(setting.mostConnections) })],
        [phrase('signals.paths-by-line'), setting.lines.length === 0 ? phrase('signals.none-named-the-path-cant-be') : setting.lines.map(({ line, path }) => `${line}: ${path}`).join('; ')],
      ]} />
      {state === null ? null : <div className="grid narrow">
        <Figure look amount={numberWords(state.good)} name={phrase('signals.good-frames-kept')} why={phrase('signals.last-when', { when: when(state.lastGoodAt) })} />
        <Figure amount={numberWords(state.refused)} name={phrase('signals.refused-frames')} why={state.lastRefusal === null ? phrase('signals.none-so-far') : `${when(state.lastRefusedAt)}: ${state.lastRefusal}`} />
        <Figure amount={numberWords(state.again)} name={phrase('signals.sent-again')} why={phrase('signals.kept-before-answered-once-more')} />
        <Figure amount={numberWords(state.damaged + state.heldBack)} name={phrase('signals.left-unanswered')} why={phrase('signals.damaged-or-more-than-the-limit', { damaged: numberWords(state.damaged), heldBack: numberWords(state.heldBack) })} />
      </div>}
      <Keys row={row} isRetired={isRetired} timeZone={timeZone} />
      {open === 'change' ? <ReceiverForm row={row} onClose={() => setOpen(null)} /> : null}
      {open === 'key' ? <ReceiverKeyForm receiver={row} account="" onClose={() => setOpen(null)} /> : null}
      {open === 'retire' ? <Retire row={row} onClose={() => setOpen(null)} /> : null}
    </Section>
  );
}

function StateOf({ row: { setting, state, retiredAt }, timeZone }: { row: ReceiverRow; timeZone: string }) {
  if (retiredAt !== null) return <Mark shape="fallen">{phrase('signals.retired-when', { when: momentWords(retiredAt, timeZone) })}</Mark>;
  if (!setting.isOn) return <Mark shape="line">{phrase('signals.switched-off')}</Mark>;
  if (state === null || !state.isHeard) return <Mark shape="hatched" tone="unsure">{state === null ? phrase('signals.cant-tell-no-listener-has-spoken') : phrase('signals.cant-tell-the-listener-last-spoke', { when: momentWords(state.seenAt, timeZone) })}</Mark>;
  if (state.listeningPort === null) return <Mark shape="fallen" tone="bad">{state.trouble ?? phrase('signals.closed')}</Mark>;
  return <><Mark shape="whole" tone="good">{phrase('signals.listening-on-port', { port: state.listeningPort, connections: phrase('count.connection', { n: state.connections }) })}</Mark>{state.trouble === null ? null : <> <Mark shape="half" tone="warn">{state.trouble}</Mark></>}</>;
}

function Keys({ row, isRetired, timeZone }: { row: ReceiverRow; isRetired: boolean; timeZone: string }) {
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const [ending, setEnding] = useState<ReceiverKeyRow | null>(null);
  const [account, setAccount] = useState<string | null>(null);
  const found = row.keys.filter((key) => `${key.account} ${key.siteName ?? ''}`.toLowerCase().includes(search.trim().toLowerCase()));
  const when = (instant: string | null) => (instant === null ? phrase('signals.never') : momentWords(instant, timeZone));
  if (row.keys.length === 0) return <p className="note">{phrase('signals.no-key-is-set-frames-in-the')}</p>;
  return (<>
    <div className="row between"><h3>{phrase('signals.keys')}</h3><SearchBox label={phrase('signals.search-keys-of-name', { name: row.setting.name })} value={search} onChange={(next) => { setOffset(0); setSearch(next); }} placeholder={phrase('signals.account-or-site')} /></div>
    {found.length === 0 ? <Empty title={phrase('signals.no-account-matches-search', { search })} action={<Button onClick={() => setSearch('')}>{phrase('signals.show-all')}</Button>} /> : <>
      <Table caption={phrase('signals.keys-of-name', { name: row.setting.name })} rows={found.slice(offset, offset + PER_PAGE)} rowKey={(key) => key.id} columns={[
        { key: 'account', title: phrase('signals.account'), sortBy: (key) => key.account, cell: (key) => <>{key.account === '*' ? phrase('signals.all-without-a-key-of-their-own') : key.account}{key.siteId === null ? null : <><br /><LinkButton kind="bare" size="small" to={`/sites/${key.siteId}`}>{key.siteName}</LinkButton></>}</> },
        { key: 'state', title: phrase('signals.state'), cell: (key) => (key.state === 'in-use' ? <Mark shape="whole" tone="good">{phrase('signals.in-use')}</Mark> : key.state === 'ending' ? <Mark shape="half" tone="warn">{phrase('signals.opens-until-when', { when: when(key.endsAt) })}</Mark> : <Mark shape="fallen">{phrase('signals.ended-when', { when: when(key.endsAt) })}</Mark>) },
        { key: 'set', title: phrase('signals.set'), cell: (key) => phrase('signals.setat-by-setby-bits', { setAt: momentWords(key.setAt, timeZone), setBy: key.setBy, bits: key.bits }) },
        { key: 'good', title: phrase('signals.good'), align: 'end', cell: (key) => numberWords(key.good) }, { key: 'refused', title: phrase('signals.refused-count'), align: 'end', cell: (key) => numberWords(key.refused) },
        { key: 'last', title: phrase('signals.last-heard'), cell: (key) => when(key.lastGoodAt) },
        { key: 'do', title: '', cell: (key) => (isRetired || key.state === 'ended' ? null : <span className="row"><Button size="small" onClick={() => setAccount(key.account)}>{phrase('signals.new-key')}</Button><Button size="small" onClick={() => setEnding(key)}>{phrase('signals.end-it')}</Button></span>) },
      ]} /><Pager offset={offset} limit={PER_PAGE} total={found.length} onMove={setOffset} what={phrase('signals.keys')} /></>}
    {ending ? <EndKey row={ending} onClose={() => setEnding(null)} /> : null}
    {account !== null ? <ReceiverKeyForm receiver={row} account={account} onClose={() => setAccount(null)} /> : null}
  </>);
}

function Retire({ row, onClose }: { row: ReceiverRow; onClose: () => void }) {
  const say = useToast();
  const retire = useRetireReceiver(() => { say(phrase('signals.name-is-retired', { name: row.setting.name })); onClose(); });
  return <ConfirmDialog title={phrase('signals.retire-name', { name: row.setting.name })} words={phrase('signals.retire-the-receiver')} danger busy={retire.isPending} problem={retire.error} onClose={onClose} onConfirm={() => retire.mutate({ receiverId: row.id })}><p>{phrase('signals.it-hears-nothing-from-now-on')}</p></ConfirmDialog>;
}

function EndKey({ row, onClose }: { row: ReceiverKeyRow; onClose: () => void }) {
  const say = useToast();
  const end = useEndReceiverKey(() => { say(phrase('signals.the-key-of-account-opens-nothing', { account: row.account })); onClose(); });
  return <ConfirmDialog title={phrase('signals.end-the-key-of-account', { account: row.account })} words={phrase('signals.end-the-key')} danger busy={end.isPending} problem={end.error} onClose={onClose} onConfirm={() => end.mutate({ keyId: row.id })}><p>{phrase('signals.what-its-panel-sends-with-it-is')}</p></ConfirmDialog>;
}
