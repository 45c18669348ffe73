import type { LibraryProgramme, ProgrammeRow } from '@bellround/contracts';
import { useState } from 'react';
import { Link } from 'react-router';
import { listWords } from '../../../shared/format.js';
import { newId } from '../../../shared/new-id.js';
import { useMay } from '../../../shared/session.js';
import { Button, CautionBox, Empty, Facts, Loaded, Page, ProblemBox, SearchBox, Section, Table, Tag, useToast } from '../../../shared/ui/index.js';
import { useAdopt, useLibrary, useProgrammes } from '../api/programmes.js';
import { LayDialog, RetireDialog } from './lay-dialog.js';
import { phrase } from '../../../shared/language/index.js';
import { checkWord } from '../../../shared/check-words.js';
import { said } from '../../../shared/language/said.js';
import { SUBJECT, SYSTEM_KIND, wordOf, wordsOf } from '../../../shared/words.js';
import { BY } from './rule-fields.js';

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
    <Page title={phrase('programmes.programmes')} lead={phrase('programmes.a-programme-is-a-set-of-duties')} actions={<SearchBox label={phrase('programmes.search-programmes')} value={search} onChange={setSearch} placeholder={phrase('programmes.title-or-regime')} />}>
      <Section title={phrase('programmes.adopted-by-this-company')}>
        <Loaded query={own} what={phrase('programmes.the-programmes')}>{({ rows }) => (rows.length === 0 ? <Empty title={phrase('programmes.nothing-is-adopted-yet')}>{phrase('programmes.adopt-a-programme-from-the-library-below')}</Empty>
          : <Table caption={phrase('programmes.adopted-programmes')} rows={rows.filter((row) => fits(`${row.title} ${row.regime}`))} rowKey={(row) => row.id} columns={[
            { key: 'title', title: phrase('programmes.programme'), cell: (row) => <><Link to={`/programmes/${row.id}`}><strong>{said(row.title)}</strong></Link> <Tag>{phrase('programmes.version-version', { version: row.version })}</Tag><br /><span className="small quiet">{row.regime}</span></> },
            { key: 'kinds', title: phrase('programmes.for'), cell: (row) => wordsOf(SYSTEM_KIND, row.systemKinds) },
            { key: 'laid', title: phrase('programmes.laid-on'), align: 'end', cell: (row) => `${phrase('count.system', { n: row.systems })}, ${phrase('count.duty', { n: row.duties })}` },
            { key: 'do', title: '', cell: (row) => (may ? <span className="row"><Button size="small" onClick={() => setLaying(row)}>{phrase('programmes.lay-on-systems')}</Button>{row.systems > 0 ? <Button size="small" kind="bare" onClick={() => setRetiring(row)}>{phrase('programmes.retire')}</Button> : null}</span> : null) },
          ]} />)}</Loaded>
      </Section>
      <Section title={phrase('programmes.library')}>
        <Loaded query={library} what={phrase('programmes.the-library')}>{({ caution, rows }) => (<><CautionBox title={phrase('programmes.before-you-rely-on-it')}>{caution}</CautionBox>{rows.filter((row) => fits(`${row.title} ${row.regime}`)).map((row) => <LibraryEntry key={row.key} entry={row} may={may} />)}</>)}</Loaded>
      </Section>
      {laying ? <LayDialog programme={laying} onClose={() => setLaying(null)} /> : null}
      {retiring ? <RetireDialog programme={retiring} onClose={() => setRetiring(null)} /> : null}
    </Page>
  );
}

function LibraryEntry({ entry, may }: { entry: LibraryProgramme; may: boolean }) {
  const adopt = useAdopt();
  const toast = useToast();
  return (
    <details className="leaf">
      <summary><strong>{entry.title}</strong> {entry.adoptedId ? <Tag>{phrase('programmes.adopted')}</Tag> : null}</summary>
      <Facts of={[[phrase('programmes.regime'), `${entry.regime}, ${entry.edition}`], [phrase('programmes.for'), wordsOf(SYSTEM_KIND, entry.systemKinds)], [phrase('programmes.source'), said(entry.source)], [phrase('programmes.checked-by-us'), entry.checkedOn ?? phrase('programmes.not-yet-verify-against-your-adopted-edition')]]} />
      <CautionBox title={phrase('programmes.caution')}>{entry.caution}</CautionBox>
      {may && !entry.adoptedId ? <Button busy={adopt.isPending} onClick={() => adopt.mutate({ id: newId(), libraryKey: entry.key }, { onSuccess: () => toast(phrase('programmes.adopted-lay-it-on-your-systems-next')) })}>{phrase('programmes.adopt-programme')}</Button> : null}
      {adopt.error ? <ProblemBox problem={adopt.error} /> : null}
      <Table caption={phrase('programmes.rules')} rows={entry.rules} rowKey={(rule) => rule.key} columns={[
        { key: 'title', title: phrase('programmes.duty'), cell: (rule) => <>{said(rule.title)}<br /><span className="small quiet">{phrase('programmes.cadence-on-each-subject-by-by', { cadence: said(rule.cadence), subject: wordOf(SUBJECT, rule.subject), by: wordOf(BY, rule.by) })}</span></> },
        { key: 'checks', title: phrase('programmes.met-by'), cell: (rule) => listWords(rule.checkKinds.map(checkWord), rule.meets === 'all' ? 'and' : 'or') },
        { key: 'min', title: phrase('programmes.minutes'), align: 'end', cell: (rule) => rule.minutes },
        { key: 'source', title: phrase('programmes.source'), cell: (rule) => <>{rule.clause}<br /><span className="small quiet">{said(rule.provenance)}</span></> },
      ]} />
    </details>
  );
}
