import type { PlanChange, WeekAnswer, WeekView } from '@bellround/contracts';
import { clockWords, dayWords } from '../../../shared/format.js';
import { Button, Mark, Section, Table } from '../../../shared/ui/index.js';
import { Effect } from './carry-panel.js';
import { plainWords } from './plain-words.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

const KINDS: Record<PlanChange['kind'], { word: string; shape: 'returning' | 'bracketed' | 'standing' | 'beyond'; tone: 'warn' | 'bad' | 'good' | 'plain' }> = {
  moved: { word: phrase('planning.moved'), shape: 'returning', tone: 'warn' }, removed: { word: phrase('planning.not-coming'), shape: 'bracketed', tone: 'bad' }, added: { word: phrase('planning.added'), shape: 'standing', tone: 'good' }, shifted: { word: phrase('planning.other-time'), shape: 'beyond', tone: 'plain' },
};

export function spotWords(spot: PlanChange['from']): string {
  return spot === null ? phrase('planning.on-no-round') : `${spot.technicianName}, ${dayWords(spot.day)} ${clockWords(spot.startMin)}`;
}

/** Visits that stand elsewhere, from and to. */
export function ChangesTable({ changes, caption }: { changes: readonly PlanChange[]; caption: string }) {
  if (changes.length === 0) return <p className="quiet">{phrase('planning.no-visit-stands-elsewhere')}</p>;
  return <Table caption={caption} rows={changes.slice(0, 200)} rowKey={(one) => one.visitId} columns={[
    { key: 'site', title: phrase('planning.site'), sortBy: (one) => one.siteName, cell: (one) => one.siteName },
    { key: 'kind', title: phrase('planning.change'), sortBy: (one) => one.kind, cell: (one) => <Mark shape={KINDS[one.kind].shape} tone={KINDS[one.kind].tone}>{KINDS[one.kind].word}</Mark> },
    { key: 'from', title: phrase('planning.was'), cell: (one) => spotWords(one.from) },
    { key: 'to', title: phrase('planning.is'), cell: (one) => spotWords(one.to) },
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
      <p>{answer.changes.length === 0 ? phrase('planning.nothing-has-to-move') : phrase('planning.changes-stand-elsewhere-calls-to-make', { changes: phrase('count.visit', { n: answer.changes.length }), calls: phrase('count.call', { n: answer.calls.length }) })} {newly.length > 0 ? phrase('planning.newly-newly-left-out', { newly: phrase('count.visit', { n: newly.length }) }) : phrase('planning.nothing-more-is-left-out-than-before')} {lapsing.length > 0 ? <><Mark shape="bracketed" tone="bad">{phrase('planning.a-duty-lapses')}</Mark> {phrase('planning.by-lapsing-left-out', { lapsing: phrase('count.visit', { n: lapsing.length }) })}</> : <Mark shape="standing" tone="good">{phrase('planning.no-duty-lapses')}</Mark>}</p>
      <Effect answer={answer} />
      {answer.affected.length > 0 ? <Section title={phrase('planning.who-is-pushed-if-nothing-is-done')}><ul>{answer.affected.map((one) => <li key={one.visitId}>{phrase('planning.sitename-wasmin-becomes-startmin-value', { siteName: one.siteName, wasMin: clockWords(one.wasMin), startMin: clockWords(one.startMin), value: one.breaks.length > 0 ? `; ${plainWords(one.breaks.join('; '))}` : '' })}</li>)}</ul></Section> : null}
      {answer.calls.length > 0 ? <Section title={phrase('planning.whom-to-call')}><Table caption={phrase('planning.calls-to-make')} rows={answer.calls} rowKey={(call) => call.visitId} columns={[
        { key: 'site', title: phrase('planning.site'), cell: (call) => call.siteName },
        { key: 'who', title: phrase('planning.whom'), cell: (call) => (call.contact ? `${call.contact.name}${call.contact.language ? ` (${call.contact.language})` : ''}` : phrase('planning.no-contact-on-record')) },
        { key: 'phone', title: phrase('planning.reach'), cell: (call) => (call.contact?.phone ? <a href={`tel:${call.contact.phone.replace(/\s/g, '')}`}>{call.contact.phone}</a> : call.contact?.email ? <a href={`mailto:${call.contact.email}`}>{call.contact.email}</a> : phrase('planning.not-recorded')) },
        { key: 'what', title: phrase('planning.say'), cell: (call) => said(call.words) },
      ]} /></Section> : null}
      <Section title={phrase('planning.what-moves')}><ChangesTable changes={answer.changes} caption={phrase('planning.visits-that-stand-elsewhere')} /></Section>
      {newly.length > 0 ? <Section title={phrase('planning.newly-left-out')}><ul>{newly.map((one) => <li key={one.visitId}>{names.get(one.visitId) ?? phrase('planning.visit')}: {plainWords(one.words)}</li>)}</ul></Section> : null}
      <div><Button kind="do" busy={busy} onClick={onKeep}>{keepWords}</Button></div>
    </div>
  );
}
