import type { DutyShown } from '@bellround/contracts';
import { Link, useParams } from 'react-router';
import { countWords, dayShort, dayWords, minutesWords, plusDays } from '../../../shared/format.js';
import { ProofStrip } from '../../../shared/pictures/proof-strip.js';
import { useMay } from '../../../shared/session.js';
import { Button, CautionBox, Empty, Facts, Loaded, Mark, Page, ProblemBox, Section, StandingMark, Table, VerdictMark } from '../../../shared/ui/index.js';
import { useReadHistory } from '../api/duties.js';
import { useDuty } from '../api/programmes.js';

/** One duty explained: why its window lies where it lies, how each ended, and which checks count or why not. */
export function DutyScreen() {
  const { dutyId = '' } = useParams();
  const duty = useDuty(dutyId);
  return (
    <Loaded query={duty} what="the duty">{(shown) => (
      <Page title={`${shown.title}: ${shown.subject}`} lead={<><Link to={`/sites/${shown.siteId}`}>{shown.siteName}</Link>, {shown.systemName}</>}>
        <p className="row"><StandingMark standing={shown.standing} /> <span>{shown.why}</span></p>
        <CautionBox title="Before you rely on it">{shown.caution}</CautionBox>
        <Facts of={[
          ['Asked by', shown.regime], ['Source', `${shown.clause} (${shown.provenance})`],
          ['Programme', <Link key="programme" to={`/programmes/${shown.programmeId}`}>{shown.programmeTitle}, version {shown.programmeVersion}</Link>],
          ['How often', shown.cadence], ['Owed', `from ${dayWords(shown.validFrom)}${shown.validTo ? ` to ${dayWords(shown.validTo)}` : ''}`],
          ['Met by', `${shown.checkKinds.map((kind) => kind.replaceAll('-', ' ')).join(shown.meets === 'all' ? ' and ' : ' or ')}, evidence ${shown.minEvidence} or better, by ${shown.by}`],
          ['Needs', [minutesWords(shown.minutes), ...shown.skills, ...shown.licences, shown.remotely ? 'can be met from the station’s history' : 'a visit', ...(shown.sounds ? ['sounders work: noise hours count'] : [])].join(', ')],
          ['After a suspension', shown.onReturn === 'check' ? 'a check is owed at once' : 'it goes on as it was'],
        ]} />
        {shown.remotely && shown.checkKinds.includes('periodic-signal') ? <History siteId={shown.siteId} /> : null}
        {shown.share ? <Share share={shown.share} /> : null}
        <Windows duty={shown} />
        <Section title="Checks">
          {shown.checks.length === 0 ? <Empty title="No check of this kind is recorded yet" /> : <Table caption="Checks of this duty’s kinds on its subject" rows={shown.checks} rowKey={(row) => row.checkId} columns={[
            { key: 'on', title: 'Done', cell: (row) => `${dayWords(row.performedOn)}: ${row.checkKind.replaceAll('-', ' ')}` },
            { key: 'subject', title: 'On', cell: (row) => row.subject },
            { key: 'verdict', title: 'Verdict', cell: (row) => <VerdictMark verdict={row.verdict} /> },
            { key: 'by', title: 'By', cell: (row) => `${row.by ?? 'not known'}; ${row.source}, grade ${row.evidence}` },
            { key: 'counts', title: 'Counts', cell: (row) => <>{row.credited ? <Mark shape="standing" tone="good">credited</Mark> : <Mark shape="empty">not credited</Mark>} {row.words}</> },
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
    <Section title="Station’s history" actions={<Button busy={read.isPending ? 'Reading …' : false} onClick={() => read.mutate({ siteId })}>Read the station’s history</Button>}>
      {read.error ? <ProblemBox problem={read.error} /> : null}
      {read.data ? (read.data.rows.length === 0 ? <p className="quiet">No path of this site owes a remote duty today.</p> : <ul>{read.data.rows.map((row) => <li key={row.pathId}><VerdictMark verdict={row.verdict === 'cant-tell' ? 'not-enough-data' : row.verdict} /> <strong>{row.path}</strong>: {row.words}{row.checkId === null ? ' Nothing new is recorded.' : ' Recorded.'}</li>)}</ul>)
        : <p className="quiet">Records a check of each path that owes a remote duty, dated on the last day of which the history speaks. What it does not tell is not recorded.</p>}
    </Section>
  );
}

/** A share of a population: what this period still needs, and who comes next. */
function Share({ share }: { share: NonNullable<DutyShown['share']> }) {
  const missing = Math.max(0, share.needed - share.done.length);
  return (
    <Section title={`This period, ${dayWords(share.periodFrom)} to ${dayWords(share.periodTo)}`}>
      <p>{missing === 0 ? <Mark shape="standing" tone="good">the share is full</Mark> : <Mark shape="empty" tone="warn">{missing} still needed</Mark>} {share.done.length} of {share.needed} needed are proven, out of {countWords(share.units, 'unit')}; all in turn by {dayWords(share.cycleTo)}.</p>
      <Facts of={[['Proven this period', share.done.join(', ') || 'none'], ['Next, in this order', share.next.slice(0, Math.max(missing, 5)).join(', ') || 'none left']]} />
    </Section>
  );
}

function Windows({ duty }: { duty: DutyShown }) {
  const first = duty.windows[0];
  if (!first) return <Empty title="No window yet">The duty begins on {dayWords(duty.validFrom)}.</Empty>;
  const last = duty.windows.at(-1)!;
  const from = first.governsFrom < first.opens ? first.governsFrom : first.opens;
  // A little beyond the last day, so that today's line and the last edge have room.
  const to = plusDays([last.lapses < '9000' ? last.lapses : '', last.metOn ?? '', duty.asOf].reduce((a, b) => (a > b ? a : b)), 60);
  return (
    <Section title="Windows">
      <ProofStrip lanes={[{ title: duty.title, windows: duty.windows, pauses: [] }]} from={from} to={to} today={duty.asOf} />
      <Table caption="Windows, newest first" rows={duty.windows.toReversed()} rowKey={(row) => String(row.n)} columns={[
        { key: 'window', title: 'Window', cell: (row) => `${dayShort(row.opens)} to ${dayShort(row.lapses)}, due ${dayShort(row.due)}` },
        { key: 'ended', title: 'Ended', cell: (row) => (row.metOn ? <Mark shape={row.outcome === 'late' ? 'beyond' : 'standing'} tone={row.outcome === 'late' ? 'warn' : 'good'}>{`met ${dayShort(row.metOn)}${row.lateDays > 0 ? `, ${countWords(row.lateDays, 'day')} late` : ''}`}</Mark> : row.outcome === 'missed' ? <Mark shape="bracketed" tone="bad">missed</Mark> : <Mark shape="empty">not met</Mark>) },
        { key: 'why', title: 'Why', cell: (row) => row.why },
      ]} />
    </Section>
  );
}
