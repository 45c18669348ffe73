import type { AskOf, routes, SiteExposureView } from '@bellround/contracts';
import { useState } from 'react';
import { numberWords, plusDays } from '../../../shared/format.js';
import { Button, DateField, Form, NumberField, Select } from '../../../shared/ui/index.js';
import { useWhatIf } from '../api/exposure.js';
import { capital, classWords, shareWords } from './exposure-words.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';

type Change = AskOf<typeof routes.whatIfExposure>['change'];
type PathClass = Extract<Change, { kind: 'add-path' }>['class'];
const PATHS: readonly PathClass[] = ['path-cellular', 'path-ethernet', 'path-wifi', 'path-line', 'path-radio'];

/** What one change would do; nothing is changed. */
export function WhatIfForm({ siteId, shown }: { siteId: string; shown: SiteExposureView }) {
  const recorded = shown.components.filter((one) => one.recorded);
  const keyOf = (one: { systemId: string; componentId: string }) => `${one.systemId} ${one.componentId}`;
  const [kind, setKind] = useState<Change['kind']>(recorded.length > 0 ? 'replace-component' : 'visit-on');
  const [part, setPart] = useState(recorded[0] ? keyOf(recorded[0]) : '');
  const [systemId, setSystemId] = useState(shown.systems[0]?.systemId ?? '');
  const [pathClass, setPathClass] = useState<PathClass>('path-cellular');
  const [days, setDays] = useState<number | null>(182);
  const [on, setOn] = useState(plusDays(shown.scoredOn, 7));
  const act = useWhatIf();
  const change = (): Change | null => {
    if (kind === 'replace-component') {
      const chosen = recorded.find((one) => keyOf(one) === part);
      return chosen ? { kind, systemId: chosen.systemId, componentId: chosen.componentId } : null;
    }
    if (kind === 'add-path') return systemId ? { kind, systemId, class: pathClass } : null;
    return kind === 'prove-every' ? (days === null ? null : { kind, days }) : { kind: 'visit-on', on };
  };
  const asked = change();
  const kinds = [
    ...(recorded.length > 0 ? [{ value: 'replace-component', label: phrase('exposure.replace-a-part') }] : []), ...(shown.systems.length > 0 ? [{ value: 'add-path', label: phrase('exposure.add-a-transmission-path') }] : []),
    { value: 'prove-every', label: phrase('exposure.prove-more-or-less-often') }, { value: 'visit-on', label: phrase('exposure.visit-on-another-day') },
  ];
  return (
    <div className="stack">
      <h3>{phrase('exposure.what-if')}</h3>
      <Form problem={act.error} onSubmit={() => { if (asked) act.mutate({ siteId, change: asked }); }}>
        <div className="row end">
          <Select label={phrase('exposure.suppose-we')} value={kind} onChange={(next) => { setKind(next as Change['kind']); act.reset(); }} options={kinds} required />
          {kind === 'replace-component' ? <Select label={phrase('exposure.part')} required value={part} onChange={setPart} options={recorded.map((one) => ({ value: keyOf(one), label: `${one.label} (${classWords(one.class)}), ${shareWords(one.share)}` }))} /> : null}
          {kind === 'add-path' && shown.systems.length > 1 ? <Select label={phrase('exposure.system')} required value={systemId} onChange={setSystemId} options={shown.systems.map((one) => ({ value: one.systemId, label: one.kind }))} /> : null}
          {kind === 'add-path' ? <Select label={phrase('exposure.kind-of-path')} required value={pathClass} onChange={(next) => setPathClass(next as PathClass)} options={PATHS.map((one) => ({ value: one, label: classWords(one.replace('path-', '')) }))} /> : null}
          {kind === 'prove-every' ? <NumberField label={phrase('exposure.every')} required name="change.days" value={days} onChange={setDays} unit={phrase('exposure.days')} min={1} max={3650} /> : null}
          {kind === 'visit-on' ? <DateField label={phrase('exposure.day')} required name="change.on" value={on} onChange={setOn} min={shown.scoredOn} /> : null}
          <Button type="submit" busy={act.isPending ? phrase('exposure.working-it-out') : false} disabled={asked === null}>{phrase('exposure.work-out-the-difference')}</Button>
        </div>
      </Form>
      {act.data ? <p role="status"><strong>{capital(said(act.data.sentence))}.</strong>{kind === 'visit-on' ? null : phrase('exposure.score-scorebefore-becomes-scoreafter', { scoreBefore: numberWords(act.data.scoreBefore, 0), scoreAfter: numberWords(act.data.scoreAfter, 0) })} {phrase('exposure.nothing-was-changed')}</p> : null}
    </div>
  );
}
