import type { LooseEnd } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { useSearchParams } from 'react-router';
import { clockWords, countWords, dayShort, dayWords, momentWords, plusDays, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMe } from '../../../shared/session.js';
import { Button, Drawer, Empty, Facts, Figure, Form, LinkButton, Loaded, Mark, Page, SearchBox, Section, Select, Table, TextArea, useToast } from '../../../shared/ui/index.js';
import { useNoteAttempt } from '../api/access.js';
import { useLooseEnds } from '../api/week.js';
import { AgreeForm } from './agree-form.js';
import { plainWords } from './plain-words.js';

const KINDS: Record<LooseEnd['kind'], string> = { 'no-visit-yet': 'lapses without a visit', unplaced: 'left out of the plan', returned: 'came back', 'call-to-make': 'access call to make', 'retest-unplanned': 'not put right yet', 'message-failed': 'message not sent', difference: 'lists disagree' };
const SHOWN = 300;
const keyOf = (one: LooseEnd): string => `${one.kind} ${one.visitId ?? ''} ${one.siteId ?? ''} ${one.words}`;

/** Whatever waits for a dispatcher, most pressing first. */
export function LooseEndsScreen() {
  const ends = useLooseEnds();
  const [params, setParams] = useSearchParams();
  const [search, setSearch] = useState('');
  const kind = params.get('kind') ?? '';
  const setKind = (value: string) => setParams(value === '' ? {} : { kind: value }, { replace: true });
  const [open, setOpen] = useState<LooseEnd | null>(null);
  const fits = useMemo(() => (one: LooseEnd) => (kind === '' || one.kind === kind) && `${one.siteName} ${one.words} ${one.contact?.name ?? ''}`.toLowerCase().includes(search.toLowerCase()), [search, kind]);
  return (
    <Page title="Loose ends" lead="Visits left out or returned, access calls to make, duties that lapse without a visit, messages that did not go, lists that disagree." actions={<><SearchBox label="Search loose ends" value={search} onChange={setSearch} placeholder="Site, contact or words" /><Select label="Kind" value={kind} onChange={setKind} empty="all kinds" options={Object.entries(KINDS).map(([value, label]) => ({ value, label }))} /></>}>
      <Loaded query={ends} what="the loose ends">{({ rows }) => {
        const shown = rows.filter(fits);
        if (rows.length === 0) return <Empty title="Nothing is loose">Every open duty has a visit on its way, every client was asked, and every message went out.</Empty>;
        return (<>
          <div className="row">{(Object.keys(KINDS) as LooseEnd['kind'][]).map((one) => ({ one, n: rows.filter((row) => row.kind === one).length })).filter(({ n }) => n > 0).map(({ one, n }) => <Figure key={one} amount={n} name={KINDS[one]} to={`/loose-ends?kind=${one}`} look={one === kind} />)}</div>
          {shown.length === 0 ? <Empty title="No loose end matches" action={<Button onClick={() => { setSearch(''); setKind(''); }}>Show all {rows.length}</Button>} /> : <Ends rows={shown} onOpen={setOpen} />}
          {open ? <EndDrawer end={open} onClose={() => setOpen(null)} /> : null}
        </>);
      }}</Loaded>
    </Page>
  );
}

function Ends({ rows, onOpen }: { rows: LooseEnd[]; onOpen: (end: LooseEnd) => void }) {
  const zone = useMe().company.timeZone;
  return (
    <>
      <p className="quiet" role="status">{countWords(rows.length, 'loose end')}</p>
      <Table caption="Loose ends" rows={rows.slice(0, SHOWN)} rowKey={keyOf} onOpen={(one) => { if (one.siteId) onOpen(one); }} columns={[
        { key: 'site', title: 'Site', sortBy: (one) => one.siteName, cell: (one) => (one.siteId ? <Button kind="bare" size="small" onClick={() => onOpen(one)}>{one.siteName || 'site'}</Button> : one.siteName || 'the company') },
        { key: 'kind', title: 'Kind', sortBy: (one) => one.kind, cell: (one) => <Mark shape={shapeOf(one)} tone={one.kind === 'no-visit-yet' || one.kind === 'retest-unplanned' ? 'bad' : 'warn'}>{KINDS[one.kind]}</Mark> },
        { key: 'words', title: 'What', cell: (one) => plainWords(one.words) },
        { key: 'reach', title: 'Whom to ask', cell: (one) => (one.contact ? <>{one.contact.name}{one.contact.phone ? <>, <a href={`tel:${one.contact.phone.replace(/\s/g, '')}`}>{one.contact.phone}</a></> : one.contact.email ? <>, <a href={`mailto:${one.contact.email}`}>{one.contact.email}</a></> : ', no number on record'}</> : '') },
        { key: 'lapses', title: 'By', sortBy: (one) => one.lapsesOn ?? one.day, cell: (one) => (one.lapsesOn ? dayShort(one.lapsesOn) : one.day ? `${dayShort(one.day)}${one.startMin === null ? '' : ` ${clockWords(one.startMin)}`}` : '') },
        { key: 'since', title: 'Since', sortBy: (one) => one.since, cell: (one) => (one.since ? momentWords(one.since, zone) : '') },
      ]} />
      {rows.length > SHOWN ? <p className="note">{rows.length - SHOWN} more; narrow the search.</p> : null}
    </>
  );
}

const shapeOf = (one: LooseEnd) => (one.kind === 'no-visit-yet' || one.kind === 'retest-unplanned' ? 'bracketed' : one.kind === 'difference' ? 'hatched' : one.kind === 'returned' ? 'returning' : 'empty');

/** What can be done about one loose end: agree a date, write down the try, go where it is settled. */
function EndDrawer({ end, onClose }: { end: LooseEnd; onClose: () => void }) {
  const today = todayIn(useMe().company.timeZone);
  const canAgree = end.visitId !== null && ['unplaced', 'returned', 'call-to-make'].includes(end.kind);
  const day = end.day !== null && end.day >= today ? end.day : plusDays(today, 1);
  return (
    <Drawer title={end.siteName || 'Loose end'} onClose={onClose}>
      <Facts of={[['Kind', KINDS[end.kind]], ['What', plainWords(end.words)], ...(end.day ? [['Planned', `${dayWords(end.day)}${end.startMin === null ? '' : ` ${clockWords(end.startMin)}`}`] as const] : []), ['Whom to ask', end.contact ? `${end.contact.name}${end.contact.language ? ` (${end.contact.language})` : ''}` : null], ['Phone', end.contact?.phone ?? null], ['E-mail', end.contact?.email ?? null], ['Attempts so far', String(end.attempts)]]} />
      <div className="row">
        {end.siteId ? <LinkButton size="small" to={`/sites/${end.siteId}`}>Open the site</LinkButton> : null}
        {end.visitId ? <LinkButton size="small" to={`/visits/${end.visitId}`}>Open the visit</LinkButton> : null}
        {end.kind === 'unplaced' || end.kind === 'no-visit-yet' ? <LinkButton size="small" to={`/week${end.visitId ? `?visit=${end.visitId}&open=visit` : ''}`}>Place it in the week</LinkButton> : null}
        {end.kind === 'message-failed' ? <LinkButton size="small" to="/messages">Go to messages</LinkButton> : null}
        {end.kind === 'difference' ? <LinkButton size="small" to="/lists">Settle it in the three lists</LinkButton> : null}
        {end.kind === 'retest-unplanned' ? <LinkButton size="small" to={`/deficiencies?search=${encodeURIComponent(end.siteName)}`}>Plan the retest</LinkButton> : null}
      </div>
      {canAgree ? <Section title="Agree a date"><AgreeForm visitId={end.visitId!} day={day} startMin={end.startMin ?? 540} name={end.contact?.name ?? ''} onDone={onClose} /></Section> : null}
      {end.siteId && (canAgree || end.kind === 'no-visit-yet') ? <Section title="Write down the try"><AttemptForm siteId={end.siteId} visitId={end.visitId} onDone={onClose} /></Section> : null}
    </Drawer>
  );
}

const HOW = [['call', 'called'], ['message', 'wrote a message'], ['letter', 'sent a letter']] as const;
const OUTCOMES = [['no-answer', 'no answer'], ['reached', 'reached'], ['refused', 'refused'], ['wrong-contact', 'wrong contact'], ['moved-appointment', 'asked for another day']] as const;
const options = (of: readonly (readonly [string, string])[]) => of.map(([value, label]) => ({ value, label }));

/** A try at access from the desk: it counts as evidence when a duty lapses for want of it. */
function AttemptForm({ siteId, visitId, onDone }: { siteId: string; visitId: string | null; onDone: () => void }) {
  const [how, setHow] = useState<string>('call');
  const [outcome, setOutcome] = useState<string>('no-answer');
  const [words, setWords] = useState('');
  const [id] = useState(() => newId());
  const toast = useToast();
  const keep = useNoteAttempt(() => { toast('Written down'); onDone(); });
  return (
    <Form problem={keep.error} onSubmit={() => keep.mutate({ siteId, id, visitId, how: how as 'call', outcome: outcome as 'no-answer', words, preventableBy: 'customer' })}>
      <Select label="How" value={how} onChange={setHow} options={options(HOW)} />
      <Select label="What came of it" value={outcome} onChange={setOutcome} options={options(OUTCOMES)} />
      <TextArea label="In words" name="words" value={words} onChange={setWords} required />
      <Button type="submit" busy={keep.isPending} disabled={words.trim().length < 3}>Keep the try</Button>
    </Form>
  );
}
