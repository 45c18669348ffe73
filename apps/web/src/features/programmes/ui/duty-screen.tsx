import { REMOTE_KINDS, type DutyShown } from '@bellround/contracts';
import { Link, useParams } from 'react-router';
import { dayShort, dayWords, listWords, minutesWords, plusDays } from '../../../shared/format.js';
import { ProofStrip } from '../../../shared/pictures/proof-strip.js';
import { useMay } from '../../../shared/session.js';
import { Button, CautionBox, Empty, Facts, Loaded, Mark, Page, ProblemBox, Section, StandingMark, Table, VerdictMark } from '../../../shared/ui/index.js';
import { useReadHistory } from '../api/duties.js';
import { useDuty } from '../api/programmes.js';
import { phrase } from '../../../shared/language/index.js';
import { checkWord } from '../../../shared/check-words.js';
import { said } from '../../../shared/language/said.js';

/** One duty explained: why its window lies where it lies, how each ended, and which checks count or why not. */
export function DutyScreen() {
  const { dutyId = '' } = useParams();
  const duty = useDuty(dutyId);
  return (
    <Loaded query={duty} what={phrase('programmes.the-duty')}>{(shown) => (
      <Page title={`${said(shown.title)}: ${shown.subject}`} lead={<><Link to={`/sites/${shown.siteId}`}>{shown.siteName}</Link>, {shown.systemName}</>}>
        <p className="row"><StandingMark standing={shown.standing} /> <span>{said(shown.why)}</span></p>
        <CautionBox title={phrase('programmes.before-you-rely-on-it')}>{shown.caution}</CautionBox>
        <Facts of={[
          [phrase('programmes.asked-by'), shown.regime], [phrase('programmes.source'), `${shown.clause} (${said(shown.provenance)})`],
          [phrase('programmes.programme'), <Link key="programme" to={`/programmes/${shown.programmeId}`}>{phrase('programmes.programmetitle-version-programmeversion', { programmeTitle: shown.programmeTitle, programmeVersion: shown.programmeVersion })}</Link>],
          [phrase('programmes.how-often'), said(shown.cadence)], [phrase('programmes.owed'), phrase('programmes.from-validfrom-value', { validFrom: dayWords(shown.validFrom), value: shown.validTo ? phrase('programmes.to-validto', { validTo: dayWords(shown.validTo) }) : '' })],
          [phrase('programmes.met-by'), phrase('programmes.join-evidence-minevidence-or-better-by-by', { join: listWords(shown.checkKinds.map(checkWord), shown.meets === 'all' ? 'and' : 'or'), minEvidence: shown.minEvidence, by: shown.by })],
          [phrase('programmes.needs'), [minutesWords(shown.minutes), ...shown.skills, ...shown.licences, shown.remotely ? phrase('programmes.can-be-met-from-the-stations-history') : phrase('programmes.a-visit'), ...(shown.sounds ? [phrase('programmes.sounders-work-noise-hours-count')] : [])].join(', ')],
          [phrase('programmes.after-a-suspension'), shown.onReturn === 'check' ? phrase('programmes.a-check-is-owed-at-once') : phrase('programmes.it-goes-on-as-it-was')],
        ]} />
        {shown.remotely && REMOTE_KINDS.some((kind) => shown.checkKinds.includes(kind)) ? <History siteId={shown.siteId} /> : null}
        {shown.share ? <Share share={shown.share} /> : null}
        <Windows duty={shown} />
        <Section title={phrase('programmes.checks')}>
          {shown.checks.length === 0 ? <Empty title={phrase('programmes.no-check-of-this-kind-is-recorded')} /> : <Table caption={phrase('programmes.checks-of-this-dutys-kinds-on-its')} rows={shown.checks} rowKey={(row) => row.checkId} columns={[
            { key: 'on', title: phrase('programmes.done'), cell: (row) => `${dayWords(row.performedOn)}: ${checkWord(row.checkKind)}` },
            { key: 'subject', title: phrase('programmes.on'), cell: (row) => row.subject },
            { key: 'verdict', title: phrase('programmes.verdict'), cell: (row) => <VerdictMark verdict={row.verdict} /> },
            { key: 'by', title: phrase('programmes.by'), cell: (row) => phrase('programmes.value-source-grade-evidence', { value: row.by ?? phrase('programmes.not-known'), source: row.source, evidence: row.evidence }) },
            { key: 'counts', title: phrase('programmes.counts'), cell: (row) => <>{row.credited ? <Mark shape="standing" tone="good">{phrase('programmes.credited')}</Mark> : <Mark shape="empty">{phrase('programmes.not-credited')}</Mark>} {said(row.words)}</> },
          ]} />}
        </Section>
      </Page>
    )}</Loaded>
  );
}

/** A remote duty is met from what the station heard: read it now, without a visit. */
function History({ siteId }: { siteId: string }) {
  const may = useMay('plan');
  const read = useReadHistory();
  if (!may) return null;
  return (
    <Section title={phrase('programmes.stations-history')} actions={<Button busy={read.isPending ? phrase('programmes.reading') : false} onClick={() => read.mutate({ siteId })}>{phrase('programmes.read-the-stations-history')}</Button>}>
      {read.error ? <ProblemBox problem={read.error} /> : null}
      {read.data ? (read.data.rows.length === 0 ? <p className="quiet">{phrase('programmes.no-path-of-this-site-owes-a')}</p> : <ul>{read.data.rows.map((row) => <li key={`${row.subjectId} ${row.checkKind}`}><VerdictMark verdict={row.verdict === 'cant-tell' ? 'not-enough-data' : row.verdict} /> <strong>{row.subject}</strong> ({checkWord(row.checkKind)}): {row.words}{row.checkId === null ? phrase('programmes.nothing-new-is-recorded') : phrase('programmes.recorded')}</li>)}</ul>)
        : <p className="quiet">{phrase('programmes.records-a-check-of-each-path-that')}</p>}
    </Section>
  );
}

/** A share of a population: what this period still needs, and who comes next. */
function Share({ share }: { share: NonNullable<DutyShown['share']> }) {
  const missing = Math.max(0, share.needed - share.done.length);
  return (
    <Section title={phrase('programmes.this-period-periodfrom-to-periodto', { periodFrom: dayWords(share.periodFrom), periodTo: dayWords(share.periodTo) })}>
      <p>{missing === 0 ? <Mark shape="standing" tone="good">{phrase('programmes.the-share-is-full')}</Mark> : <Mark shape="empty" tone="warn">{phrase('programmes.missing-still-needed', { missing })}</Mark>} {phrase('programmes.done-of-needed-needed-are-proven-out', { done: share.done.length, needed: share.needed, units: phrase('count.unit', { n: share.units }), cycleTo: dayWords(share.cycleTo) })}</p>
      <Facts of={[[phrase('programmes.proven-this-period'), share.done.join(', ') || phrase('programmes.none')], [phrase('programmes.next-in-this-order'), share.next.slice(0, Math.max(missing, 5)).join(', ') || phrase('programmes.none-left')]]} />
    </Section>
  );
}

function Windows({ duty }: { duty: DutyShown }) {
  const first = duty.windows[0];
  if (!first) return <Empty title={phrase('programmes.no-window-yet')}>{phrase('programmes.the-duty-begins-on-validfrom', { validFrom: dayWords(duty.validFrom) })}</Empty>;
  const last = duty.windows.at(-1)!;
  const from = first.governsFrom < first.opens ? first.governsFrom : first.opens;
  // A little beyond the last day, so that today's line and the last edge have room.
  const to = plusDays([last.lapses < '9000' ? last.lapses : '', last.metOn ?? '', duty.asOf].reduce((a, b) => (a > b ? a : b)), 60);
  return (
    <Section title={phrase('programmes.windows')}>
      <ProofStrip lanes={[{ title: duty.title, windows: duty.windows, pauses: [] }]} from={from} to={to} today={duty.asOf} />
      <Table caption={phrase('programmes.windows-newest-first')} rows={duty.windows.toReversed()} rowKey={(row) => String(row.n)} columns={[
        { key: 'window', title: phrase('programmes.window'), cell: (row) => phrase('programmes.opens-to-lapses-due-due', { opens: dayShort(row.opens), lapses: dayShort(row.lapses), due: dayShort(row.due) }) },
        { key: 'ended', title: phrase('programmes.ended'), cell: (row) => (row.metOn ? <Mark shape={row.outcome === 'late' ? 'beyond' : 'standing'} tone={row.outcome === 'late' ? 'warn' : 'good'}>{phrase('programmes.met-meton-value', { metOn: dayShort(row.metOn), value: row.lateDays > 0 ? phrase('programmes.latedays-late', { lateDays: phrase('count.day', { n: row.lateDays }) }) : '' })}</Mark> : row.outcome === 'missed' ? <Mark shape="bracketed" tone="bad">{phrase('programmes.missed')}</Mark> : <Mark shape="empty">{phrase('programmes.not-met')}</Mark>) },
        { key: 'why', title: phrase('programmes.why'), cell: (row) => said(row.why) },
      ]} />
    </Section>
  );
}
