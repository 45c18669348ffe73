import { useState } from 'react';
import { dayShort } from '../../../shared/format.js';
import { TrendPicture } from '../../../shared/pictures/trend-picture.js';
import { Button, CheckBox, Empty, Loaded, Mark, Pager, SearchBox, Section, Table } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';
import { said } from '../../../shared/language/said.js';
import { useSiteTrends } from '../api/standing.js';

const PER_PAGE = 12;

/** Every reading of the site's parts over visits: slope with its interval, its limit, and the day it would meet it. */
export function ReadingTrends({ siteId }: { siteId: string }) {
  const [search, setSearch] = useState('');
  const [moving, setMoving] = useState(false);
  const [offset, setOffset] = useState(0);
  const list = useSiteTrends({ siteId, ...(search ? { search } : {}), ...(moving ? { moving: 'true' } : {}), limit: PER_PAGE, offset });
  const isHeld = search !== '' || moving;
  return (
    <Section title={phrase('standing.readings-over-visits')}>
      <Loaded query={list} what={phrase('standing.the-readings')}>{({ rows, total }) => (total === 0 && !isHeld
        ? <Empty title={phrase('standing.no-reading-has-three-dates-yet')}>{phrase('standing.a-slope-needs-the-same-reading-on-three-days')}</Empty>
        : <>
          <div className="row">
            <SearchBox label={phrase('standing.search-the-readings')} value={search} onChange={(next) => { setSearch(next); setOffset(0); }} placeholder={phrase('standing.part-room-system-or-reading')} />
            <CheckBox label={phrase('standing.only-what-moves-to-its-limit')} checked={moving} onChange={(next) => { setMoving(next); setOffset(0); }} />
          </div>
          {total === 0 ? <Empty title={phrase('standing.no-reading-matches')} action={<Button onClick={() => { setSearch(''); setMoving(false); setOffset(0); }}>{phrase('standing.show-all')}</Button>} /> : <>
            <p className="small quiet">{phrase('standing.pegs-what-was-read-line-its-slope')}</p>
            <Table caption={phrase('standing.readings-over-visits')} rows={rows} rowKey={(row) => `${row.subjectId} ${row.checkKind} ${row.reading}`} columns={[
              { key: 'what', title: phrase('standing.reading'), cell: (row) => <>{row.subjectName}{row.room ? `, ${row.room}` : ''}: {said(row.label)}<br /><span className="small quiet">{row.systemName}</span></> },
              { key: 'picture', title: phrase('standing.over-visits'), width: '20rem', cell: (row) => <TrendPicture trend={row} label={`${row.subjectName}: ${said(row.label)}`} unit={row.unit} words={said(row.words)} /> },
              { key: 'crosses', title: phrase('standing.meets-its-limit'), cell: (row) => (row.crosses ? <Mark shape={row.crosses.isNear ? 'half' : 'line'} tone={row.crosses.isNear ? 'warn' : 'plain'}>{phrase('standing.about-sinkson', { sinksOn: dayShort(row.crosses.on) })}</Mark> : phrase('standing.no-day-in-sight')) },
              { key: 'words', title: phrase('standing.in-words'), cell: (row) => <span className="small">{said(row.words)}</span> },
            ]} />
            <Pager offset={offset} limit={PER_PAGE} total={total} onMove={setOffset} what={phrase('standing.readings-in-a-list')} /></>}
        </>)}</Loaded>
    </Section>
  );
}
