import type { RoundTrip, RoundTripStep, VisitView } from '@bellround/contracts';
import { useState } from 'react';
import { countWords, momentWords, timeWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, Empty, Loaded, Mark, ProblemBox, Section, Table } from '../../../shared/ui/index.js';
import { useRecordRoundTrip, useRoundTrip } from '../api/signals.js';
import { HistoryForm } from './history-form.js';
import { Zipper } from './zipper.js';

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
    <Section title="Round trip">
      <p className="quiet small">What was tripped here beside what the station heard. Not an alarm-receiving centre: nothing is dispatched from this list.</p>
      <Loaded query={trip} what="the round trip">{(shown) => (
        <div className="stack">
          {taking ? <HistoryForm visitId={view.visit.id} timeZone={view.site.timeZone} stations={shown.stations} onDone={() => setTaking(false)} /> : may ? <div className="row"><Button onClick={() => setTaking(true)}>Take the station’s history</Button></div> : null}
          {shown.steps.length === 0 ? <Empty title="Nothing was tripped yet">Checks that trip a device appear here, each with what the station heard of it.</Empty>
            : shown.events.length === 0 ? <p className="note">{countWords(shown.steps.length, 'step was', 'steps were')} tripped. No history of the station was taken for that time: what it heard is not known yet.</p> : <Heard trip={shown} view={view} />}
          {shown.cantTell.map((one) => <p key={one.subjectName}><Mark shape="hatched" tone="unsure">Can’t tell</Mark> {one.subjectName}: {one.words}</p>)}
          {shown.delayed.length > 0 ? <ul>{shown.delayed.map((one) => <li key={one.id}><Mark shape={one.state === 'heard' ? 'whole' : one.state === 'missing' ? 'absent' : 'hatched'} tone={one.state === 'heard' ? 'good' : one.state === 'missing' ? 'bad' : 'unsure'}>{one.state === 'heard' ? 'heard' : one.state === 'missing' ? 'not heard: a deficiency' : 'may still come'}</Mark> {one.what} ({one.subjectName}), {one.state === 'heard' ? momentWords(one.heardAt!, view.site.timeZone) : `until ${momentWords(one.dueAt, view.site.timeZone)}`}</li>)}</ul> : null}
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
    ...trip.steps.map((step) => ({ key: step.checkId, at: step.at, here: `${step.subjectName}, zone ${step.zone}`, event: step.eventId === null ? null : events.get(step.eventId)!, verdict: step.verdict as string, mark: VERDICTS[step.verdict], delayS: step.delayS, words: step.words })),
    ...trip.unexplained.map((one) => ({ key: one, at: events.get(one)!.at, here: '', event: events.get(one)!, verdict: 'unexplained', mark: { shape: 'fallen', tone: 'bad' } as const, delayS: null, words: 'Nobody tripped it.' })),
  ].sort((a, b) => (a.at < b.at ? -1 : 1));
  const wrong = rows.filter((row) => row.verdict !== 'right');
  return (
    <div className="stack">
      <p><strong>{right} of {trip.steps.length} heard right</strong>{trip.unexplained.length > 0 ? `, ${countWords(trip.unexplained.length, 'event')} nobody tripped` : ''}{trip.twice.length > 0 ? `, ${trip.twice.length} came twice` : ''}. {trip.offsetS === null ? 'The phone’s clock can’t be told from so few pairs.' : `The phone’s clock is ${Math.abs(Math.round(trip.offsetS))} s ${trip.offsetS >= 0 ? 'slow' : 'fast'} (from ${trip.offsetPairs} pairs${trip.offsetSpreadS === null ? '' : `, ± ${Math.ceil(trip.offsetSpreadS)} s`}).`}</p>
      <Zipper trip={trip} />
      {wrong.length > 0 ? <StepTable caption="What was not heard right" rows={wrong} zone={zone} /> : null}
      {wrong.length < rows.length ? <details><summary>{countWords(rows.length - wrong.length, 'step')} heard right</summary><StepTable caption="Heard right" rows={rows.filter((row) => row.verdict === 'right')} zone={zone} /></details> : null}
      {trip.routine.length > 0 ? <details><summary>{countWords(trip.routine.length, 'event')} of daily business (opened, closed, periodic)</summary><ul>{trip.routine.map((one) => <li key={one}>{timeWords(events.get(one)!.at, zone)} {events.get(one)!.kind} {events.get(one)!.text ?? events.get(one)!.code}</li>)}</ul></details> : null}
      {record.error ? <ProblemBox problem={record.error} /> : null}
      {trip.recorded ? <p>Recorded {momentWords(trip.recorded.at, zone)} by {trip.recorded.byName}: {Object.entries(trip.recorded.counts).map(([name, n]) => `${n} ${name.replaceAll('-', ' ')}`).join(', ')}.</p> : <p className="note">Shown only: nothing counts of it until somebody records it.</p>}
      {may ? <Button kind={trip.recorded ? 'plain' : 'do'} fill busy={record.isPending} onClick={() => record.mutate({ visitId: view.visit.id, id }, { onSuccess: () => setId(newId()) })}>{trip.recorded ? 'Record it again' : 'Record this comparison'}</Button> : null}
      {may ? <p className="small quiet">Not received makes the step unproven until it is tried again; wrong text becomes a deficiency of the station’s data, closed only by a new right signal. Earlier entries stay.</p> : null}
      {record.data ? <p role="status">{record.data.raised.length > 0 ? `Raised: ${record.data.raised.map((one) => one.title).join('; ')}.` : 'Nothing new was raised.'}{record.data.closedDeficiencyIds.length > 0 ? ` ${countWords(record.data.closedDeficiencyIds.length, 'deficiency', 'deficiencies')} closed by a right signal.` : ''}</p> : null}
    </div>
  );
}

interface Row { readonly key: string; readonly at: string; readonly here: string; readonly event: RoundTrip['events'][number] | null; readonly verdict: string; readonly mark: { shape: 'whole' | 'half' | 'fallen' | 'returning' | 'hatched' | 'absent'; tone: 'good' | 'warn' | 'bad' | 'unsure' }; readonly delayS: number | null; readonly words: string }

/** The zipper in words, one step a row. */
function StepTable({ caption, rows, zone }: { caption: string; rows: readonly Row[]; zone: string }) {
  return (
    <Table caption={caption} rows={rows} rowKey={(row) => row.key} columns={[
        { key: 'verdict', title: 'Verdict', cell: (row) => <Mark shape={row.mark.shape} tone={row.mark.tone}>{row.verdict.replaceAll('-', ' ')}</Mark> },
        { key: 'here', title: 'Tripped here', cell: (row) => (row.here ? `${row.here}, ${timeWords(row.at, zone)}` : 'nobody') },
        { key: 'there', title: 'Heard there', cell: (row) => (row.event ? `${row.event.text ?? row.event.kind ?? ''}${row.event.zone === null ? '' : `, zone ${row.event.zone}`}, ${timeWords(row.event.at, zone)}` : 'nothing') },
        { key: 'delay', title: 'After', align: 'end', cell: (row) => (row.delayS === null ? '' : `${row.delayS} s`) },
        { key: 'words', title: 'In words', cell: (row) => row.words },
      ]} />
  );
}
