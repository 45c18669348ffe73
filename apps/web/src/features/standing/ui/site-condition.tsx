import { dayShort } from '../../../shared/format.js';
import { BatteryColumns } from '../../../shared/pictures/battery-columns.js';
import { MarginShore } from '../../../shared/pictures/margin-shore.js';
import { SilenceComb } from '../../../shared/pictures/silence-comb.js';
import { Empty, Loaded, Mark, Section, Table } from '../../../shared/ui/index.js';
import { useSiteCondition } from '../api/standing.js';

/** What a site still has in hand: batteries, radio links, paths; each picture with the same in words below. */
export function SiteConditionSections({ siteId }: { siteId: string }) {
  const condition = useSiteCondition(siteId);
  return (
    <Loaded query={condition} what="batteries, links and paths">{(shown) => (<>
      <Section title="Batteries">
        {shown.batteries.length === 0 ? <Empty title="No battery is recorded here">What would carry this site when the mains fail can’t be told.</Empty> : <>
          <BatteryColumns batteries={shown.batteries} />
          <details><summary>The same in words</summary>
            <Table caption="Batteries" rows={shown.batteries} rowKey={(row) => row.id} columns={[
              { key: 'what', title: 'Battery', cell: (row) => <>{row.label}<br /><span className="small quiet">{row.systemName}, {row.chemistry.replaceAll('-', ' ')}{row.ratedAh === null ? '' : `, ${row.ratedAh} Ah rated`}</span></> },
              { key: 'words', title: 'Has and needs', cell: (row) => <>{row.words}<br /><span className="small quiet">{row.needWords}</span></> },
              { key: 'crosses', title: 'Meets its limit', cell: (row) => (row.crossesEarliest === null ? 'can’t tell: too few measurements' : row.crossesEarliest === row.crossesLatest ? `about ${dayShort(row.crossesEarliest)}` : `between ${dayShort(row.crossesEarliest)} and ${row.crossesLatest ? dayShort(row.crossesLatest) : 'later'}`) },
              { key: 'made', title: 'Made', cell: (row) => (row.madeOn ? dayShort(row.madeOn) : 'can’t tell') },
            ]} /></details></>}
      </Section>
      {shown.shore.length > 0 ? (
        <Section title="Radio links">
          {shown.receiverFindings.map((one) => <p key={`${one.receiver} ${one.toOn}`} className="note" role="note">{one.words} {shown.shore.filter((sensor) => one.deviceIds.includes(sensor.id)).map((sensor) => sensor.label).join(', ')}.</p>)}
          <MarginShore sensors={shown.shore} today={shown.asOf} />
          <details><summary>The same in words</summary><Table caption="Radio links" rows={shown.shore} rowKey={(row) => row.id} columns={[
            { key: 'what', title: 'Sensor', cell: (row) => `${row.label}${row.room ? `, ${row.room}` : ''}` }, { key: 'words', title: 'Margin', cell: (row) => row.words },
            { key: 'sinks', title: 'Meets its limit', cell: (row) => (row.marginDb < row.leastDb ? <Mark shape="fallen" tone="bad">below it now</Mark> : row.sinksOn ? `about ${dayShort(row.sinksOn)}` : 'no day in sight') }, { key: 'read', title: 'Read', cell: (row) => dayShort(row.on) },
          ]} /></details>
        </Section>
      ) : null}
      <Section title="Paths">
        {shown.combs.length === 0 ? <Empty title="No transmission path is recorded here">Whether an alarm would get out can’t be told.</Empty> : shown.combs.map((path) => (
          <div key={path.id} className="stack">
            <h3>{path.label}, {path.systemName} <PathState state={path.comb?.state ?? 'unknown'} /></h3>
            {path.comb ? <SilenceComb comb={{ id: path.id, label: path.label, words: path.words, intervalH: path.comb.intervalH, teeth: path.comb.teeth }} zone={shown.timeZone} from={shown.combFrom} to={shown.combTo} /> : null}
            <p className="small">{path.words}</p>
          </div>
        ))}
      </Section>
    </>)}</Loaded>
  );
}

function PathState({ state }: { state: 'heard' | 'silent' | 'unknown' }) {
  if (state === 'heard') return <Mark shape="whole" tone="good">heard</Mark>;
  if (state === 'silent') return <Mark shape="bracketed" tone="bad">silent</Mark>;
  return <Mark shape="hatched" tone="unsure">can’t tell</Mark>;
}
