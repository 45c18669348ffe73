import { routes, type OnTime } from '@bellround/contracts';
import { addressOf } from '../../../shared/client.js';
import { countWords, dayWords, numberWords } from '../../../shared/format.js';
import { Facts, LinkButton, Loaded, Section, Table } from '../../../shared/ui/index.js';
import { useOnTime } from '../api/standing.js';

const percent = (share: number | null) => (share === null ? 'nothing closed' : `${numberWords(share * 100, 1)} %`);

/** On time of all live accounts, beside the flattering figure; the untested are named. */
export function OnTimeSection({ asOf }: { asOf: string | null }) {
  const onTime = useOnTime(asOf);
  return (
    <Section title="On time, by month" actions={<a className="button small" href={addressOf(routes.onTimeCsv, { months: 12, ...(asOf ? { asOf } : {}) })} download>Export as CSV</a>}>
      <Loaded query={onTime} what="the on-time share">{(shown) => (<>
        <Facts of={[
          ['Of all live accounts', <strong key="honest">{percent(shown.whole.honest)} of {shown.whole.honestOf}</strong>],
          ['The flattering figure', `${percent(shown.whole.flattering)} of the ${shown.whole.flatteringOf} on the schedule`],
          ['Live accounts', `${shown.liveAccounts}, ${shown.stationListOn ? `by the station’s list of ${dayWords(shown.stationListOn)}` : 'as we know them: the station gave no list yet'}`],
        ]} />
        {shown.untested.length > 0 ? <details><summary>{countWords(shown.untested.length, 'live account')} nobody is due to prove</summary><ul>{shown.untested.map((one) => <li key={one.account}>{one.account} {one.siteId ? <LinkButton kind="bare" size="small" to={`/sites/${one.siteId}`}>{one.name}</LinkButton> : one.name}: {one.why}</li>)}</ul></details> : null}
        <Months onTime={shown} />
        {shown.preventableBy.length > 0 ? <p className="note">Late and missed windows by who could have prevented them: {shown.preventableBy.map((one) => `${one.by.replace('-', ' ')} ${one.windows}`).join(', ')}. What is not proven by attempts counts as ours.</p> : null}
      </>)}</Loaded>
    </Section>
  );
}

function Months({ onTime }: { onTime: OnTime }) {
  return (
    <Table caption="Windows that closed in each month" rows={onTime.months} rowKey={(row) => row.month} columns={[
      { key: 'month', title: 'Month', cell: (row) => row.month },
      { key: 'share', title: 'Windows met in time', align: 'end', cell: (row) => percent(row.windows.share) },
      { key: 'in', title: 'In time', align: 'end', cell: (row) => row.windows.onTime },
      { key: 'late', title: 'Late', align: 'end', cell: (row) => row.windows.late },
      { key: 'missed', title: 'Missed', align: 'end', cell: (row) => row.windows.missed },
      { key: 'honest', title: 'Accounts in time', align: 'end', cell: (row) => `${percent(row.accounts.honest)} of ${row.accounts.honestOf}` },
      { key: 'flat', title: 'Flattering', align: 'end', cell: (row) => `${percent(row.accounts.flattering)} of ${row.accounts.flatteringOf}` },
    ]} />
  );
}
