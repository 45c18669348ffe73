import type { PlanningRulesShown } from '@bellround/contracts';
import { useState } from 'react';
import { numberWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, CheckBox, ConfirmDialog, Form, Loaded, NumberField, Section, Select, Table, TextField, useToast } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { useForgetRoadTimes, usePlanningRules, useSavePlanningRules } from '../api/needs.js';

/** How the company plans: depot, slack for breakdowns, what is learned of its past and what that is. */
export function PlanningRulesSection() {
  const rules = usePlanningRules();
  return (
    <Section title={phrase('planning.how-weeks-are-planned')}>
      <Loaded query={rules} what={phrase('planning.the-rules')}>{(of) => (<>
        <Rules key={of.version} of={of} />
        {of.learned.length === 0 ? <p className="quiet">{phrase('planning.no-past-visits-minutes-are-as-counted')}</p> : <Table caption={phrase('planning.what-past-visits-took-against-counted')} rows={of.learned} rowKey={(one) => one.kind} columns={[
          { key: 'kind', title: phrase('planning.kind-of-place'), cell: (one) => one.kind }, { key: 'percent', title: phrase('planning.of-what-was-counted'), cell: (one) => `${one.percent} %` },
          { key: 'visits', title: phrase('planning.past-visits'), cell: (one) => one.visits }, { key: 'own', title: phrase('planning.weight-of-its-own'), cell: (one) => `${Math.round(one.ownWeight * 100)} %` }]} />}
        <Travel of={of.travel} />
      </>)}</Loaded>
    </Section>
  );
}

function Rules({ of }: { of: PlanningRulesShown }) {
  const may = useMay('plan');
  const toast = useToast();
  const save = useSavePlanningRules(() => toast(phrase('planning.kept-the-next-plan-counts-it')));
  const [draft, setDraft] = useState(() => ({ address: of.depot?.address ?? '', lat: of.depot?.lat ?? null, lon: of.depot?.lon ?? null, slack: of.slack === null ? 'none' : of.slack === 'forecast' ? 'forecast' : 'minutes', minutes: typeof of.slack === 'number' ? of.slack : (90 as number | null), learnMinutes: of.learnMinutes, learnTravel: of.learnTravel }));
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const halfDepot = (draft.lat === null) !== (draft.lon === null) || (draft.lat !== null && draft.address.trim() === '');
  const submit = () => {
    if (halfDepot) return;
    save.mutate({ version: of.version, depot: draft.lat === null || draft.lon === null ? null : { address: draft.address.trim(), lat: draft.lat, lon: draft.lon }, slack: draft.slack === 'none' ? null : draft.slack === 'forecast' ? 'forecast' : draft.minutes ?? 0, learnMinutes: draft.learnMinutes, learnTravel: draft.learnTravel });
  };
  return (
    <Form problem={save.error} onSubmit={submit}>
      <TextField label={phrase('planning.depot')} name="depot" value={draft.address} onChange={(address) => set({ address })} help={phrase('planning.where-rounds-may-begin-and-keys-of')} fault={halfDepot ? phrase('planning.address-and-both-coordinates-or-none') : null} />
      <div className="grid narrow"><NumberField label={phrase('planning.latitude')} name="lat" unit="°" min={-90} max={90} value={draft.lat} onChange={(lat) => set({ lat })} /><NumberField label={phrase('planning.longitude')} name="lon" unit="°" min={-180} max={180} value={draft.lon} onChange={(lon) => set({ lon })} /></div>
      <Select label={phrase('planning.slack-for-breakdowns')} value={draft.slack} onChange={(slack) => set({ slack })} options={[{ value: 'none', label: phrase('planning.none-2') }, { value: 'forecast', label: phrase('planning.as-past-urgent-visits-say') }, { value: 'minutes', label: phrase('planning.so-many-minutes-a-day') }]} />
      {draft.slack === 'minutes' ? <NumberField label={phrase('planning.minutes-a-day')} name="minutes" unit={phrase('planning.min')} min={0} max={2000} value={draft.minutes} onChange={(minutes) => set({ minutes })} /> : null}
      <CheckBox label={phrase('planning.minutes-of-new-visits-follow-past-ones')} checked={draft.learnMinutes} onChange={(learnMinutes) => set({ learnMinutes })} />
      <CheckBox label={phrase('planning.travel-follows-past-trips')} checked={draft.learnTravel} onChange={(learnTravel) => set({ learnTravel })} />
      {may ? <Button type="submit" busy={save.isPending}>{phrase('planning.keep-it')}</Button> : null}
    </Form>
  );
}

/** Where travel comes from: roads or estimates, and what past trips made of the estimates. */
function Travel({ of }: { of: PlanningRulesShown['travel'] }) {
  const may = useMay('plan');
  const toast = useToast();
  const [asking, setAsking] = useState(false);
  const forget = useForgetRoadTimes(() => { setAsking(false); toast(phrase('planning.road-times-forgotten')); });
  return (
    <>
      <h3>{phrase('planning.travel-by-road-or-estimated')}</h3>
      <p>{of.source === 'estimate' ? phrase('planning.travel-is-estimated') : phrase('planning.travel-by-road-places', { places: numberWords(of.places), missing: numberWords(of.missing), noWay: numberWords(of.noWay) })} {phrase('planning.estimates-follow-trips', { percent: of.percent, trips: numberWords(of.trips) })}</p>
      <Table caption={phrase('planning.how-fast-by-length')} rows={of.bands} rowKey={(one) => String(one.upToKm)} columns={[
        { key: 'length', title: phrase('planning.trip-up-to'), cell: (one) => (one.upToKm === null ? phrase('planning.beyond') : phrase('planning.up-to-km', { km: one.upToKm })) },
        { key: 'speed', title: phrase('planning.speed'), align: 'end', cell: (one) => `${numberWords(one.kmh, 1)} km/h` },
        { key: 'percent', title: phrase('planning.against-the-usual'), align: 'end', cell: (one) => `${one.percent} %` }, { key: 'trips', title: phrase('planning.past-trips'), align: 'end', cell: (one) => numberWords(one.trips) }]} />
      {may && of.source === 'road' ? <Button size="small" onClick={() => setAsking(true)}>{phrase('planning.forget-road-times')}</Button> : null}
      {asking ? <ConfirmDialog title={phrase('planning.forget-road-times')} words={phrase('planning.forget-road-times')} busy={forget.isPending} problem={forget.error} onClose={() => setAsking(false)} onConfirm={() => forget.mutate({})}>{phrase('planning.forget-road-times-why')}</ConfirmDialog> : null}
    </>
  );
}
