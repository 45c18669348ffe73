import type { ZoneLists } from '@bellround/contracts';
import { useState } from 'react';
import { momentWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, Choices, Dialog, Form, Loaded, Mark, Section, TextArea, TextField } from '../../../shared/ui/index.js';
import { useCorrectZone, useKeepZoneList, useZoneLists } from '../api/signals.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

type Correction = ZoneLists['comparison']['differences'][number]['corrections'][number];

/** Control unit, our list and the station's list of zones; a difference is corrected by one small approved act. */
export function ZoneListsSection({ systems, timeZone }: { systems: readonly { readonly id: string; readonly name: string }[]; timeZone: string }) {
  const [open, setOpen] = useState<string | null>(null);
  return (
    <Section title={phrase('visits.three-lists-of-zones')}>
      {systems.map((system) => <details key={system.id} onToggle={(event) => { if (event.currentTarget.open) setOpen(system.id); }}><summary>{system.name}</summary>{open === system.id ? <OfSystem systemId={system.id} timeZone={timeZone} /> : null}</details>)}
    </Section>
  );
}

function OfSystem({ systemId, timeZone }: { systemId: string; timeZone: string }) {
  const lists = useZoneLists(systemId, true);
  const [mayWork, mayPlan] = [useMay('work'), useMay('plan')];
  const [reading, setReading] = useState(false);
  const [looking, setLooking] = useState(false);
  const [approving, setApproving] = useState<Correction | null>(null);
  const when = (at: string | null) => (at === null ? phrase('visits.not-read') : phrase('visits.read-at', { at: momentWords(at, timeZone) }));
  return (
    <Loaded query={lists} what={phrase('visits.the-lists')}>{({ comparison, read }) => (
      <div className="stack">
        <p>{said(comparison.words)} <span className="small quiet">{phrase('visits.control-unit-when-station-when2', { when: when(read.panel), when2: when(read.station) })}</span></p>
        <ul className="stack">{comparison.differences.map((one) => (
          <li key={`${one.zone} ${one.kind}`}><Mark shape={one.kind === 'missing' ? 'absent' : 'half'} tone="warn">{phrase('visits.zone-zone', { zone: one.zone })}</Mark> {said(one.words)}
            {one.corrections.map((correction) => (correction.list === 'ours' && mayPlan ? <Button key={correction.words} size="small" onClick={() => setApproving(correction)}>{said(correction.words)}</Button> : <p key={correction.words} className="small">{correction.list === 'ours' ? phrase('visits.a-dispatcher-may-approve-words', { words: correction.words }) : correction.list === 'station' ? phrase('visits.ask-the-station-words', { words: correction.words }) : phrase('visits.on-site-words', { words: correction.words })}</p>))}
          </li>))}</ul>
        {mayWork ? <div className="row"><Button onClick={() => setReading(true)}>{phrase('visits.enter-a-list')}</Button><Button onClick={() => setLooking(true)}>{phrase('visits.say-what-was-found-on-site')}</Button></div> : null}
        {looking ? <Looked systemId={systemId} onClose={() => setLooking(false)} /> : null}
        {reading ? <ReadList systemId={systemId} onClose={() => setReading(false)} /> : null}
        {approving ? <Approve systemId={systemId} correction={approving} onClose={() => setApproving(null)} /> : null}
      </div>
    )}</Loaded>
  );
}

/** One zone a line: its number, then its text. */
export function zonesOf(text: string): { rows: { zone: string; text: string | null }[]; wrong: string[] } {
  const lines = text.split(/\r?\n/).map((line) => line.trim()).filter((line) => line !== '');
  const read = lines.map((line) => /^0*(\d{1,5})[\s,;:.\t-]*(.*)$/.exec(line));
  return { rows: read.flatMap((found) => (found ? [{ zone: found[1]!, text: found[2]!.trim() || null }] : [])), wrong: lines.filter((_, at) => !read[at]) };
}

function ReadList({ systemId, onClose }: { systemId: string; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [list, setList] = useState<'panel' | 'station'>('panel');
  const [text, setText] = useState('');
  const keep = useKeepZoneList(onClose);
  const { rows, wrong } = zonesOf(text);
  return (
    <Dialog title={phrase('visits.enter-a-list-of-zones')} onClose={onClose}>
      <Form problem={keep.error} faults={wrong.length > 0 ? [{ path: 'rows', message: phrase('visits.not-a-zone-value-write-its-number', { value: wrong[0] }) }] : []} onSubmit={() => { if (wrong.length === 0) keep.mutate({ systemId, id, list, rows }); }}>
        <Choices<'panel' | 'station'> label={phrase('visits.whose-list')} value={list} onChange={setList} options={[{ value: 'panel', label: phrase('visits.the-control-units') }, { value: 'station', label: phrase('visits.the-stations') }]} />
        <TextArea label={phrase('visits.one-zone-a-line-number-then-text')} name="rows" value={text} onChange={setText} rows={8} />
        <Button kind="do" type="submit" busy={keep.isPending} disabled={rows.length === 0}>{phrase('visits.keep-rows-zones-and-compare', { rows: rows.length })}</Button>
      </Form>
    </Dialog>
  );
}

/** Listed and not found, found and not listed: answers of the person on site, which come before what the lists say. */
function Looked({ systemId, onClose }: { systemId: string; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [zone, setZone] = useState('');
  const [state, setState] = useState<'found' | 'not-found' | null>(null);
  const keep = useKeepZoneList(onClose);
  const isZone = /^\d{1,5}$/.test(zone.trim());
  return (
    <Dialog title={phrase('visits.what-was-found-on-site')} onClose={onClose}>
      <Form problem={keep.error} faults={zone.trim() && !isZone ? [{ path: 'zone', message: phrase('visits.must-be-a-zone-number') }] : []} onSubmit={() => { if (isZone && state) keep.mutate({ systemId, id, list: 'site', rows: [{ zone: zone.trim(), text: state }] }); }}>
        <TextField label={phrase('visits.zone')} name="zone" value={zone} onChange={setZone} required />
        <Choices<'found' | 'not-found'> label={phrase('visits.its-device')} value={state} onChange={setState} options={[{ value: 'found', label: phrase('visits.is-there') }, { value: 'not-found', label: phrase('visits.is-not-there') }]} />
        <Button kind="do" type="submit" busy={keep.isPending} disabled={!isZone || state === null}>{phrase('visits.keep-what-was-found')}</Button>
      </Form>
    </Dialog>
  );
}

function Approve({ systemId, correction, onClose }: { systemId: string; correction: Correction; onClose: () => void }) {
  const [id] = useState(() => newId());
  const [reason, setReason] = useState('');
  const [text, setText] = useState(correction.text ?? '');
  const approve = useCorrectZone(onClose);
  return (
    <Dialog title={phrase('visits.correct-zone-zone-of-our-list', { zone: correction.zone })} onClose={onClose}>
      <Form problem={approve.error} onSubmit={() => approve.mutate({ systemId, id, act: correction.act, zone: correction.zone, text: correction.act === 'remove' ? null : text, reason })}>
        <p>{said(correction.words)}</p>
        {correction.act === 'remove' ? null : <TextField label={phrase('visits.what-it-guards')} name="text" value={text} onChange={setText} required />}
        <TextField label={phrase('visits.why')} name="reason" value={reason} onChange={setReason} required />
        <Button kind="do" type="submit" busy={approve.isPending}>{correction.act === 'remove' ? phrase('visits.take-it-out-of-our-list') : phrase('visits.correct-our-list')}</Button>
      </Form>
    </Dialog>
  );
}
