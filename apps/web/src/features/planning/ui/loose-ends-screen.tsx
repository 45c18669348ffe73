import type { LooseEnd } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { countWords, dayShort, momentWords } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, Empty, LinkButton, Loaded, Mark, Page, SearchBox, Select, Table } from '../../../shared/ui/index.js';
import { useLooseEnds } from '../api/week.js';

const KINDS: Record<LooseEnd['kind'], string> = { 'no-visit-yet': 'lapses without a visit', unplaced: 'left out of the plan', returned: 'came back', 'retest-unplanned': 'not put right yet', 'message-failed': 'message not sent', difference: 'lists disagree' };

/** Whatever waits for a dispatcher, most pressing first. */
export function LooseEndsScreen() {
  const zone = useMe().company.timeZone;
  const ends = useLooseEnds();
  const [search, setSearch] = useState('');
  const [kind, setKind] = useState('');
  const fits = useMemo(() => (one: LooseEnd) => (kind === '' || one.kind === kind) && `${one.siteName} ${one.words}`.toLowerCase().includes(search.toLowerCase()), [search, kind]);
  return (
    <Page title="Loose ends" lead="Visits left out or returned, duties that lapse without a visit, messages that did not go, lists that disagree." actions={<><SearchBox label="Search loose ends" value={search} onChange={setSearch} placeholder="Site or words" /><Select label="Kind" value={kind} onChange={setKind} empty="all kinds" options={Object.entries(KINDS).map(([value, label]) => ({ value, label }))} /></>}>
      <Loaded query={ends} what="the loose ends">{({ rows }) => {
        const shown = rows.filter(fits);
        if (rows.length === 0) return <Empty title="Nothing is loose">Every open duty has a visit on its way and every message went out.</Empty>;
        if (shown.length === 0) return <Empty title="No loose end matches" action={<Button onClick={() => { setSearch(''); setKind(''); }}>Show all {rows.length}</Button>} />;
        return (<>
          <p className="quiet">{countWords(shown.length, 'loose end')}</p>
          <Table caption="Loose ends" rows={shown.slice(0, 300)} rowKey={(one) => `${one.kind} ${one.visitId ?? ''} ${one.siteId ?? ''} ${one.words}`} columns={[
            { key: 'site', title: 'Site', sortBy: (one) => one.siteName, cell: (one) => (one.siteId ? <LinkButton kind="bare" size="small" to={`/sites/${one.siteId}`}>{one.siteName || 'site'}</LinkButton> : one.siteName || 'the company') },
            { key: 'kind', title: 'Kind', sortBy: (one) => one.kind, cell: (one) => <Mark shape={one.kind === 'no-visit-yet' || one.kind === 'retest-unplanned' ? 'bracketed' : one.kind === 'difference' ? 'hatched' : 'empty'} tone={one.kind === 'no-visit-yet' || one.kind === 'retest-unplanned' ? 'bad' : 'warn'}>{KINDS[one.kind]}</Mark> },
            { key: 'words', title: 'What', cell: (one) => one.words },
            { key: 'lapses', title: 'By', sortBy: (one) => one.lapsesOn, cell: (one) => (one.lapsesOn ? dayShort(one.lapsesOn) : '') },
            { key: 'since', title: 'Since', sortBy: (one) => one.since, cell: (one) => (one.since ? momentWords(one.since, zone) : '') },
          ]} />
          {shown.length > 300 ? <p className="note">{shown.length - 300} more; narrow the search.</p> : null}
        </>);
      }}</Loaded>
    </Page>
  );
}
