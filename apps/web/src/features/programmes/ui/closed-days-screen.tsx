import { OCCUPANCIES, type ClosedDaysShown } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { countWords, dayShort, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, DateField, Dialog, Empty, Facts, Form, Loaded, Page, ProblemBox, Section, Select, Table, TextField, useToast } from '../../../shared/ui/index.js';
import { useAddClosedDays, useChooseHolidays, useClosedDays, useHolidayRegions, useRemoveClosedDays } from '../api/duties.js';

const KIND_WORDS = { closed: 'closed', noise: 'no sounders' } as const;

/** Public holidays and the days that close many sites at once: school terms, exams, a works holiday. */
export function ClosedDaysScreen() {
  const days = useClosedDays();
  const may = useMay('plan');
  const say = useToast();
  const [isAdding, setAdding] = useState(false);
  const [search, setSearch] = useState('');
  const remove = useRemoveClosedDays(() => say('Taken away: due days follow in the background'));
  return (
    <Page title="Closed days" lead="They may pull a due day earlier, never past a lapse, and no visit is planned on them." actions={may ? <Button kind="do" onClick={() => setAdding(true)}>Add days</Button> : undefined}>
      <Loaded query={days} what="the closed days">{(shown) => (<>
        <Holidays shown={shown} may={may} />
        <Section title="Days of many sites" actions={<TextField bare label="Search days" value={search} onChange={setSearch} placeholder="Reason or who decided" />}>
          {remove.error ? <ProblemBox problem={remove.error} /> : null}
          {shown.rows.length === 0 ? <Empty title="None yet">Add school terms, exams or a works holiday once for all sites of a kind.</Empty>
            : <Table caption="Days of many sites" rows={shown.rows.filter((row) => `${row.reason} ${row.authority}`.toLowerCase().includes(search.toLowerCase()))} rowKey={(row) => row.id} columns={[
              { key: 'reason', title: 'Days', cell: (row) => <><strong>{row.reason}</strong><br /><span className="small quiet">decided by {row.authority}</span></> },
              { key: 'when', title: 'When', cell: (row) => `${dayShort(row.fromDay)} to ${dayShort(row.toDay)}` },
              { key: 'kind', title: 'Sites are', cell: (row) => KIND_WORDS[row.kind] },
              { key: 'sites', title: 'Which', cell: (row) => `${row.occupancy === null ? 'all' : `kind ${row.occupancy}`}: ${countWords(row.sites, 'site')}` },
              { key: 'do', title: '', cell: (row) => (may ? <Button size="small" kind="bare" busy={remove.isPending} onClick={() => remove.mutate({ closedDaysId: row.id })}>Take away</Button> : null) },
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
  const choose = useChooseHolidays(() => say('Chosen: due days follow in the background'));
  const rows = useMemo(() => regions.data?.rows ?? [], [regions.data]);
  const inCountry = rows.filter((row) => row.code.startsWith(`${country}-`));
  return (
    <Section title="Public holidays">
      <Facts of={[['Whose', shown.regionWords], ['Sites with their own', countWords(shown.sitesOfOwnRegion, 'site')], ['Source', shown.source]]} />
      {choose.error ? <ProblemBox problem={choose.error} /> : null}
      {may ? <div className="grid narrow">
        <Select label="Country" value={country} empty="none: holidays close no site" options={rows.filter((row) => row.code.length === 2).map((row) => ({ value: row.code, label: row.words }))} onChange={(next) => { setCountry(next); choose.mutate({ region: next === '' ? null : next }); }} />
        {inCountry.length > 0 ? <Select label="Region" value={shown.region?.includes('-') ? shown.region : ''} empty="the whole country" options={inCountry.map((row) => ({ value: row.code, label: row.words.split(', ').slice(1).join(', ') }))} onChange={(next) => choose.mutate({ region: next === '' ? country : next })} /> : null}
      </div> : null}
      {shown.holidays.length > 0 ? <details><summary>{countWords(shown.holidays.length, 'holiday')} in the year to come</summary><ul>{shown.holidays.map((one) => <li key={`${one.day} ${one.reason}`}>{dayShort(one.day)}: {one.reason}</li>)}</ul></details> : null}
    </Section>
  );
}

function AddDialog({ onClose }: { onClose: () => void }) {
  const say = useToast();
  const [draft, setDraft] = useState(() => ({ id: newId(), kind: 'closed', fromDay: '', toDay: '', reason: '', authority: '', occupancy: '' }));
  const today = todayIn(useMe().company.timeZone);
  const set = (changes: Partial<typeof draft>) => setDraft({ ...draft, ...changes });
  const add = useAddClosedDays(() => { say('Added: due days follow in the background'); onClose(); });
  return (
    <Dialog title="Days of many sites" onClose={onClose}>
      <Form problem={add.error} onSubmit={() => add.mutate({ ...draft, fromDay: draft.fromDay || today, toDay: draft.toDay || draft.fromDay || today, kind: draft.kind as 'closed', occupancy: (draft.occupancy || null) as 'school' | null })}>
        <Select label="On these days the sites are" name="kind" required value={draft.kind} onChange={(kind) => set({ kind })} options={[{ value: 'closed', label: KIND_WORDS.closed }, { value: 'noise', label: KIND_WORDS.noise }]} />
        <Select label="Which sites" name="occupancy" value={draft.occupancy} empty="all sites" onChange={(occupancy) => set({ occupancy })} options={OCCUPANCIES.map((one) => ({ value: one, label: `kind ${one}` }))} />
        <div className="grid narrow"><DateField label="First day" name="fromDay" required value={draft.fromDay || today} onChange={(fromDay) => set({ fromDay })} /><DateField label="Last day" name="toDay" required value={draft.toDay || draft.fromDay || today} onChange={(toDay) => set({ toDay })} /></div>
        <TextField label="Why" name="reason" required value={draft.reason} onChange={(reason) => set({ reason })} />
        <TextField label="Who decided it" name="authority" required value={draft.authority} onChange={(authority) => set({ authority })} />
        <div className="row"><Button kind="do" type="submit" busy={add.isPending ? 'Adding …' : false}>Add these days</Button><Button onClick={onClose}>Leave as it is</Button></div>
      </Form>
    </Dialog>
  );
}
