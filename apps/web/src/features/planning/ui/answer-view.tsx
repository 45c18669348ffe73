import type { PlanChange, WeekAnswer, WeekView } from '@bellround/contracts';
import { clockWords, countWords, dayWords } from '../../../shared/format.js';
import { Button, Mark, Section, Table } from '../../../shared/ui/index.js';
import { Effect } from './carry-panel.js';
import { plainWords } from './plain-words.js';

const KINDS: Record<PlanChange['kind'], { word: string; shape: 'returning' | 'bracketed' | 'standing' | 'beyond'; tone: 'warn' | 'bad' | 'good' | 'plain' }> = {
  moved: { word: 'moved', shape: 'returning', tone: 'warn' }, removed: { word: 'not coming', shape: 'bracketed', tone: 'bad' }, added: { word: 'added', shape: 'standing', tone: 'good' }, shifted: { word: 'other time', shape: 'beyond', tone: 'plain' },
};

export function spotWords(spot: PlanChange['from']): string {
  return spot === null ? 'on no round' : `${spot.technicianName}, ${dayWords(spot.day)} ${clockWords(spot.startMin)}`;
}

/** Visits that stand elsewhere, from and to. */
export function ChangesTable({ changes, caption }: { changes: readonly PlanChange[]; caption: string }) {
  if (changes.length === 0) return <p className="quiet">No visit stands elsewhere.</p>;
  return <Table caption={caption} rows={changes.slice(0, 200)} rowKey={(one) => one.visitId} columns={[
    { key: 'site', title: 'Site', sortBy: (one) => one.siteName, cell: (one) => one.siteName },
    { key: 'kind', title: 'Change', sortBy: (one) => one.kind, cell: (one) => <Mark shape={KINDS[one.kind].shape} tone={KINDS[one.kind].tone}>{KINDS[one.kind].word}</Mark> },
    { key: 'from', title: 'Was', cell: (one) => spotWords(one.from) },
    { key: 'to', title: 'Is', cell: (one) => spotWords(one.to) },
  ]} />;
}

/** The repair that a question asks for: what moves, who must be called, what it costs. */
export function AnswerView({ answer, view, keepWords, busy, onKeep }: { answer: WeekAnswer; view: WeekView; keepWords: string; busy: boolean; onKeep: () => void }) {
  const names = new Map(view.visits.map((visit) => [visit.id, visit.siteName]));
  const lapsing = answer.unplaced.filter((one) => one.lapses);
  const before = new Set(view.unplaced.map((one) => one.visitId));
  const newly = answer.unplaced.filter((one) => !before.has(one.visitId));
  return (
    <div className="stack" role="status">
      <h3>{plainWords(answer.title)}</h3>
      <p>{answer.changes.length === 0 ? 'Nothing has to move.' : `${countWords(answer.changes.length, 'visit')} stand elsewhere, ${countWords(answer.calls.length, 'call')} to make.`} {newly.length > 0 ? `${countWords(newly.length, 'visit')} newly left out.` : 'Nothing more is left out than before.'} {lapsing.length > 0 ? <><Mark shape="bracketed" tone="bad">a duty lapses</Mark> by {countWords(lapsing.length, 'visit')} left out.</> : <Mark shape="standing" tone="good">no duty lapses</Mark>}</p>
      <Effect answer={answer} />
      {answer.affected.length > 0 ? <Section title="Who is pushed if nothing is done"><ul>{answer.affected.map((one) => <li key={one.visitId}>{one.siteName}: {clockWords(one.wasMin)} becomes {clockWords(one.startMin)}{one.breaks.length > 0 ? `; ${plainWords(one.breaks.join('; '))}` : ''}</li>)}</ul></Section> : null}
      {answer.calls.length > 0 ? <Section title="Whom to call"><Table caption="Calls to make" rows={answer.calls} rowKey={(call) => call.visitId} columns={[
        { key: 'site', title: 'Site', cell: (call) => call.siteName },
        { key: 'who', title: 'Whom', cell: (call) => (call.contact ? `${call.contact.name}${call.contact.language ? ` (${call.contact.language})` : ''}` : 'no contact on record') },
        { key: 'phone', title: 'Reach', cell: (call) => (call.contact?.phone ? <a href={`tel:${call.contact.phone.replace(/\s/g, '')}`}>{call.contact.phone}</a> : call.contact?.email ? <a href={`mailto:${call.contact.email}`}>{call.contact.email}</a> : 'not recorded') },
        { key: 'what', title: 'Say', cell: (call) => call.words },
      ]} /></Section> : null}
      <Section title="What moves"><ChangesTable changes={answer.changes} caption="Visits that stand elsewhere" /></Section>
      {newly.length > 0 ? <Section title="Newly left out"><ul>{newly.map((one) => <li key={one.visitId}>{names.get(one.visitId) ?? 'visit'}: {plainWords(one.words)}</li>)}</ul></Section> : null}
      <div><Button kind="do" busy={busy} onClick={onKeep}>{keepWords}</Button></div>
    </div>
  );
}
