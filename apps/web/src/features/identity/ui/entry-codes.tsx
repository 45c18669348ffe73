import { CODE_AFTER_MIN, CODE_BEFORE_MIN, type CodeSight, type EntryCodeRow, SetEntryCode, fieldFaults } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { momentWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, type Column, ConfirmDialog, Dialog, Empty, Form, Loaded, Section, Table, TextField, useToast } from '../../../shared/ui/index.js';
import { useEndEntryCode, useEntryCodes, useSetEntryCode } from '../api/entry-codes.js';
import { phrase } from '../../../shared/language/index.js';

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
    <Section title={phrase('identity.entry-codes')} actions={<Button onClick={() => setSetting('new')}>{phrase('identity.set-a-code')}</Button>}>
      <p className="small quiet">{phrase('identity.a-code-is-sealed-as-it-is', { CODE_BEFORE_MIN, CODE_AFTER_MIN })}</p>
      <Loaded query={codes} what={phrase('identity.the-entry-codes')}>{({ rows, sights }) => (
        <>
          {rows.length === 0 ? <Empty title={phrase('identity.no-code-is-kept-for-this-site')}>{phrase('identity.set-one-if-a-keypad-or-key')}</Empty> : <Table caption={phrase('identity.entry-codes')} columns={columns} rows={rows} rowKey={(row) => row.keyId} />}
          {sights.length > 0 ? <details><summary>{phrase('identity.sights-so-far', { sights: phrase('count.sight', { n: sights.length }) })}</summary><Sights sights={sights} timeZone={timeZone} /></details> : null}
        </>
      )}</Loaded>
      {setting ? <SetDialog siteId={siteId} row={setting === 'new' ? null : setting} onClose={() => setSetting(null)} /> : null}
      {ending ? <EndDialog row={ending} onClose={() => setEnding(null)} /> : null}
    </Section>
  );
}

function columnsIn(timeZone: string, onChange: (row: EntryCodeRow) => void, onEnd: (row: EntryCodeRow) => void): Column<EntryCodeRow>[] {
  return [
    { key: 'label', title: phrase('identity.opens'), cell: (row) => row.label },
    { key: 'set', title: phrase('identity.set'), cell: (row) => phrase('identity.setat-by-setby', { setAt: momentWords(row.setAt, timeZone), setBy: row.setBy }) },
    { key: 'seen', title: phrase('identity.seen-since'), cell: (row) => (row.seen === 0 ? phrase('identity.by-nobody') : phrase('count.time', { n: row.seen })) },
    { key: 'act', title: '', cell: (row) => <span className="row"><Button size="small" onClick={() => onChange(row)}>{phrase('identity.change-the-code')}</Button><Button size="small" onClick={() => onEnd(row)}>{phrase('identity.end-it')}</Button></span> },
  ];
}

function Sights({ sights, timeZone }: { sights: readonly CodeSight[]; timeZone: string }) {
  return <ul>{sights.map((one) => <li key={one.id}>{phrase('identity.byname-saw-the-code-of-label-on', { byName: one.byName, label: one.label, at: momentWords(one.at, timeZone), visitTitle: one.visitTitle, value: one.isOfPresentCode ? '' : phrase('identity.the-code-was-changed-since') })}</li>)}</ul>;
}

function SetDialog({ siteId, row, onClose }: { siteId: string; row: EntryCodeRow | null; onClose: () => void }) {
  const say = useToast();
  const [ids] = useState(() => ({ keyId: row?.keyId ?? newId(), id: newId() }));
  const [draft, setDraft] = useState({ label: row?.label ?? '', code: '' });
  const [isTried, setTried] = useState(false);
  const set = useSetEntryCode(() => { say(phrase('identity.the-code-of-label-is-set-and', { label: draft.label })); onClose(); });
  const input = { siteId, ...ids, ...draft };
  const checked = SetEntryCode.safeParse(input);
  return (
    <Dialog title={row ? phrase('identity.a-new-code-for-label', { label: row.label }) : phrase('identity.set-a-code')} onClose={onClose}>
      <Form problem={set.error} {...(isTried && !checked.success ? { faults: fieldFaults(checked.error) } : {})} onSubmit={() => { setTried(true); if (checked.success) set.mutate(input); }}>
        <TextField label={phrase('identity.what-it-opens')} name="label" required value={draft.label} maxLength={120} placeholder={phrase('identity.yard-door-keypad')} onChange={(label) => setDraft({ ...draft, label })} />
        <TextField label={phrase('identity.code')} name="code" required value={draft.code} maxLength={64} help={phrase('identity.as-it-is-keyed-in-it-is')} onChange={(code) => setDraft({ ...draft, code })} />
        <div className="row"><Button kind="do" type="submit" busy={set.isPending ? phrase('identity.sealing') : false}>{phrase('identity.set-the-code')}</Button><Button onClick={onClose}>{phrase('identity.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}

function EndDialog({ row, onClose }: { row: EntryCodeRow; onClose: () => void }) {
  const say = useToast();
  const [id] = useState(newId);
  const end = useEndEntryCode(() => { say(phrase('identity.label-its-code-opens-nothing-any-more', { label: row.label })); onClose(); });
  return (
    <ConfirmDialog title={phrase('identity.end-the-code-of-label', { label: row.label })} words={phrase('identity.end-the-code')} danger busy={end.isPending} problem={end.error} onClose={onClose} onConfirm={() => end.mutate({ siteId: row.siteId, keyId: row.keyId, id })}>
      <p>{phrase('identity.nobody-is-shown-it-from-now-on')}</p>
    </ConfirmDialog>
  );
}
