import type { ProgrammeShown } from '@bellround/contracts';
import { useState } from 'react';
import { Link, useParams } from 'react-router';
import { dayWords, listWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, CautionBox, Empty, Facts, LinkButton, Loaded, Page, Pager, Region, SearchBox, Section, Table } from '../../../shared/ui/index.js';
import { useLaidOn, useProgramme } from '../api/programmes.js';
import { Changes } from './changes.js';
import { EditProgramme } from './edit-programme.js';
import { LayDialog, RetireDialog } from './lay-dialog.js';
import { phrase } from '../../../shared/language/index.js';
import { checkWord } from '../../../shared/check-words.js';
import { said } from '../../../shared/language/said.js';
import { SUBJECT, SYSTEM_KIND, wordOf, wordsOf } from '../../../shared/words.js';
import { BY } from './rule-fields.js';

const PER_PAGE = 50;

/** One version of a programme: its rules with their sources, what it changed, and the systems it is laid on. */
export function ProgrammeScreen() {
  const { programmeId = '' } = useParams();
  const programme = useProgramme(programmeId);
  const may = useMay('plan');
  const [editing, setEditing] = useState<'version' | 'own' | null>(null);
  const [doing, setDoing] = useState<'lay' | 'retire' | null>(null);
  return (
    <Loaded query={programme} what={phrase('programmes.the-programme')}>{(shown) => {
      const newest = shown.versions[0]!;
      return (
        <Page title={said(shown.title)} lead={phrase('programmes.version-version-laid-on-systems-duties', { version: shown.version, systems: phrase('count.system', { n: shown.systems }), duties: phrase('count.duty', { n: shown.duties }) })}
          actions={<>{may && newest.id === shown.id ? <Button onClick={() => setDoing('lay')}>{phrase('programmes.lay-on-systems')}</Button> : null}{may && shown.systems > 0 ? <Button kind="bare" onClick={() => setDoing('retire')}>{phrase('programmes.retire')}</Button> : null}{may && newest.id === shown.id ? <Button onClick={() => setEditing('version')}>{phrase('programmes.edit-into-a-new-version')}</Button> : null}{may ? <Button onClick={() => setEditing('own')}>{phrase('programmes.clone-into-one-of-your-own')}</Button> : null}<LinkButton to="/programmes">{phrase('programmes.all-programmes')}</LinkButton></>}>
          {newest.id === shown.id ? null : <p className="note">{phrase('programmes.a-newer-version-exists')} <Link to={`/programmes/${newest.id}`}>{phrase('programmes.version-version', { version: newest.version })}</Link>{phrase('programmes.systems-keep-this-one-until-the-newer')}</p>}
          <CautionBox title={phrase('programmes.before-you-rely-on-it')}>{shown.caution}</CautionBox>
          <Facts of={[[phrase('programmes.asked-by'), `${shown.regime}${shown.edition ? `, ${shown.edition}` : ''}`], [phrase('programmes.for'), wordsOf(SYSTEM_KIND, shown.systemKinds)], [phrase('programmes.source'), said(shown.source)], [phrase('programmes.compared-with-your-edition'), shown.checkedOn ? dayWords(shown.checkedOn) : phrase('programmes.not-yet')]]} />
          <Rules programme={shown} />
          {shown.changes ? <Section title={phrase('programmes.what-version-version-changed', { version: shown.version })}><Changes changes={shown.changes} /></Section> : null}
          {shown.versions.length > 1 ? <Section title={phrase('programmes.versions')}><ul>{shown.versions.map((one) => <li key={one.id}>{one.id === shown.id ? <strong>{phrase('programmes.version-version-2', { version: one.version })}</strong> : <Link to={`/programmes/${one.id}`}>{phrase('programmes.version-version-2', { version: one.version })}</Link>}{phrase('programmes.saved-day', { day: dayWords(one.createdAt.slice(0, 10)) })}</li>)}</ul></Section> : null}
          <Region name="systems"><LaidOn programmeId={shown.id} /></Region>
          {doing === 'lay' ? <LayDialog programme={shown} onClose={() => setDoing(null)} /> : null}
          {doing === 'retire' ? <RetireDialog programme={shown} onClose={() => setDoing(null)} /> : null}
          {editing ? <EditProgramme key={editing} programme={shown} asOwn={editing === 'own'} onClose={() => setEditing(null)} /> : null}
        </Page>
      );
    }}</Loaded>
  );
}

function Rules({ programme }: { programme: ProgrammeShown }) {
  return (
    <Section title={phrase('programmes.duties-it-lays-on')}>
      <Table caption={phrase('programmes.rules')} rows={programme.rules} rowKey={(rule) => rule.key} columns={[
        { key: 'title', title: phrase('programmes.duty'), cell: (rule) => <><strong>{said(rule.title)}</strong><br /><span className="small quiet">{phrase('programmes.cadence-on-each-subject-by-by-value', { cadence: said(rule.cadence), subject: wordOf(SUBJECT, rule.subject), by: wordOf(BY, rule.by), value: rule.mandated ? '' : phrase('programmes.not-mandated') })}</span></> },
        { key: 'checks', title: phrase('programmes.met-by'), cell: (rule) => listWords(rule.checkKinds.map(checkWord), rule.meets === 'all' ? 'and' : 'or') },
        { key: 'min', title: phrase('programmes.minutes'), align: 'end', cell: (rule) => rule.minutes },
        { key: 'source', title: phrase('programmes.source'), cell: (rule) => <>{rule.clause}<br /><span className="small quiet">{said(rule.provenance)}</span></> },
      ]} />
    </Section>
  );
}

function LaidOn({ programmeId }: { programmeId: string }) {
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const laid = useLaidOn({ programmeId, limit: PER_PAGE, offset, ...(search ? { search } : {}) });
  return (
    <Section title={phrase('programmes.laid-on')} actions={<SearchBox label={phrase('programmes.search-systems')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder={phrase('programmes.site-system-or-client')} />}>
      <Loaded query={laid} what={phrase('programmes.the-systems')}>{({ rows, total }) => (total === 0 ? <Empty title={search ? phrase('programmes.no-system-matches') : phrase('programmes.it-is-laid-on-no-system-yet')} action={search ? undefined : <LinkButton to="/programmes">{phrase('programmes.lay-it-on-systems')}</LinkButton>} />
        : <><Table caption={phrase('programmes.systems')} rows={rows} rowKey={(row) => row.applicationId} columns={[
          { key: 'site', title: phrase('programmes.site'), cell: (row) => <><Link to={`/sites/${row.siteId}`}>{row.siteName}</Link> <span className="small quiet">{row.clientName}</span></> },
          { key: 'system', title: phrase('programmes.system'), cell: (row) => `${row.systemName} (${wordOf(SYSTEM_KIND, row.systemKind)})` },
          { key: 'from', title: phrase('programmes.owed'), cell: (row) => phrase('programmes.from-validfrom-value', { validFrom: dayWords(row.validFrom), value: row.validTo ? phrase('programmes.to-validto', { validTo: dayWords(row.validTo) }) : '' }) },
          { key: 'duties', title: phrase('programmes.duties'), align: 'end', cell: (row) => row.duties },
        ]} /><Pager offset={offset} limit={PER_PAGE} total={total} onMove={setOffset} what={phrase('programmes.systems-2')} /></>)}</Loaded>
    </Section>
  );
}
