import type { ProgrammeShown } from '@bellround/contracts';
import { useState } from 'react';
import { Link, useParams } from 'react-router';
import { countWords, dayWords } from '../../../shared/format.js';
import { useMay } from '../../../shared/session.js';
import { Button, CautionBox, Empty, Facts, LinkButton, Loaded, Page, Pager, Region, SearchBox, Section, Table } from '../../../shared/ui/index.js';
import { useLaidOn, useProgramme } from '../api/programmes.js';
import { Changes } from './changes.js';
import { EditProgramme } from './edit-programme.js';

const PER_PAGE = 50;

/** One version of a programme: its rules with their sources, what it changed, and the systems it is laid on. */
export function ProgrammeScreen() {
  const { programmeId = '' } = useParams();
  const programme = useProgramme(programmeId);
  const may = useMay('plan');
  const [editing, setEditing] = useState<'version' | 'own' | null>(null);
  return (
    <Loaded query={programme} what="the programme">{(shown) => {
      const newest = shown.versions[0]!;
      return (
        <Page title={shown.title} lead={`Version ${shown.version}, laid on ${countWords(shown.systems, 'system')}: ${countWords(shown.duties, 'duty', 'duties')}`}
          actions={<>{may && newest.id === shown.id ? <Button onClick={() => setEditing('version')}>Edit into a new version</Button> : null}{may ? <Button onClick={() => setEditing('own')}>Clone into one of your own</Button> : null}<LinkButton to="/programmes">All programmes</LinkButton></>}>
          {newest.id === shown.id ? null : <p className="note">A newer version exists: <Link to={`/programmes/${newest.id}`}>version {newest.version}</Link>. Systems keep this one until the newer is laid on them.</p>}
          <CautionBox title="Before you rely on it">{shown.caution}</CautionBox>
          <Facts of={[['Asked by', `${shown.regime}${shown.edition ? `, ${shown.edition}` : ''}`], ['For', shown.systemKinds.join(', ')], ['Source', shown.source], ['Compared with your edition', shown.checkedOn ? dayWords(shown.checkedOn) : 'not yet']]} />
          <Rules programme={shown} />
          {shown.changes ? <Section title={`What version ${shown.version} changed`}><Changes changes={shown.changes} /></Section> : null}
          {shown.versions.length > 1 ? <Section title="Versions"><ul>{shown.versions.map((one) => <li key={one.id}>{one.id === shown.id ? <strong>Version {one.version}</strong> : <Link to={`/programmes/${one.id}`}>Version {one.version}</Link>}, saved {dayWords(one.createdAt.slice(0, 10))}</li>)}</ul></Section> : null}
          <Region name="systems"><LaidOn programmeId={shown.id} /></Region>
          {editing ? <EditProgramme key={editing} programme={shown} asOwn={editing === 'own'} onClose={() => setEditing(null)} /> : null}
        </Page>
      );
    }}</Loaded>
  );
}

function Rules({ programme }: { programme: ProgrammeShown }) {
  return (
    <Section title="Duties it lays on">
      <Table caption="Rules" rows={programme.rules} rowKey={(rule) => rule.key} columns={[
        { key: 'title', title: 'Duty', cell: (rule) => <><strong>{rule.title}</strong><br /><span className="small quiet">{rule.cadence}; on each {rule.subject}; by {rule.by}{rule.mandated ? '' : '; not mandated'}</span></> },
        { key: 'checks', title: 'Met by', cell: (rule) => rule.checkKinds.map((kind) => kind.replaceAll('-', ' ')).join(rule.meets === 'all' ? ' and ' : ' or ') },
        { key: 'min', title: 'Minutes', align: 'end', cell: (rule) => rule.minutes },
        { key: 'source', title: 'Source', cell: (rule) => <>{rule.clause}<br /><span className="small quiet">{rule.provenance}</span></> },
      ]} />
    </Section>
  );
}

function LaidOn({ programmeId }: { programmeId: string }) {
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const laid = useLaidOn({ programmeId, limit: PER_PAGE, offset, ...(search ? { search } : {}) });
  return (
    <Section title="Laid on" actions={<SearchBox label="Search systems" value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder="Site, system or client" />}>
      <Loaded query={laid} what="the systems">{({ rows, total }) => (total === 0 ? <Empty title={search ? 'No system matches' : 'It is laid on no system yet'} action={search ? undefined : <LinkButton to="/programmes">Lay it on systems</LinkButton>} />
        : <><Table caption="Systems" rows={rows} rowKey={(row) => row.applicationId} columns={[
          { key: 'site', title: 'Site', cell: (row) => <><Link to={`/sites/${row.siteId}`}>{row.siteName}</Link> <span className="small quiet">{row.clientName}</span></> },
          { key: 'system', title: 'System', cell: (row) => `${row.systemName} (${row.systemKind})` },
          { key: 'from', title: 'Owed', cell: (row) => `from ${dayWords(row.validFrom)}${row.validTo ? ` to ${dayWords(row.validTo)}` : ''}` },
          { key: 'duties', title: 'Duties', align: 'end', cell: (row) => row.duties },
        ]} /><Pager offset={offset} limit={PER_PAGE} total={total} onMove={setOffset} what="systems" /></>)}</Loaded>
    </Section>
  );
}
