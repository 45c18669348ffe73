import type { RoundTrip, RoundTripStep, VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { momentWords, timeWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, Empty, Loaded, Mark, ProblemBox, Section, Table } from '../../../shared/ui/index.js';
import { useRecordRoundTrip, useRoundTrip } from '../api/signals.js';
import { HistoryForm } from './history-form.js';
import { Zipper } from './zipper.js';
import { phrase } from '../../../shared/language/index.js';
import { STEP_VERDICT, wordOf } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

const VERDICTS: Record<RoundTripStep['verdict'], { shape: 'whole' | 'half' | 'fallen' | 'returning' | 'hatched' | 'absent'; tone: 'good' | 'warn' | 'bad' | 'unsure' }> = {
  right: { shape: 'whole', tone: 'good' }, 'wrong-text': { shape: 'half', tone: 'warn' }, 'wrong-path': { shape: 'half', tone: 'warn' }, 'wrong-kind': { shape: 'fallen', tone: 'bad' }, 'wrong-zone': { shape: 'fallen', tone: 'bad' }, 'wrong-account': { shape: 'fallen', tone: 'bad' },
  late: { shape: 'returning', tone: 'warn' }, pending: { shape: 'hatched', tone: 'unsure' }, 'not-received': { shape: 'absent', tone: 'bad' },
};

/** The round trip: tripped here, heard there, right zone, right text, right path, in time. */
export function RoundTripSection({ view }: { view: VisitView }) {
  const trip = useRoundTrip(view.visit.id);
  const may = useMay('work');
  const [taking, setTaking] = useState(false);
  return (
    <Section title={phrase('visits.round-trip')}>
      <p className="quiet small">{phrase('visits.what-was-tripped-here-beside-what-the')}</p>
      <Loaded query={trip} what={phrase('visits.the-round-trip')}>{(shown) => (
        <div className="stack">
          {taking ? <HistoryForm visitId={view.visit.id} timeZone={view.site.timeZone} stations={shown.stations} onDone={() => setTaking(false)} /> : may ? <div className="row"><Button onClick={() => setTaking(true)}>{phrase('visits.take-the-stations-history')}</Button></div> : null}
          {shown.steps.length === 0 ? <Empty title={phrase('visits.nothing-was-tripped-yet')}>{phrase('visits.checks-that-trip-a-device-appear-here')}</Empty>
            : shown.events.length === 0 ? <p className="note">{phrase('visits.steps-tripped-no-history-of-the-station', { steps: phrase('count.step-was', { n: shown.steps.length }) })}</p> : <Heard trip={shown} view={view} />}
          {shown.cantTell.map((one) => <p key={one.subjectName}><Mark shape="hatched" tone="unsure">{phrase('visits.cant-tell')}</Mark> {one.subjectName}: {said(one.words)}</p>)}
          {shown.delayed.length > 0 ? <ul>{shown.delayed.map((one) => <li key={one.id}><Mark shape={one.state === 'heard' ? 'whole' : one.state === 'missing' ? 'absent' : 'hatched'} tone={one.state === 'heard' ? 'good' : one.state === 'missing' ? 'bad' : 'unsure'}>{one.state === 'heard' ? phrase('visits.heard') : one.state === 'missing' ? phrase('visits.not-heard-a-deficiency') : phrase('visits.may-still-come')}</Mark> {one.what} ({one.subjectName}), {one.state === 'heard' ? momentWords(one.heardAt!, view.site.timeZone) : phrase('visits.until-dueat', { dueAt: momentWords(one.dueAt, view.site.timeZone) })}</li>)}</ul> : null}
        </div>
      )}</Loaded>
    </Section>
  );
}

function Heard({ trip, view }: { trip: RoundTrip; view: VisitView }) {
  const zone = view.site.timeZone;
  const may = useMay('work');
  const [id, setId] = useState(() => newId());
  const record = useRecordRoundTrip();
  const events = new Map(trip.events.map((event) => [event.id, event]));
  const right = trip.steps.filter((step) => step.verdict === 'right').length;
  const rows: Row[] = [
    ...trip.steps.map((step) => ({ key: step.checkId, at: step.at, here: phrase('visits.subjectname-zone-zone', { subjectName: step.subjectName, zone: step.zone }), event: step.eventId === null ? null : events.get(step.eventId)!, verdict: step.verdict as string, mark: VERDICTS[step.verdict], delayS: step.delayS, words: step.words })),
    ...trip.unexplained.map((one) => ({ key: one, at: events.get(one)!.at, here: '', event: events.get(one)!, verdict: 'unexplained', mark: { shape: 'fallen', tone: 'bad' } as const, delayS: null, words: phrase('visits.nobody-tripped-it') })),
  ].sort((a, b) => (a.at < b.at ? -1 : 1));
  const wrong = rows.filter((row) => row.verdict !== 'right');
  return (
    <div className="stack">
      <p><strong>{phrase('visits.right-of-steps-heard-right', { right, steps: trip.steps.length })}</strong>{trip.unexplained.length > 0 ? phrase('visits.unexplained-nobody-tripped', { unexplained: phrase('count.event', { n: trip.unexplained.length }) }) : ''}{trip.twice.length > 0 ? phrase('visits.twice-came-twice', { twice: trip.twice.length }) : ''}. {trip.offsetS === null ? phrase('visits.the-phones-clock-cant-be-told-from') : phrase('visits.the-phones-clock-is-abs-s-value', { abs: Math.abs(Math.round(trip.offsetS)), value: trip.offsetS >= 0 ? phrase('visits.slow') : phrase('visits.fast'), offsetPairs: trip.offsetPairs, value2: trip.offsetSpreadS === null ? '' : phrase('visits.ceil-s', { ceil: Math.ceil(trip.offsetSpreadS) }) })}</p>
      <Zipper trip={trip} />
      {wrong.length > 0 ? <StepTable caption={phrase('visits.what-was-not-heard-right')} rows={wrong} zone={zone} /> : null}
      {wrong.length < rows.length ? <details><summary>{phrase('visits.count-heard-right', { count: phrase('count.step', { n: rows.length - wrong.length }) })}</summary><StepTable caption={phrase('visits.heard-right')} rows={rows.filter((row) => row.verdict === 'right')} zone={zone} /></details> : null}
      {trip.routine.length > 0 ? <details><summary>{phrase('visits.routine-of-daily-business-opened-closed-periodic', { routine: phrase('count.event', { n: trip.routine.length }) })}</summary><ul>{trip.routine.map((one) => <li key={one}>{timeWords(events.get(one)!.at, zone)} {events.get(one)!.kind} {events.get(one)!.text ?? events.get(one)!.code}</li>)}</ul></details> : null}
      {record.error ? <ProblemBox problem={record.error} /> : null}
      {trip.recorded ? <p>{phrase('visits.recorded-at-by-byname-join', { at: momentWords(trip.recorded.at, zone), byName: trip.recorded.byName, join: Object.entries(trip.recorded.counts).map(([name, n]) => `${n} ${wordOf(STEP_VERDICT, name)}`).join(', ') })}</p> : <p className="note">{phrase('visits.shown-only-nothing-counts-of-it-until')}</p>}
      {may ? <Button kind={trip.recorded ? 'plain' : 'do'} fill busy={record.isPending} onClick={() => record.mutate({ visitId: view.visit.id, id }, { onSuccess: () => setId(newId()) })}>{trip.recorded ? phrase('visits.record-it-again') : phrase('visits.record-this-comparison')}</Button> : null}
      {may ? <p className="small quiet">{phrase('visits.not-received-makes-the-step-unproven-until')}</p> : null}
      {record.data ? <p role="status">{record.data.raised.length > 0 ? phrase('visits.raised-join', { join: record.data.raised.map((one) => said(one.title)).join('; ') }) : phrase('visits.nothing-new-was-raised')}{record.data.closedDeficiencyIds.length > 0 ? phrase('visits.closeddeficiencyids-closed-by-a-right-signal', { closedDeficiencyIds: phrase('count.deficiency', { n: record.data.closedDeficiencyIds.length }) }) : ''}</p> : null}
    </div>
  );
}

interface Row { readonly key: string; readonly at: string; readonly here: string; readonly event: RoundTrip['events'][number] | null; readonly verdict: string; readonly mark: { shape: 'whole' | 'half' | 'fallen' | 'returning' | 'hatched' | 'absent'; tone: 'good' | 'warn' | 'bad' | 'unsure' }; readonly delayS: number | null; readonly words: string }

/** The zipper in words, one step a row. */
function StepTable({ caption, rows, zone }: { caption: string; rows: readonly Row[]; zone: string }) {
  return (
    <Table caption={caption} rows={rows} rowKey={(row) => row.key} columns={[
        { key: 'verdict', title: phrase('visits.verdict'), cell: (row) => <Mark shape={row.mark.shape} tone={row.mark.tone}>{wordOf(STEP_VERDICT, row.verdict)}</Mark> },
        { key: 'here', title: phrase('visits.tripped-here'), cell: (row) => (row.here ? `${row.here}, ${timeWords(row.at, zone)}` : phrase('visits.nobody')) },
        { key: 'there', title: phrase('visits.heard-there'), cell: (row) => (row.event ? `${row.event.text ?? row.event.kind ?? ''}${row.event.zone === null ? '' : phrase('visits.zone-zone-2', { zone: row.event.zone })}, ${timeWords(row.event.at, zone)}` : phrase('visits.nothing')) },
        { key: 'delay', title: phrase('visits.after'), align: 'end', cell: (row) => (row.delayS === null ? '' : `${row.delayS} s`) },
        { key: 'words', title: phrase('visits.in-words'), cell: (row) => said(row.words) },
      ]} />
  );
}
