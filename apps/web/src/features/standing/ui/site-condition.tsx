import { dayShort } from '../../../shared/format.js';
import { BatteryColumns } from '../../../shared/pictures/battery-columns.js';
import { MarginShore } from '../../../shared/pictures/margin-shore.js';
import { SilenceComb } from '../../../shared/pictures/silence-comb.js';
import { Empty, Loaded, Mark, Section, Table } from '../../../shared/ui/index.js';
import { useSiteCondition } from '../api/standing.js';
import { phrase } from '../../../shared/language/index.js';
import { CHEMISTRY, wordOf } from '../../../shared/words.js';
import { said } from '../../../shared/language/said.js';

/** What a site still has in hand: batteries, radio links, paths; each picture with the same in words below. */
export function SiteConditionSections({ siteId }: { siteId: string }) {
  const condition = useSiteCondition(siteId);
  return (
    <Loaded query={condition} what={phrase('standing.batteries-links-and-paths')}>{(shown) => (<>
      <Section title={phrase('standing.batteries')}>
        {shown.batteries.length === 0 ? <Empty title={phrase('standing.no-battery-is-recorded-here')}>{phrase('standing.what-would-carry-this-site-when-the')}</Empty> : <>
          <BatteryColumns batteries={shown.batteries} />
          <details><summary>{phrase('standing.the-same-in-words')}</summary>
            <Table caption={phrase('standing.batteries')} rows={shown.batteries} rowKey={(row) => row.id} columns={[
              { key: 'what', title: phrase('standing.battery'), cell: (row) => <>{row.label}<br /><span className="small quiet">{row.systemName}, {wordOf(CHEMISTRY, row.chemistry)}{row.ratedAh === null ? '' : phrase('standing.ratedah-ah-rated', { ratedAh: row.ratedAh })}</span></> },
              { key: 'words', title: phrase('standing.has-and-needs'), cell: (row) => <>{said(row.words)}<br /><span className="small quiet">{said(row.needWords ?? '')}</span></> },
              { key: 'crosses', title: phrase('standing.meets-its-limit'), cell: (row) => (row.crossesEarliest === null ? phrase('standing.cant-tell-too-few-measurements') : row.crossesEarliest === row.crossesLatest ? phrase('standing.about-crossesearliest', { crossesEarliest: dayShort(row.crossesEarliest) }) : phrase('standing.between-crossesearliest-and-value', { crossesEarliest: dayShort(row.crossesEarliest), value: row.crossesLatest ? dayShort(row.crossesLatest) : phrase('standing.later') })) },
              { key: 'made', title: phrase('standing.made'), cell: (row) => (row.madeOn ? dayShort(row.madeOn) : phrase('app.cant-tell')) },
            ]} /></details></>}
      </Section>
      {shown.shore.length > 0 ? (
        <Section title={phrase('standing.radio-links')}>
          {shown.receiverFindings.map((one) => <p key={one.deviceIds[0]} className="note" role="note">{said(one.words)} {shown.shore.filter((sensor) => one.deviceIds.includes(sensor.id)).map((sensor) => sensor.label).join(', ')}.</p>)}
          <MarginShore sensors={shown.shore} today={shown.asOf} />
          <details><summary>{phrase('standing.the-same-in-words')}</summary><Table caption={phrase('standing.radio-links')} rows={shown.shore} rowKey={(row) => row.id} columns={[
            { key: 'what', title: phrase('standing.sensor'), cell: (row) => `${row.label}${row.room ? `, ${row.room}` : ''}` }, { key: 'words', title: phrase('standing.margin'), cell: (row) => said(row.words) },
            { key: 'sinks', title: phrase('standing.meets-its-limit'), cell: (row) => (row.marginDb < row.leastDb ? <Mark shape="fallen" tone="bad">{phrase('standing.below-it-now')}</Mark> : row.sinksOn ? phrase('standing.about-sinkson', { sinksOn: dayShort(row.sinksOn) }) : phrase('standing.no-day-in-sight')) }, { key: 'read', title: phrase('standing.read'), cell: (row) => dayShort(row.on) },
          ]} /></details>
        </Section>
      ) : null}
      <Section title={phrase('standing.paths')}>
        {shown.combs.length === 0 ? <Empty title={phrase('standing.no-transmission-path-is-recorded-here')}>{phrase('standing.whether-an-alarm-would-get-out-cant')}</Empty> : shown.combs.map((path) => (
          <div key={path.id} className="stack">
            <h3>{path.label}, {path.systemName} <PathState state={path.comb?.state ?? 'unknown'} /></h3>
            {path.comb ? <SilenceComb comb={{ id: path.id, label: path.label, words: said(path.words), intervalH: path.comb.intervalH, teeth: path.comb.teeth }} zone={shown.timeZone} from={shown.combFrom} to={shown.combTo} /> : null}
            <p className="small">{said(path.words)}</p>
          </div>
        ))}
      </Section>
    </>)}</Loaded>
  );
}

function PathState({ state }: { state: 'heard' | 'silent' | 'unknown' }) {
  if (state === 'heard') return <Mark shape="whole" tone="good">{phrase('standing.heard')}</Mark>;
  if (state === 'silent') return <Mark shape="bracketed" tone="bad">{phrase('standing.silent')}</Mark>;
  return <Mark shape="hatched" tone="unsure">{phrase('standing.cant-tell')}</Mark>;
}
