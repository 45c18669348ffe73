import type { LibraryProgramme, ProgrammeRow } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { countWords, todayIn } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, CautionBox, CheckBox, DateField, Dialog, Empty, Facts, Form, Loaded, Page, ProblemBox, SearchBox, Section, Table, Tag, useToast } from '../../../shared/ui/index.js';
import { useAdopt, useApply, useCount, useLibrary, useProgrammes, useRetire } from '../api/programmes.js';

/** What is owed and by which rule: the library, what this company adopted, and laying it on systems. */
export function ProgrammesScreen() {
  const may = useMay('plan');
  const own = useProgrammes();
  const library = useLibrary();
  const [search, setSearch] = useState('');
  const [laying, setLaying] = useState<ProgrammeRow | null>(null);
  const [retiring, setRetiring] = useState<ProgrammeRow | null>(null);
  const fits = (text: string) => text.toLowerCase().includes(search.toLowerCase());
  return (
    <Page title="Programmes" lead="A programme is a set of duties of one regime. Laid on systems, it gives each its windows." actions={<SearchBox label="Search programmes" value={search} onChange={setSearch} placeholder="Title or regime" />}>
      <Section title="Adopted by this company">
        <Loaded query={own} what="the programmes">{({ rows }) => (rows.length === 0 ? <Empty title="Nothing is adopted yet">Adopt a programme from the library below, then lay it on your systems.</Empty>
          : <Table caption="Adopted programmes" rows={rows.filter((row) => fits(`${row.title} ${row.regime}`))} rowKey={(row) => row.id} columns={[
            { key: 'title', title: 'Programme', cell: (row) => <><Link to={`/programmes/${row.id}`}><strong>{row.title}</strong></Link> <Tag>version {row.version}</Tag><br /><span className="small quiet">{row.regime}</span></> },
            { key: 'kinds', title: 'For', cell: (row) => row.systemKinds.join(', ') },
            { key: 'laid', title: 'Laid on', align: 'end', cell: (row) => `${countWords(row.systems, 'system')}, ${countWords(row.duties, 'duty', 'duties')}` },
            { key: 'do', title: '', cell: (row) => (may ? <span className="row"><Button size="small" onClick={() => setLaying(row)}>Lay on systems</Button>{row.systems > 0 ? <Button size="small" kind="bare" onClick={() => setRetiring(row)}>Retire</Button> : null}</span> : null) },
          ]} />)}</Loaded>
      </Section>
      <Section title="Library">
        <Loaded query={library} what="the library">{({ caution, rows }) => (<><CautionBox title="Before you rely on it">{caution}</CautionBox>{rows.filter((row) => fits(`${row.title} ${row.regime}`)).map((row) => <LibraryEntry key={row.key} entry={row} may={may} />)}</>)}</Loaded>
      </Section>
      {laying ? <ApplyDialog programme={laying} onClose={() => setLaying(null)} /> : null}
      {retiring ? <RetireDialog programme={retiring} onClose={() => setRetiring(null)} /> : null}
    </Page>
  );
}

function LibraryEntry({ entry, may }: { entry: LibraryProgramme; may: boolean }) {
  const adopt = useAdopt();
  const toast = useToast();
  return (
    <details className="leaf">
      <summary><strong>{entry.title}</strong> {entry.adoptedId ? <Tag>adopted</Tag> : null}</summary>
      <Facts of={[['Regime', `${entry.regime}, ${entry.edition}`], ['For', entry.systemKinds.join(', ')], ['Source', entry.source], ['Checked by us', entry.checkedOn ?? 'not yet: verify against your adopted edition']]} />
      <CautionBox title="Caution">{entry.caution}</CautionBox>
      {may && !entry.adoptedId ? <Button busy={adopt.isPending} onClick={() => adopt.mutate({ id: newId(), libraryKey: entry.key }, { onSuccess: () => toast('Adopted: lay it on your systems next') })}>Adopt programme</Button> : null}
      {adopt.error ? <ProblemBox problem={adopt.error} /> : null}
      <Table caption="Rules" rows={entry.rules} rowKey={(rule) => rule.key} columns={[
        { key: 'title', title: 'Duty', cell: (rule) => <>{rule.title}<br /><span className="small quiet">{rule.cadence}; on each {rule.subject}; by {rule.by}</span></> },
        { key: 'checks', title: 'Met by', cell: (rule) => rule.checkKinds.map((kind) => kind.replaceAll('-', ' ')).join(rule.meets === 'all' ? ' and ' : ' or ') },
        { key: 'min', title: 'Minutes', align: 'end', cell: (rule) => rule.minutes },
        { key: 'source', title: 'Source', cell: (rule) => <>{rule.clause}<br /><span className="small quiet">{rule.provenance}</span></> },
      ]} />
    </details>
  );
}

function ApplyDialog({ programme, onClose }: { programme: ProgrammeRow; onClose: () => void }) {
  const [from, setFrom] = useState(todayIn(useMe().company.timeZone));
  const [kinds, setKinds] = useState<readonly string[]>(programme.systemKinds);
  const toast = useToast();
  const count = useCount();
  const apply = useApply();
  const asked = { programmeId: programme.id, from, systems: kinds.length === programme.systemKinds.length ? {} : { kinds: kinds as ('fire')[] } };
  const counted = count.data;
  return (
    <Dialog title={`Lay '${programme.title}' on systems`} onClose={onClose}>
      <Form problem={count.error ?? apply.error} onSubmit={() => count.mutate({ ...asked, dryRun: true })}>
        <CautionBox title="Before you rely on it">Local codes, the adopted edition and licensed practice prevail. Laying a programme is no compliance.</CautionBox>
        <p>It is laid on every system it fits, of the kinds you choose. Duties are owed from the day you choose; sites without records begin as can’t tell.</p>
        <DateField label="Owed from" name="from" value={from} onChange={(day) => { setFrom(day); count.reset(); }} />
        {programme.systemKinds.length > 1 ? programme.systemKinds.map((kind) => <CheckBox key={kind} label={`Systems of kind ${kind}`} checked={kinds.includes(kind)} onChange={(on) => { setKinds(on ? [...kinds, kind] : kinds.filter((one) => one !== kind)); count.reset(); }} />) : null}
        <Button type="submit" busy={count.isPending} disabled={kinds.length === 0}>Count first</Button>
        {counted ? (<div className="note" role="status">
          <p><strong>{countWords(counted.systems, 'system')} at {countWords(counted.sites, 'site')}:</strong> {countWords(counted.duties.added, 'duty', 'duties')} added, {counted.duties.moved} moved, {counted.duties.removed} removed, {counted.duties.kept} kept; {counted.duties.cantTell} begin as can’t tell.</p>
          {counted.skippedBecause.length > 0 ? <ul>{counted.skippedBecause.map((one) => <li key={one.reason}>{countWords(one.systems, 'system')} skipped: {one.reason}</li>)}</ul> : null}
          <Button kind="do" busy={apply.isPending} disabled={counted.systems === 0} onClick={() => apply.mutate({ ...asked, dryRun: false }, { onSuccess: (answer) => { toast(answer.standingReady ? 'Laid: every duty has its window' : 'Laid: the windows follow in the background'); onClose(); } })}>Lay on {countWords(counted.systems, 'system')}</Button>
        </div>) : null}
      </Form>
    </Dialog>
  );
}

function RetireDialog({ programme, onClose }: { programme: ProgrammeRow; onClose: () => void }) {
  const [lastDay, setLastDay] = useState(todayIn(useMe().company.timeZone));
  const retire = useRetire();
  const toast = useToast();
  return (
    <Dialog title={`Retire '${programme.title}'`} onClose={onClose}>
      <Form problem={retire.error} onSubmit={() => retire.mutate({ programmeId: programme.id, lastDay, dryRun: false, systems: {} }, { onSuccess: (answer) => { toast(`${answer.duties} duties end; their history stays`); onClose(); } })}>
        <p>Its {countWords(programme.duties, 'duty', 'duties')} on {countWords(programme.systems, 'system')} end after the last day. What was proven or missed until then stays.</p>
        <DateField label="Last day owed" name="lastDay" value={lastDay} onChange={setLastDay} />
        <Button type="submit" kind="danger" busy={retire.isPending}>Retire programme</Button>
      </Form>
    </Dialog>
  );
}
