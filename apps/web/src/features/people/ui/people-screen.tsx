import { hoursInWords, type TechnicianRow } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { dayShort, todayIn } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, type Column, Empty, LinkButton, Loaded, Mark, Page, Pager, SearchBox, Table, Tag } from '../../../shared/ui/index.js';
import { PEOPLE_PER_PAGE, useTechnicians } from '../api/technicians.js';
import { LicenceMark } from './licence-mark.js';
import { TechnicianDrawer } from './technician-drawer.js';
import { phrase } from '../../../shared/language/index.js';
import { SYSTEM_KIND, wordOf } from '../../../shared/words.js';

/** Who goes out: skills, licences with their last day, absences. */
export function PeopleScreen() {
  const mayPlan = useMay('plan');
  const today = todayIn(useMe().company.timeZone);
  const [search, setSearch] = useState('');
  const [offset, setOffset] = useState(0);
  const [params, setParams] = useSearchParams();
  const open = params.get('technician');
  const show = (id: string | null) => setParams(id ? { technician: id } : {}, { replace: true });
  const people = useTechnicians(search, offset);
  const columns = useMemo(() => columnsFor(today), [today]);
  return (
    <Page title={phrase('people.people')} lead={phrase('people.technicians-with-their-skills-licences-and-absences')} actions={<><SearchBox label={phrase('people.search-technicians')} placeholder={phrase('people.name-skill-or-licence')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} />{mayPlan ? <LinkButton to="/import">{phrase('people.import-files')}</LinkButton> : null}</>}>
      <Loaded query={people} what={phrase('people.the-people')}>{({ rows, total }) => (total === 0
        ? <Empty title={search ? phrase('people.nobody-matches-search', { search }) : phrase('people.there-are-no-technicians-yet')} action={search ? <Button onClick={() => setSearch('')}>{phrase('people.show-everybody')}</Button> : mayPlan ? <LinkButton kind="do" to="/import">{phrase('people.import-technicians')}</LinkButton> : undefined} />
        : <><Table caption={phrase('people.technicians')} columns={columns} rows={rows} rowKey={(one) => one.id} onOpen={(one) => show(one.id)} chosen={open} /><Pager offset={offset} limit={PEOPLE_PER_PAGE} total={total} onMove={setOffset} what={phrase('people.technicians-2')} /></>
      )}</Loaded>
      {open ? <TechnicianDrawer technicianId={open} onClose={() => show(null)} /> : null}
    </Page>
  );
}

function columnsFor(today: string): Column<TechnicianRow>[] {
  return [
    { key: 'name', title: phrase('people.technician'), sortBy: (one) => one.name, cell: (one) => <span className="row"><Link to={`?technician=${one.id}`} replace preventScrollReset>{one.name}</Link>{one.pairOnly ? <Tag>{phrase('people.works-in-a-pair-only')}</Tag> : null}</span> },
    { key: 'skills', title: phrase('people.skills'), cell: (one) => (one.skills.length > 0 ? <span className="row">{one.skills.map((skill) => <Tag key={skill}>{wordOf(SYSTEM_KIND, skill)}</Tag>)}</span> : <span className="quiet">{phrase('people.none-recorded')}</span>) },
    { key: 'licences', title: phrase('people.licences'), cell: (one) => (one.licences.length > 0 ? <span className="stack">{one.licences.map((licence) => <LicenceMark key={licence.id} licence={licence} />)}</span> : <span className="quiet">{phrase('people.none-recorded')}</span>) },
    { key: 'shifts', title: phrase('people.shifts'), cell: (one) => hoursInWords(one.shifts) },
    { key: 'away', title: phrase('people.away'), cell: (one) => <Away one={one} today={today} /> },
  ];
}

function Away({ one, today }: { one: TechnicianRow; today: string }) {
  const next = one.absences.find((absence) => absence.toDay >= today);
  if (one.activeTo && one.activeTo < today) return <Mark shape="absent">{phrase('people.left-activeto', { activeTo: dayShort(one.activeTo) })}</Mark>;
  if (!next) return '';
  return next.fromDay <= today ? <Mark shape="absent" tone="warn">{phrase('people.away-to-today', { toDay: dayShort(next.toDay) })}</Mark> : <Mark shape="line">{phrase('people.away-from-fromday', { fromDay: dayShort(next.fromDay) })}</Mark>;
}
