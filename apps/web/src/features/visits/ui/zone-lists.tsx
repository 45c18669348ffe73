import type { VisitView, ZoneLists } from '@bellround/contracts';
import { useState } from 'react';
import { momentWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, Choices, Dialog, Form, Loaded, Mark, Section, TextArea, TextField } from '../../../shared/ui/index.js';
import { useCorrectZone, useKeepZoneList, useZoneLists } from '../api/signals.js';

type Correction = ZoneLists['comparison']['differences'][number]['corrections'][number];

/** Control unit, our list and the station's list of zones; a difference is corrected by one small approved act. */
export function ZoneListsSection({ view }: { view: VisitView }) {
  const [open, setOpen] = useState<string | null>(null);
  return (
    <Section title="Three lists of zones">
      {view.systems.map((system) => <details key={system.id} onToggle={(event) => { if (event.currentTarget.open) setOpen(system.id); }}><summary>{system.name}</summary>{open === system.id ? <OfSystem systemId={system.id} timeZone={view.site.timeZone} /> : null}</details>)}
    </Section>
  );
}

function OfSystem({ systemId, timeZone }: { systemId: string; timeZone: string }) {
  const lists = useZoneLists(systemId, true);
  const [mayWork, mayPlan] = [useMay('work'), useMay('plan')];
  const [reading, setReading] = useState(false);
  const [looking, setLooking] = useState(false);
  const [approving, setApproving] = useState<Correction | null>(null);
  const when = (at: string | null) => (at === null ? 'not read' : `read ${momentWords(at, timeZone)}`);
  return (
    <Loaded query={lists} what="the lists">{({ comparison, read }) => (
      <div className="stack">
        <p>{comparison.words} <span className="small quiet">Control unit: {when(read.panel)}; station: {when(read.station)}.</span></p>
        <ul className="stack">{comparison.differences.map((one) => (
          <li key={`${one.zone} ${one.kind}`}><Mark shape={one.kind === 'missing' ? 'absent' : 'half'} tone="warn">zone {one.zone}</Mark> {one.words}
            {one.corrections.map((correction) => (correction.list === 'ours' && mayPlan ? <Button key={correction.words} size="small" onClick={() => setApproving(correction)}>{correction.words}</Button> : <p key={correction.words} className="small">{correction.list === 'ours' ? `A dispatcher may approve: ${correction.words}` : correction.list === 'station' ? `Ask the station: ${correction.words}` : `On site: ${correction.words}`}</p>))}
          </li>))}</ul>
        {mayWork ? <div className="row"><Button onClick={() => setReading(true)}>Enter a list</Button><Button onClick={() => setLooking(true)}>Say what was found on site</Button></div> : null}
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
    <Dialog title="Enter a list of zones" onClose={onClose}>
      <Form problem={keep.error} faults={wrong.length > 0 ? [{ path: 'rows', message: `not a zone: '${wrong[0]}'; write its number, then its text` }] : []} onSubmit={() => { if (wrong.length === 0) keep.mutate({ systemId, id, list, rows }); }}>
        <Choices<'panel' | 'station'> label="Whose list" value={list} onChange={setList} options={[{ value: 'panel', label: 'The control unit’s' }, { value: 'station', label: 'The station’s' }]} />
        <TextArea label="One zone a line: number, then text" name="rows" value={text} onChange={setText} rows={8} />
        <Button kind="do" type="submit" busy={keep.isPending} disabled={rows.length === 0}>Keep {rows.length} zones and compare</Button>
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
    <Dialog title="What was found on site" onClose={onClose}>
      <Form problem={keep.error} faults={zone.trim() && !isZone ? [{ path: 'zone', message: 'must be a zone number' }] : []} onSubmit={() => { if (isZone && state) keep.mutate({ systemId, id, list: 'site', rows: [{ zone: zone.trim(), text: state }] }); }}>
        <TextField label="Zone" name="zone" value={zone} onChange={setZone} required />
        <Choices<'found' | 'not-found'> label="Its device" value={state} onChange={setState} options={[{ value: 'found', label: 'Is there' }, { value: 'not-found', label: 'Is not there' }]} />
        <Button kind="do" type="submit" busy={keep.isPending} disabled={!isZone || state === null}>Keep what was found</Button>
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
    <Dialog title={`Correct zone ${correction.zone} of our list`} onClose={onClose}>
      <Form problem={approve.error} onSubmit={() => approve.mutate({ systemId, id, act: correction.act, zone: correction.zone, text: correction.act === 'remove' ? null : text, reason })}>
        <p>{correction.words}</p>
        {correction.act === 'remove' ? null : <TextField label="What it guards" name="text" value={text} onChange={setText} required />}
        <TextField label="Why" name="reason" value={reason} onChange={setReason} required />
        <Button kind="do" type="submit" busy={approve.isPending}>{correction.act === 'remove' ? 'Take it out of our list' : 'Correct our list'}</Button>
      </Form>
    </Dialog>
  );
}
