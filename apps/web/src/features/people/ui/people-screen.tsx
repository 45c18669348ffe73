import { hoursInWords, type TechnicianRow } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { dayShort, todayIn } from '../../../shared/format.js';
import { useMay, useMe } from '../../../shared/session.js';
import { Button, type Column, Empty, LinkButton, Loaded, Mark, Page, Pager, SearchBox, Table, Tag } from '../../../shared/ui/index.js';
import { PEOPLE_PER_PAGE, useTechnicians } from '../api/technicians.js';
import { LicenceMark } from './licence-mark.js';
import { TechnicianDrawer } from './technician-drawer.js';

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
    <Page title="People" lead="Technicians with their skills, licences and absences. A licence is judged on the day of the visit, not today." actions={<><SearchBox label="Search technicians" placeholder="Name, skill or licence" value={search} onChange={(next) => { setSearch(next); setOffset(0); }} />{mayPlan ? <LinkButton to="/import">Import files</LinkButton> : null}</>}>
      <Loaded query={people} what="the people">{({ rows, total }) => (total === 0
        ? <Empty title={search ? `Nobody matches '${search}'` : 'There are no technicians yet'} action={search ? <Button onClick={() => setSearch('')}>Show everybody</Button> : mayPlan ? <LinkButton kind="do" to="/import">Import technicians</LinkButton> : undefined} />
        : <><Table caption="Technicians" columns={columns} rows={rows} rowKey={(one) => one.id} onOpen={(one) => show(one.id)} chosen={open} /><Pager offset={offset} limit={PEOPLE_PER_PAGE} total={total} onMove={setOffset} what="technicians" /></>
      )}</Loaded>
      {open ? <TechnicianDrawer technicianId={open} onClose={() => show(null)} /> : null}
    </Page>
  );
}

function columnsFor(today: string): Column<TechnicianRow>[] {
  return [
    { key: 'name', title: 'Technician', sortBy: (one) => one.name, cell: (one) => <span className="row"><Link to={`?technician=${one.id}`} replace preventScrollReset>{one.name}</Link>{one.pairOnly ? <Tag>works in a pair only</Tag> : null}</span> },
    { key: 'skills', title: 'Skills', cell: (one) => (one.skills.length > 0 ? <span className="row">{one.skills.map((skill) => <Tag key={skill}>{skill}</Tag>)}</span> : <span className="quiet">none recorded</span>) },
    { key: 'licences', title: 'Licences', cell: (one) => (one.licences.length > 0 ? <span className="stack">{one.licences.map((licence) => <LicenceMark key={licence.id} licence={licence} />)}</span> : <span className="quiet">none recorded</span>) },
    { key: 'shifts', title: 'Shifts', cell: (one) => hoursInWords(one.shifts) },
    { key: 'away', title: 'Away', cell: (one) => <Away one={one} today={today} /> },
  ];
}

function Away({ one, today }: { one: TechnicianRow; today: string }) {
  const next = one.absences.find((absence) => absence.toDay >= today);
  if (one.activeTo && one.activeTo < today) return <Mark shape="absent">left {dayShort(one.activeTo)}</Mark>;
  if (!next) return '';
  return next.fromDay <= today ? <Mark shape="absent" tone="warn">away to {dayShort(next.toDay)}</Mark> : <Mark shape="line">away from {dayShort(next.fromDay)}</Mark>;
}
