import { useState } from 'react';
import { Link } from 'react-router';
import { dayShort, minutesWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, CheckBox, DateField, Empty, Form, Loaded, Mark, Section } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';
import { useCreateVisit, usePick } from '../api/visits.js';

/** What is owed at a site now: picked duty by duty, the least checks that meet the pick, and what stays owed; the pick becomes a visit. */
export function MakeVisit({ siteId }: { siteId: string }) {
  // null: nothing was unpicked, all that is owed is meant.
  const [picked, setPicked] = useState<readonly string[] | null>(null);
  const [day, setDay] = useState('');
  const [id, setId] = useState(() => newId());
  const may = useMay('plan');
  const pick = usePick(siteId, picked);
  const create = useCreateVisit();
  return (
    <Section title={phrase('visits.the-least-that-meets-what-is-owed')}>
      <Loaded query={pick} what={phrase('visits.what-is-owed-here')}>{(shown) => {
        if (shown.owed.length === 0) return <Empty title={phrase('visits.nothing-is-owed-here-today')} />;
        const chosen = new Set(picked ?? shown.owed.map((one) => one.dutyId));
        const left = shown.owed.filter((one) => !one.isMet);
        const toggle = (dutyId: string, on: boolean) => setPicked(shown.owed.map((one) => one.dutyId).filter((one) => (one === dutyId ? on : chosen.has(one))));
        return (
          <div className="stack">
            <p><Mark shape={left.length === 0 ? 'whole' : 'half'} tone={left.length === 0 ? 'good' : 'warn'}>{left.length === 0 ? phrase('visits.all-that-is-owed-would-be-met') : phrase('visits.duties-would-stay-owed', { duties: phrase('count.duty', { n: left.length }) })}</Mark> {phrase('visits.checks-in-about-minutes', { checks: phrase('count.check', { n: shown.checks.length }), minutes: minutesWords(shown.minutes) })}{shown.isLeast ? '' : phrase('visits.perhaps-not-the-least')}</p>
            <details><summary>{phrase('visits.the-checks')}</summary><ul>{shown.checks.map((one) => <li key={`${one.checkKind} ${one.subjectId}`}>{one.subjectName}: {said(one.title)}, {minutesWords(one.minutes)}, {phrase('visits.meets-duties', { duties: phrase('count.duty', { n: one.meets }) })}</li>)}</ul></details>
            {shown.unmet.map((one) => <p key={one.dutyId} className="note">{shown.owed.find((duty) => duty.dutyId === one.dutyId)?.title}: {said(one.words)}</p>)}
            <details><summary>{phrase('visits.pick-duty-by-duty')}</summary>
              <div className="row"><Button size="small" onClick={() => setPicked(null)}>{phrase('visits.pick-all')}</Button><Button size="small" onClick={() => setPicked([])}>{phrase('visits.pick-none')}</Button></div>
              {shown.owed.map((one) => <CheckBox key={one.dutyId} checked={chosen.has(one.dutyId)} onChange={(on) => toggle(one.dutyId, on)} label={<>{said(one.title)}: {one.subjectName}</>} help={[one.regime, one.lapses ? phrase('visits.lapses-on', { lapses: dayShort(one.lapses) }) : '', one.isMet && !chosen.has(one.dutyId) ? phrase('visits.met-by-another-pick') : ''].filter(Boolean).join('; ')} />)}
            </details>
            {may ? <Form problem={create.error} onSubmit={() => { if (chosen.size > 0) create.mutate({ id, siteId, pick: 'chosen', dutyIds: [...chosen], ...(day ? { day } : {}) }, { onSuccess: () => setId(newId()) }); }}>
              <DateField label={phrase('visits.day-of-the-visit')} name="day" value={day} min={shown.day} onChange={setDay} help={phrase('visits.without-a-day-it-waits-to-be')} />
              <Button type="submit" busy={create.isPending} disabled={chosen.size === 0}>{phrase('visits.make-a-visit-of-the-pick')}</Button></Form> : null}
            {create.data ? <p role="status">{phrase('visits.made-it-waits-to-be-planned')} <Link to={`/visits/${create.data.id}`}>{create.data.title}</Link></p> : null}
          </div>);
      }}</Loaded>
    </Section>
  );
}
