import { useState } from 'react';
import { Link } from 'react-router';
import { dayWords, momentWords } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, CautionBox, Drawer, Facts, Loaded, Mark, Photos, Section } from '../../../shared/ui/index.js';
import { useDeficiency } from '../api/deficiencies.js';
import { AddPicture } from './add-picture.js';
import { AcceptForm, InterimForm, PartsForm, RegradeForm, RetestForm, ToldForm } from './deficiency-forms.js';
import { phrase } from '../../../shared/language/index.js';
import { Clock, Meanwhile } from './meanwhile.js';
import { DEFICIENCY_FACT, VISIT_STATE, wordOf } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

/** One deficiency with its whole history, and what may be done about it. */
export function DeficiencyDrawer({ deficiencyId, onClose }: { deficiencyId: string; onClose: () => void }) {
  const zone = useMe().company.timeZone;
  const [mayOwn, mayPlan, mayWork] = [useMay('own'), useMay('plan'), useMay('work')];
  const [form, setForm] = useState<'none' | 'accept' | 'told' | 'regrade' | 'parts' | 'interim' | 'retest'>('none');
  const shown = useDeficiency(deficiencyId);
  return (
    <Drawer title={phrase('deficiencies.deficiency')} onClose={onClose}>
      <Loaded query={shown} what={phrase('deficiencies.the-deficiency')}>{({ deficiency, facts, dueRule, visits, photos, cautions }) => (<>
        {cautions.length > 0 ? <CautionBox>{cautions.map((one) => <p key={one}>{one}</p>)}</CautionBox> : null}
        <p><strong>{said(deficiency.title)}</strong></p>
        <Facts of={[[phrase('deficiencies.site'), <Link key="site" to={`/sites/${deficiency.siteId}`}>{deficiency.siteName}</Link>], [phrase('deficiencies.on'), `${deficiency.subjectName}, ${deficiency.systemName}`], [phrase('deficiencies.severity'), deficiency.severity], [phrase('deficiencies.due'), `${dayWords(deficiency.dueOn)}: ${dueRule}`], [phrase('deficiencies.state'), deficiency.state === 'accepted' && deficiency.acceptedUntil ? phrase('deficiencies.accepted-until-accepteduntil', { acceptedUntil: dayWords(deficiency.acceptedUntil) }) : deficiency.state]]} />
        {deficiency.clock ? <p><Clock clock={deficiency.clock} zone={zone} /></p> : null}
        {deficiency.interim ? <p><Meanwhile interim={deficiency.interim} zone={zone} /></p> : null}
        {visits.length > 0 ? <ul>{visits.map((visit) => <li key={visit.id}><Link to={`/visits/${visit.id}`}>{visit.title}</Link>: {wordOf(VISIT_STATE, visit.state)}{visit.day ? `, ${dayWords(visit.day)}` : ''}</li>)}</ul> : null}
        {deficiency.state === 'open' ? <div className="row">
          {mayPlan && !deficiency.visitId ? <Button kind="do" onClick={() => setForm('retest')}>{phrase('deficiencies.make-a-retest-visit')}</Button> : null}
          {mayWork ? <Button onClick={() => setForm('interim')}>{phrase('deficiencies.a-measure-meanwhile')}</Button> : null}
          {mayWork ? <Button onClick={() => setForm('told')}>{phrase('deficiencies.record-who-was-told')}</Button> : null}
          {mayWork ? <Button onClick={() => setForm('parts')}>{phrase('deficiencies.name-a-part-it-needs')}</Button> : null}
          {mayPlan ? <Button onClick={() => setForm('regrade')}>{phrase('deficiencies.give-it-another-severity')}</Button> : null}
          {mayOwn ? <Button onClick={() => setForm('accept')}>{phrase('deficiencies.accept-it')}</Button> : null}
        </div> : null}
        {form === 'retest' ? <RetestForm deficiency={deficiency} onDone={() => setForm('none')} /> : null}
        {form === 'interim' ? <InterimForm deficiencyId={deficiency.id} onDone={() => setForm('none')} /> : null}
        {form === 'accept' ? <AcceptForm deficiencyId={deficiency.id} onDone={() => setForm('none')} /> : null}
        {form === 'regrade' ? <RegradeForm deficiencyId={deficiency.id} now={deficiency.severity} onDone={() => setForm('none')} /> : null}
        {form === 'parts' ? <PartsForm deficiencyId={deficiency.id} onDone={() => setForm('none')} /> : null}
        {form === 'told' ? <ToldForm deficiencyId={deficiency.id} onDone={() => setForm('none')} /> : null}
        <Section title={phrase('deficiencies.pictures')}><Photos title={phrase('deficiencies.pictures')} of={photos.map((photo) => ({ attachmentId: photo.attachmentId, words: photo.words, when: [momentWords(photo.at, zone), photo.byName, photo.place ? `${photo.place.lat}, ${photo.place.lon}` : null].filter(Boolean).join(', ') }))} />
          {photos.length === 0 ? <p className="small quiet">{phrase('deficiencies.no-picture-yet')}</p> : null}{mayWork ? <AddPicture deficiencyId={deficiency.id} title={deficiency.title} /> : null}</Section>
        <Section title={phrase('deficiencies.history')}><ol>{facts.map((fact) => <li key={fact.id}><Mark shape={fact.kind === 'retest-passed' ? 'whole' : fact.kind === 'raised' || fact.kind === 'reopened' ? 'fallen' : 'line'}>{wordOf(DEFICIENCY_FACT, fact.kind)}</Mark> {momentWords(fact.at, zone)}{fact.byName ? `, ${fact.byName}` : ''}: {said(fact.words)}</li>)}</ol></Section>
      </>)}</Loaded>
    </Drawer>
  );
}
