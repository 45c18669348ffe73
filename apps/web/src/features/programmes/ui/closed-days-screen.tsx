import { OCCUPANCIES, type ClosedDaysShown } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { dayShort, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, DateField, Dialog, Empty, Facts, Form, Loaded, Page, ProblemBox, Section, Select, Table, TextField, useToast } from '../../../shared/ui/index.js';
import { useAddClosedDays, useChooseHolidays, useClosedDays, useHolidayRegions, useRemoveClosedDays } from '../api/duties.js';
import { phrase } from '../../../shared/language/index.js';
import { OCCUPANCY, wordOf } from '../../../shared/words.js';

const KIND_WORDS = { closed: phrase('programmes.closed'), noise: phrase('programmes.no-sounders') } as const;

/** Public holidays and the days that close many sites at once: school terms, exams, a works holiday. */
export function ClosedDaysScreen() {
  const days = useClosedDays();
  const may = useMay('plan');
  const say = useToast();
  const [isAdding, setAdding] = useState(false);
  const [search, setSearch] = useState('');
  const remove = useRemoveClosedDays(() => say(phrase('programmes.taken-away-due-days-follow-in-the')));
  return (
    <Page title={phrase('programmes.closed-days')} lead={phrase('programmes.they-may-pull-a-due-day-earlier')} actions={may ? <Button kind="do" onClick={() => setAdding(true)}>{phrase('programmes.add-days')}</Button> : undefined}>
      <Loaded query={days} what={phrase('programmes.the-closed-days')}>{(shown) => (<>
        <Holidays shown={shown} may={may} />
        <Section title={phrase('programmes.days-of-many-sites')} actions={<TextField bare label={phrase('programmes.search-days')} value={search} onChange={setSearch} placeholder={phrase('programmes.reason-or-who-decided')} />}>
          {remove.error ? <ProblemBox problem={remove.error} /> : null}
          {shown.rows.length === 0 ? <Empty title={phrase('programmes.none-yet')}>{phrase('programmes.add-school-terms-exams-or-a-works')}</Empty>
            : <Table caption={phrase('programmes.days-of-many-sites')} rows={shown.rows.filter((row) => `${row.reason} ${row.authority}`.toLowerCase().includes(search.toLowerCase()))} rowKey={(row) => row.id} columns={[
              { key: 'reason', title: phrase('programmes.days-2'), cell: (row) => <><strong>{row.reason}</strong><br /><span className="small quiet">{phrase('programmes.decided-by-authority', { authority: row.authority })}</span></> },
              { key: 'when', title: phrase('programmes.when'), cell: (row) => phrase('programmes.fromday-to-today', { fromDay: dayShort(row.fromDay), toDay: dayShort(row.toDay) }) },
              { key: 'kind', title: phrase('programmes.sites-are'), cell: (row) => KIND_WORDS[row.kind] },
              { key: 'sites', title: phrase('programmes.which'), cell: (row) => `${row.occupancy === null ? phrase('app.all') : phrase('programmes.kind-occupancy', { occupancy: wordOf(OCCUPANCY, row.occupancy) })}: ${phrase('count.site', { n: row.sites })}` },
              { key: 'do', title: '', cell: (row) => (may ? <Button size="small" kind="bare" busy={remove.isPending} onClick={() => remove.mutate({ closedDaysId: row.id })}>{phrase('programmes.take-away')}</Button> : null) },
            ]} />}
        </Section>
      </>)}</Loaded>
      {isAdding ? <AddDialog onClose={() => setAdding(false)} /> : null}
    </Page>
  );
}

function Holidays({ shown, may }: { shown: ClosedDaysShown; may: boolean }) {
  const regions = useHolidayRegions();
  const say = useToast();
  const [country, setCountry] = useState(shown.region?.slice(0, 2) ?? '');
  const choose = useChooseHolidays(() => say(phrase('programmes.chosen-due-days-follow-in-the-background')));
  const rows = useMemo(() => regions.data?.rows ?? [], [regions.data]);
  const inCountry = rows.filter((row) => row.code.startsWith(`${country}-`));
  return (
    <Section title={phrase('programmes.public-holidays')}>
      <Facts of={[[phrase('programmes.whose'), shown.regionWords], [phrase('programmes.sites-with-their-own'), phrase('count.site', { n: shown.sitesOfOwnRegion })], [phrase('programmes.source'), shown.source]]} />
      {choose.error ? <ProblemBox problem={choose.error} /> : null}
      {may ? <div className="grid narrow">
        <Select label={phrase('programmes.country')} value={country} empty={phrase('programmes.none-holidays-close-no-site')} options={rows.filter((row) => row.code.length === 2).map((row) => ({ value: row.code, label: row.words }))} onChange={(next) => { setCountry(next); choose.mutate({ region: next === '' ? null : next }); }} />
        {inCountry.length > 0 ? <Select label={phrase('programmes.region')} value={shown.region?.includes('-') ? shown.region : ''} empty={phrase('programmes.the-whole-country')} options={inCountry.map((row) => ({ value: row.code, label: row.words.split(', ').slice(1).join(', ') }))} onChange={(next) => choose.mutate({ region: next === '' ? country : next })} /> : null}
      </div> : null}
      {shown.holidays.length > 0 ? <details><summary>{phrase('programmes.holidays-in-the-year-to-come', { holidays: phrase('count.holiday', { n: shown.holidays.length }) })}</summary><ul>{shown.holidays.map((one) => <li key={`${one.day} ${one.reason}`}>{dayShort(one.day)}: {one.reason}</li>)}</ul></details> : null}
    </Section>
  );
}

function AddDialog({ onClose }: { onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ id: newId(), kind: 'closed', fromDay: '', toDay: '', reason: '', authority: '', occupancy: '' }));
  const today = todayIn(useMe().company.timeZone);
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const add = useAddClosedDays(() => { say(phrase('programmes.added-due-days-follow-in-the-background')); onClose(); });
  return (
    <Dialog title={phrase('programmes.days-of-many-sites')} onClose={onClose}>
      <Form problem={add.error} onSubmit={() => add.mutate({ ...draft, fromDay: draft.fromDay || today, toDay: draft.toDay || draft.fromDay || today, kind: draft.kind as 'closed', occupancy: (draft.occupancy || null) as 'school' | null })}>
        <Select label={phrase('programmes.on-these-days-the-sites-are')} name="kind" required value={draft.kind} onChange={(kind) => set({ kind })} options={[{ value: 'closed', label: KIND_WORDS.closed }, { value: 'noise', label: KIND_WORDS.noise }]} />
        <Select label={phrase('programmes.which-sites')} name="occupancy" value={draft.occupancy} empty={phrase('programmes.all-sites')} onChange={(occupancy) => set({ occupancy })} options={OCCUPANCIES.map((one) => ({ value: one, label: phrase('programmes.kind-one', { one: OCCUPANCY[one] }) }))} />
        <div className="grid narrow"><DateField label={phrase('programmes.first-day')} name="fromDay" required value={draft.fromDay || today} onChange={(fromDay) => set({ fromDay })} /><DateField label={phrase('programmes.last-day')} name="toDay" required value={draft.toDay || draft.fromDay || today} onChange={(toDay) => set({ toDay })} /></div>
        <TextField label={phrase('programmes.why')} name="reason" required value={draft.reason} onChange={(reason) => set({ reason })} />
        <TextField label={phrase('programmes.who-decided-it')} name="authority" required value={draft.authority} onChange={(authority) => set({ authority })} />
        <div className="row"><Button kind="do" type="submit" busy={add.isPending ? phrase('programmes.adding') : false}>{phrase('programmes.add-these-days')}</Button><Button onClick={onClose}>{phrase('programmes.leave-as-it-is')}</Button></div>
      </Form>
    </Dialog>
  );
}
