import type { LooseEnd } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { useSearchParams } from 'react-router';
import { clockWords, dayShort, dayWords, momentWords, plusDays, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMe } from '../../../shared/session.js';
import { Button, Drawer, Empty, Facts, Figure, Form, LinkButton, Loaded, Mark, Page, SearchBox, Section, Select, Table, TextArea, useToast } from '../../../shared/ui/index.js';
import { useNoteAttempt } from '../api/access.js';
import { useLooseEnds } from '../api/week.js';
import { AgreeForm } from './agree-form.js';
import { plainWords } from './plain-words.js';
import { phrase } from '../../../shared/language/index.js';

const KINDS: Record<LooseEnd['kind'], string> = { 'no-visit-yet': phrase('planning.lapses-without-a-visit'), unplaced: phrase('planning.left-out-of-the-plan'), returned: phrase('planning.came-back'), 'call-to-make': phrase('planning.access-call-to-make'), 'notice-due': phrase('planning.notice-to-give'), 'permit-due': phrase('planning.permit-missing'), 'retest-unplanned': phrase('planning.not-put-right-yet'), 'message-failed': phrase('planning.message-not-sent'), difference: phrase('planning.lists-disagree') };
/** What stands under a number of them. */
const COUNTED: Record<LooseEnd['kind'], (n: number) => string> = { 'no-visit-yet': (n) => phrase('planning.ends-no-visit-yet', { n }), unplaced: (n) => phrase('planning.ends-unplaced', { n }), returned: (n) => phrase('planning.ends-returned', { n }), 'call-to-make': (n) => phrase('planning.ends-call-to-make', { n }), 'notice-due': (n) => phrase('planning.ends-notice-due', { n }), 'permit-due': (n) => phrase('planning.ends-permit-due', { n }), 'retest-unplanned': (n) => phrase('planning.ends-retest-unplanned', { n }), 'message-failed': (n) => phrase('planning.ends-message-failed', { n }), difference: (n) => phrase('planning.ends-difference', { n }) };
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
    <Page title={phrase('planning.loose-ends')} lead={phrase('planning.visits-left-out-or-returned-access-calls')} actions={<><SearchBox label={phrase('planning.search-loose-ends')} value={search} onChange={setSearch} placeholder={phrase('planning.site-contact-or-words')} /><Select label={phrase('planning.kind')} value={kind} onChange={setKind} empty={phrase('planning.all-kinds')} options={Object.entries(KINDS).map(([value, label]) => ({ value, label }))} /></>}>
      <Loaded query={ends} what={phrase('planning.the-loose-ends')}>{({ rows }) => {
        const shown = rows.filter(fits);
        if (rows.length === 0) return <Empty title={phrase('planning.nothing-is-loose')}>{phrase('planning.every-open-duty-has-a-visit-on')}</Empty>;
        return (<>
          <div className="row">{(Object.keys(KINDS) as LooseEnd['kind'][]).map((one) => ({ one, n: rows.filter((row) => row.kind === one).length })).filter(({ n }) => n > 0).map(({ one, n }) => <Figure key={one} amount={n} name={COUNTED[one](n)} to={`/loose-ends?kind=${one}`} look={one === kind} />)}</div>
          {shown.length === 0 ? <Empty title={phrase('planning.no-loose-end-matches')} action={<Button onClick={() => { setSearch(''); setKind(''); }}>{phrase('planning.show-all-rows', { rows: rows.length })}</Button>} /> : <Ends rows={shown} onOpen={setOpen} />}
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
      <p className="quiet" role="status">{phrase('count.loose-end', { n: rows.length })}</p>
      <Table caption={phrase('planning.loose-ends')} rows={rows.slice(0, SHOWN)} rowKey={keyOf} onOpen={(one) => { if (one.siteId) onOpen(one); }} columns={[
        { key: 'site', title: phrase('planning.site'), sortBy: (one) => one.siteName, cell: (one) => (one.siteId ? <Button kind="bare" size="small" onClick={() => onOpen(one)}>{one.siteName || phrase('planning.site-2')}</Button> : one.siteName || phrase('planning.the-company')) },
        { key: 'kind', title: phrase('planning.kind'), sortBy: (one) => one.kind, cell: (one) => <Mark shape={shapeOf(one)} tone={one.kind === 'no-visit-yet' || one.kind === 'retest-unplanned' ? 'bad' : 'warn'}>{KINDS[one.kind]}</Mark> },
        { key: 'words', title: phrase('planning.what'), cell: (one) => plainWords(one.words) },
        { key: 'reach', title: phrase('planning.whom-to-ask'), cell: (one) => (one.contact ? <>{one.contact.name}{one.contact.phone ? <>, <a className="nowrap" href={`tel:${one.contact.phone.replace(/\s/g, '')}`}>{one.contact.phone}</a></> : one.contact.email ? <>, <a href={`mailto:${one.contact.email}`}>{one.contact.email}</a></> : phrase('planning.no-number-on-record')}</> : '') },
        { key: 'lapses', title: phrase('planning.by'), sortBy: (one) => one.lapsesOn ?? one.day, cell: (one) => (one.lapsesOn ? <span className="nowrap">{dayShort(one.lapsesOn)}</span> : one.day ? <><span className="nowrap">{dayShort(one.day)}</span>{one.startMin === null ? '' : ` ${clockWords(one.startMin)}`}</> : '') },
        { key: 'since', title: phrase('planning.since'), sortBy: (one) => one.since, cell: (one) => (one.since ? momentWords(one.since, zone) : '') },
      ]} />
      {rows.length > SHOWN ? <p className="note">{phrase('planning.value-more-narrow-the-search', { value: rows.length - SHOWN })}</p> : null}
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
    <Drawer title={end.siteName || phrase('planning.loose-end')} onClose={onClose}>
      <Facts of={[[phrase('planning.kind'), KINDS[end.kind]], [phrase('planning.what'), plainWords(end.words)], ...(end.day ? [[phrase('planning.planned'), `${dayWords(end.day)}${end.startMin === null ? '' : ` ${clockWords(end.startMin)}`}`] as const] : []), [phrase('planning.whom-to-ask'), end.contact ? `${end.contact.name}${end.contact.language ? ` (${end.contact.language})` : ''}` : null], [phrase('planning.phone'), end.contact?.phone ?? null], [phrase('identity.e-mail'), end.contact?.email ?? null], [phrase('planning.attempts-so-far'), String(end.attempts)]]} />
      <div className="row">
        {end.siteId ? <LinkButton size="small" to={`/sites/${end.siteId}`}>{phrase('planning.open-the-site')}</LinkButton> : null}
        {end.visitId ? <LinkButton size="small" to={`/visits/${end.visitId}`}>{phrase('planning.open-the-visit')}</LinkButton> : null}
        {end.kind === 'unplaced' || end.kind === 'no-visit-yet' ? <LinkButton size="small" to={`/week${end.visitId ? `?visit=${end.visitId}&open=visit` : ''}`}>{phrase('planning.place-it-in-the-week')}</LinkButton> : null}
        {end.kind === 'message-failed' ? <LinkButton size="small" to="/messages">{phrase('planning.go-to-messages')}</LinkButton> : null}
        {end.kind === 'difference' ? <LinkButton size="small" to="/lists">{phrase('planning.settle-it-in-the-three-lists')}</LinkButton> : null}
        {end.kind === 'retest-unplanned' ? <LinkButton size="small" to={`/deficiencies?search=${encodeURIComponent(end.siteName)}`}>{phrase('planning.plan-the-retest')}</LinkButton> : null}
      </div>
      {canAgree ? <Section title={phrase('planning.agree-a-date')}><AgreeForm visitId={end.visitId!} day={day} startMin={end.startMin ?? 540} name={end.contact?.name ?? ''} onDone={onClose} /></Section> : null}
      {end.siteId && (canAgree || end.kind === 'no-visit-yet') ? <Section title={phrase('planning.write-down-the-try')}><AttemptForm siteId={end.siteId} visitId={end.visitId} onDone={onClose} /></Section> : null}
    </Drawer>
  );
}

const HOW = [['call', phrase('planning.called')], ['message', phrase('planning.wrote-a-message')], ['letter', phrase('planning.sent-a-letter')]] as const;
const OUTCOMES = [['no-answer', phrase('planning.no-answer')], ['reached', phrase('word.reached')], ['refused', phrase('word.refused')], ['wrong-contact', phrase('planning.wrong-contact')], ['moved-appointment', phrase('planning.asked-for-another-day')]] as const;
const options = (of: readonly (readonly [string, string])[]) => of.map(([value, label]) => ({ value, label }));

/** A try at access from the desk: it counts as evidence when a duty lapses for want of it. */
function AttemptForm({ siteId, visitId, onDone }: { siteId: string; visitId: string | null; onDone: () => void }) {
  const [how, setHow] = useState<string>('call');
  const [outcome, setOutcome] = useState<string>('no-answer');
  const [words, setWords] = useState('');
  const [id] = useState(() => newId());
  const toast = useToast();
  const keep = useNoteAttempt(() => { toast(phrase('planning.written-down')); onDone(); });
  return (
    <Form problem={keep.error} onSubmit={() => keep.mutate({ siteId, id, visitId, how: how as 'call', outcome: outcome as 'no-answer', words, preventableBy: 'customer' })}>
      <Select label={phrase('planning.how')} value={how} onChange={setHow} options={options(HOW)} />
      <Select label={phrase('planning.what-came-of-it')} value={outcome} onChange={setOutcome} options={options(OUTCOMES)} />
      <TextArea label={phrase('planning.in-words')} name="words" value={words} onChange={setWords} required />
      <Button type="submit" busy={keep.isPending} disabled={words.trim().length < 3}>{phrase('planning.keep-the-try')}</Button>
    </Form>
  );
}
