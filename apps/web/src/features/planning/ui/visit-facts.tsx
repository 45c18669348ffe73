import type { VisitNeeds, WeekVisit } from '@bellround/contracts';
import { useState } from 'react';
import { clockWords, dayShort, minutesWords } from '../../../shared/format.js';
import { Button, DateField, Form, NumberField, Section, Select, TextField, useToast } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { useEditVisit } from '../api/needs.js';

/** What a visit asks of a round beside skills, a line each; what it does not ask is not named. */
export function needsFacts(needs: VisitNeeds): (readonly [string, string])[] {
  const line = (name: string, words: string | null) => (words === null || words === '' ? [] : [[name, words] as const]);
  return [
    ...line(phrase('planning.sounding'), needs.noiseWindows.length === 0 ? null : phrase('planning.soundmin-of-it-only-hours', { soundMin: minutesWords(needs.soundMin), hours: needs.noiseWindows.slice(0, 4).map((one) => `${dayShort(one.day)} ${clockWords(one.startMin)}–${clockWords(one.endMin)}`).join(', ') })),
    ...line(phrase('planning.in-two-parts'), needs.split ? phrase('planning.no-day-of-this-week-takes-it-whole') : null),
    ...line(phrase('planning.notice'), needs.noticeDays === 0 ? null : needs.noticeGivenOn ? phrase('planning.noticedays-days-given-on', { noticeDays: needs.noticeDays, on: dayShort(needs.noticeGivenOn) }) : phrase('planning.noticedays-days-not-given', { noticeDays: needs.noticeDays })),
    ...line(phrase('planning.permits'), needs.permits.map((one) => phrase('planning.name-from-to', { name: one.name, from: one.from === null ? phrase('planning.not-granted') : dayShort(one.from), to: one.to === null ? '' : `– ${dayShort(one.to)}` })).join(', ')),
    ...line(phrase('planning.equipment'), needs.equipment.join(', ')),
    ...line(phrase('planning.parts'), needs.parts.map(({ part, n }) => `${n} × ${part}`).join(', ')),
    ...line(phrase('planning.key'), needs.key ? phrase('planning.collected-and-returned-on-the-way') : null),
  ];
}

/** What a plan counts of a visit, set right by hand. */
export function VisitFacts({ visit, wholeId }: { visit: WeekVisit; wholeId: string }) {
  const toast = useToast();
  const needs = visit.needs!;
  const [draft, setDraft] = useState({ serviceMin: visit.serviceMin as number | null, persons: String(visit.persons === 2 ? 2 : 1), soundingMin: needs.ownSoundMin as number | null, equipment: needs.ownEquipment.join('; '), noticeGivenOn: needs.noticeGivenOn ?? '' });
  const [isOpen, setOpen] = useState(false);
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const edit = useEditVisit(() => { toast(phrase('planning.kept-the-next-plan-counts-it')); setOpen(false); });
  if (!isOpen) return <div className="row"><Button size="small" onClick={() => setOpen(true)}>{phrase('planning.change-what-it-takes')}</Button></div>;
  const submit = () => {
    if (draft.serviceMin === null) return;
    edit.mutate({ visitId: wholeId, serviceMin: draft.serviceMin, persons: draft.persons === '2' ? 2 : 1, soundingMin: draft.soundingMin, equipment: draft.equipment.split(';').map((one) => one.trim()).filter((one) => one !== ''), noticeGivenOn: draft.noticeGivenOn || null });
  };
  return (
    <Section title={phrase('planning.what-it-takes')}>
      <Form problem={edit.error} onSubmit={submit}>
        <NumberField label={phrase('planning.minutes')} name="serviceMin" required unit={phrase('planning.min')} min={5} max={1440} value={draft.serviceMin} onChange={(serviceMin) => set({ serviceMin })} />
        <Select label={phrase('planning.people')} value={draft.persons} onChange={(persons) => set({ persons })} options={[{ value: '1', label: phrase('planning.one-person') }, { value: '2', label: phrase('planning.two-persons') }]} />
        <NumberField label={phrase('planning.minutes-that-are-heard')} name="soundingMin" unit={phrase('planning.min')} min={0} max={1440} value={draft.soundingMin} help={phrase('planning.empty-as-its-duties-say-now', { n: needs.soundMin })} onChange={(soundingMin) => set({ soundingMin })} />
        <TextField label={phrase('planning.equipment-of-its-own')} name="equipment" value={draft.equipment} help={phrase('planning.divided-by-semicolons-the-sites-is-added')} onChange={(equipment) => set({ equipment })} />
        {needs.noticeDays > 0 ? <DateField label={phrase('planning.notice-was-given-on')} name="noticeGivenOn" value={draft.noticeGivenOn} onChange={(noticeGivenOn) => set({ noticeGivenOn })} /> : null}
        <div className="row"><Button type="submit" kind="do" busy={edit.isPending}>{phrase('planning.keep-it')}</Button><Button onClick={() => setOpen(false)}>{phrase('planning.leave-as-it-is')}</Button></div>
      </Form>
    </Section>
  );
}
