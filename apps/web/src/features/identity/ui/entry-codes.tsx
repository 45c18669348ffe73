import { CODE_AFTER_MIN, CODE_BEFORE_MIN, type CodeSight, type EntryCodeRow, SetEntryCode, fieldFaults } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { countWords, momentWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, type Column, ConfirmDialog, Dialog, Empty, Form, Loaded, Section, Table, TextField, useToast } from '../../../shared/ui/index.js';
import { useEndEntryCode, useEntryCodes, useSetEntryCode } from '../api/entry-codes.js';

/** A site's entry codes for those who plan: which there are and who saw them. The codes themselves are not shown here to anybody. */
export function SiteEntryCodes({ siteId }: { siteId: string }) {
  const mayPlan = useMay('plan');
  return mayPlan ? <Codes siteId={siteId} /> : null;
}

function Codes({ siteId }: { siteId: string }) {
  const { timeZone } = useMe().company;
  const codes = useEntryCodes(siteId);
  const [setting, setSetting] = useState<EntryCodeRow | 'new' | null>(null);
  const [ending, setEnding] = useState<EntryCodeRow | null>(null);
  const columns = useMemo(() => columnsIn(timeZone, setSetting, setEnding), [timeZone]);
  return (
    <Section title="Entry codes" actions={<Button onClick={() => setSetting('new')}>Set a code</Button>}>
      <p className="small quiet">A code is sealed as it is set and cannot be read back here. Only the technician of a visit sees it, from {CODE_BEFORE_MIN} min before until {CODE_AFTER_MIN} min after it, and each sight is recorded.</p>
      <Loaded query={codes} what="the entry codes">{({ rows, sights }) => (
        <>
          {rows.length === 0 ? <Empty title="No code is kept for this site">Set one if a keypad or key safe opens it. Never write a code into the notes.</Empty> : <Table caption="Entry codes" columns={columns} rows={rows} rowKey={(row) => row.keyId} />}
          {sights.length > 0 ? <details><summary>{countWords(sights.length, 'sight')} so far</summary><Sights sights={sights} timeZone={timeZone} /></details> : null}
        </>
      )}</Loaded>
      {setting ? <SetDialog siteId={siteId} row={setting === 'new' ? null : setting} onClose={() => setSetting(null)} /> : null}
      {ending ? <EndDialog row={ending} onClose={() => setEnding(null)} /> : null}
    </Section>
  );
}

function columnsIn(timeZone: string, onChange: (row: EntryCodeRow) => void, onEnd: (row: EntryCodeRow) => void): Column<EntryCodeRow>[] {
  return [
    { key: 'label', title: 'Opens', cell: (row) => row.label },
    { key: 'set', title: 'Set', cell: (row) => `${momentWords(row.setAt, timeZone)} by ${row.setBy}` },
    { key: 'seen', title: 'Seen since', cell: (row) => (row.seen === 0 ? 'by nobody' : countWords(row.seen, 'time')) },
    { key: 'act', title: '', cell: (row) => <span className="row"><Button size="small" onClick={() => onChange(row)}>Change the code</Button><Button size="small" onClick={() => onEnd(row)}>End it</Button></span> },
  ];
}

function Sights({ sights, timeZone }: { sights: readonly CodeSight[]; timeZone: string }) {
  return <ul>{sights.map((one) => <li key={one.id}>{one.byName} saw the code of {one.label} on {momentWords(one.at, timeZone)}, for the visit {one.visitTitle}{one.isOfPresentCode ? '' : ' (the code was changed since)'}</li>)}</ul>;
}

function SetDialog({ siteId, row, onClose }: { siteId: string; row: EntryCodeRow | null; onClose: () => void }) {
  const say = useToast();
  const [ids] = useState(() => ({ keyId: row?.keyId ?? newId(), id: newId() }));
  const [draft, setDraft] = useState({ label: row?.label ?? '', code: '' });
  const [isTried, setTried] = useState(false);
  const set = useSetEntryCode(() => { say(`The code of ${draft.label} is set and sealed`); onClose(); });
  const input = { siteId, ...ids, ...draft };
  const checked = SetEntryCode.safeParse(input);
  return (
    <Dialog title={row ? `A new code for ${row.label}` : 'Set a code'} onClose={onClose}>
      <Form problem={set.error} {...(isTried && !checked.success ? { faults: fieldFaults(checked.error) } : {})} onSubmit={() => { setTried(true); if (checked.success) set.mutate(input); }}>
        <TextField label="What it opens" name="label" required value={draft.label} maxLength={120} placeholder="Yard door keypad" onChange={(label) => setDraft({ ...draft, label })} />
        <TextField label="Code" name="code" required value={draft.code} maxLength={64} help="As it is keyed in. It is sealed when you press the button and cannot be read back." onChange={(code) => setDraft({ ...draft, code })} />
        <div className="row"><Button kind="do" type="submit" busy={set.isPending ? 'Sealing …' : false}>Set the code</Button><Button onClick={onClose}>Leave as it is</Button></div>
      </Form>
    </Dialog>
  );
}

function EndDialog({ row, onClose }: { row: EntryCodeRow; onClose: () => void }) {
  const say = useToast();
  const [id] = useState(newId);
  const end = useEndEntryCode(() => { say(`${row.label}: its code opens nothing any more`); onClose(); });
  return (
    <ConfirmDialog title={`End the code of ${row.label}?`} words="End the code" danger busy={end.isPending} problem={end.error} onClose={onClose} onConfirm={() => end.mutate({ siteId: row.siteId, keyId: row.keyId, id })}>
      <p>Nobody is shown it from now on. Who saw it stays on record.</p>
    </ConfirmDialog>
  );
}
