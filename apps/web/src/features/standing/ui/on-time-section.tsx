import { routes, type OnTime } from '@bellround/contracts';
import { addressOf } from '../../../shared/client.js';
import { dayWords, numberWords } from '../../../shared/format.js';
import { Facts, LinkButton, Loaded, Section, Table } from '../../../shared/ui/index.js';
import { useOnTime } from '../api/standing.js';
import { phrase } from '../../../shared/language/index.js';
import { PREVENTABLE } from '../../../shared/words.js';

const percent = (share: number | null) => (share === null ? phrase('standing.nothing-closed') : `${numberWords(share * 100, 1)} %`);

/** On time of all live accounts, beside the flattering figure; the untested are named. */
export function OnTimeSection({ asOf }: { asOf: string | null }) {
  const onTime = useOnTime(asOf);
  return (
    <Section title={phrase('standing.on-time-by-month')} actions={<a className="button small" href={addressOf(routes.onTimeCsv, { months: 12, ...(asOf ? { asOf } : {}) })} download>{phrase('standing.export-as-csv')}</a>}>
      <Loaded query={onTime} what={phrase('standing.the-on-time-share')}>{(shown) => (<>
        <Facts of={[
          [phrase('standing.of-all-live-accounts'), <strong key="honest">{phrase('standing.percent-of-honestof', { percent: percent(shown.whole.honest), honestOf: shown.whole.honestOf })}</strong>],
          [phrase('standing.the-flattering-figure'), phrase('standing.percent-of-the-flatteringof-on-the-schedule', { percent: percent(shown.whole.flattering), flatteringOf: shown.whole.flatteringOf })],
          [phrase('standing.live-accounts'), `${shown.liveAccounts}, ${shown.stationListOn ? phrase('standing.by-the-stations-list-of-stationliston', { stationListOn: dayWords(shown.stationListOn) }) : phrase('standing.as-we-know-them-the-station-gave')}`],
        ]} />
        {shown.untested.length > 0 ? <details><summary>{phrase('standing.untested-nobody-is-due-to-prove', { untested: phrase('count.live-account', { n: shown.untested.length }) })}</summary><ul>{shown.untested.map((one) => <li key={one.account}>{one.account} {one.siteId ? <LinkButton kind="bare" size="small" to={`/sites/${one.siteId}`}>{one.name}</LinkButton> : one.name}: {one.why}</li>)}</ul></details> : null}
        <Months onTime={shown} />
        {shown.preventableBy.length > 0 ? <p className="note">{phrase('standing.late-and-missed-windows-by-who-could', { join: shown.preventableBy.map((one) => `${PREVENTABLE[one.by]} ${one.windows}`).join(', ') })}</p> : null}
      </>)}</Loaded>
    </Section>
  );
}

function Months({ onTime }: { onTime: OnTime }) {
  return (
    <Table caption={phrase('standing.windows-that-closed-in-each-month')} rows={onTime.months} rowKey={(row) => row.month} columns={[
      { key: 'month', title: phrase('standing.month'), cell: (row) => row.month },
      { key: 'share', title: phrase('standing.windows-met-in-time'), align: 'end', cell: (row) => percent(row.windows.share) },
      { key: 'in', title: phrase('standing.in-time'), align: 'end', cell: (row) => row.windows.onTime },
      { key: 'late', title: phrase('standing.late'), align: 'end', cell: (row) => row.windows.late },
      { key: 'missed', title: phrase('standing.missed'), align: 'end', cell: (row) => row.windows.missed },
      { key: 'honest', title: phrase('standing.accounts-in-time'), align: 'end', cell: (row) => phrase('standing.percent-of-honestof', { percent: percent(row.accounts.honest), honestOf: row.accounts.honestOf }) },
      { key: 'flat', title: phrase('standing.flattering'), align: 'end', cell: (row) => phrase('standing.percent-of-flatteringof', { percent: percent(row.accounts.flattering), flatteringOf: row.accounts.flatteringOf }) },
    ]} />
  );
}
